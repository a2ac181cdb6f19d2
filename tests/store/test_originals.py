"""Names under which originals lie: whatever a file is called, it can be kept and found."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.store.originals import safe_name


@pytest.mark.derived
@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("june.csv", "june.csv"),
        ("../../etc/june.csv", "june.csv"),
        ("C:\\records\\june.csv", "june.csv"),
        ("records/", "records"),
        ("a\nb\0.csv", "a_b_.csv"),
        ("", "file"),
        ("..", "file"),
        ("x" * 300 + ".csv.gz", "x" * 197 + ".gz"),
        ("\N{COW}" * 90 + ".csv", "\N{COW}" * 49 + ".csv"),
        ("." + "x" * 300, "." + "x" * 199),
    ],
)
def test_a_name_is_made_safe(given: str, kept: str) -> None:
    """Its last part, at most 200 bytes, with its ending, without what no line can show."""
    assert safe_name(given) == kept


@pytest.mark.law
@given(st.text(st.characters(exclude_categories=()), max_size=300))
def test_any_name_can_be_written(tmp_path_factory: pytest.TempPathFactory, name: str) -> None:
    """A file of that name can be made in its folder and nowhere else."""
    folder = tmp_path_factory.getbasetemp()
    place = folder / safe_name(name)
    assert place.parent == folder
    assert Path(safe_name(name)).name == safe_name(name)
    place.write_bytes(b"")
    place.unlink()
