"""Findings straight from a file stay within bounds, however large or bad the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from balewright.flows.find_in_file import find_in_file
from balewright.quantities.errors import BadInput

PROFILE = "plainrow-p0"


@pytest.mark.derived
def test_refusals_are_counted_whole_and_held_in_part(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of 25 refused lines the first 10 are held; 25 are counted, 5 bales read."""
    monkeypatch.setattr("balewright.flows.find_in_file.SHOWN", 10)
    path = tmp_path / "junk.csv"
    rows = [f"A,{n}\n" for n in range(1, 6)] + ["A,many\n"] * 25
    path.write_text("machine,bale_no\n" + "".join(rows))
    found = find_in_file(path, PROFILE, None)
    assert (found.bales, found.refused, len(found.refusals)) == (5, 25, 10)


@pytest.mark.own
def test_more_bales_than_can_be_judged_at_once_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file is not judged in part: it is refused with what to do instead."""
    monkeypatch.setattr("balewright.flows.find_in_file.MAX_BALES", 9)
    path = tmp_path / "large.csv"
    path.write_text("machine,bale_no\n" + "".join(f"A,{n}\n" for n in range(10)))
    with pytest.raises(BadInput, match=r"at most 9 bales at once.*take it in"):
        find_in_file(path, PROFILE, None)
