"""When a recording began, as it is told beside it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from balewright.flows.told_begin import read_begin
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """One with a machine whose clock is put on and back."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path)}))
    opened.register.save_machine(MachineEntry("Z-9", "Nine", "mossgrinder-m2", "Europe/Berlin"))
    yield opened
    opened.register.close()


@pytest.mark.derived
@pytest.mark.parametrize(
    ("text", "machine", "begins_us"),
    [
        ("", "Z-9", None),
        ("1970-01-02T00:00Z", "Z-9", 86_400_000_000),
        ("1970-01-02T00:00+02:00", None, 79_200_000_000),
        ("1970-01-02T00:00", None, 86_400_000_000),
        ("1970-01-02T00:00", "NOBODY", 86_400_000_000),
        ("1970-01-02T00:00:01.5", "Z-9", 82_801_500_000),
    ],
)
def test_a_begin_is_of_the_machines_clock(
    workplace: Workplace, text: str, machine: str | None, begins_us: int | None
) -> None:
    """In 1970 the clock of Europe/Berlin was an hour ahead; an offset counts over it, and UTC
    where no machine is known."""
    assert read_begin(workplace, text, machine) == begins_us


@pytest.mark.law
@pytest.mark.parametrize("text", ["noon", "2026-03-29T02:30", "2026-10-25T02:30", "0001-01-01T00"])
def test_a_begin_that_says_no_one_moment_is_refused(workplace: Workplace, text: str) -> None:
    """No time at all, an hour that is left out in spring or comes twice in autumn."""
    if text.startswith("0001"):
        text += "+23:00"
    with pytest.raises(BadInput, match="begin: needs"):
        read_begin(workplace, text, "Z-9")
