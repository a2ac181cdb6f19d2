"""Sheets are made for machines and makes, kept once, and come back as they were."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from balewright.flows.make_sheet import SheetRequest, keep_sheet, load_sheet, make_sheet
from balewright.flows.workplace import Workplace
from balewright.plan.crop import Crop
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

CONDITIONS = Conditions(Crop.HAYLAGE, 0.45, 3.0, 2.5, 0.02, False, False, None, 2000.0, 8.0, 50)


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A workplace with one machine."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path)}))
    opened.register.save_machine(MachineEntry("TIN-7", "Tin seven", "thistlewick-t1"))
    yield opened
    opened.register.close()


@pytest.mark.own
def test_a_sheet_for_a_machine_names_it_and_its_profile(workplace: Workplace) -> None:
    """The serial leads to the profile; a make alone gives the same settings without a serial."""
    for_machine = make_sheet(workplace, SheetRequest(CONDITIONS, serial="TIN-7"))
    for_make = make_sheet(workplace, SheetRequest(CONDITIONS, profile_key="thistlewick-t1"))
    assert for_machine.machine_serial == "TIN-7"
    assert for_machine.profile_key == "thistlewick-t1"
    assert for_make == replace(for_machine, machine_serial=None)
    assert workplace.register.load_sheets() == ()


@pytest.mark.own
def test_a_kept_sheet_comes_back_equal_and_is_kept_once(workplace: Workplace) -> None:
    """Keeping the same sheet again gives the same id; another sheet another one."""
    sheet = make_sheet(workplace, SheetRequest(CONDITIONS, serial="TIN-7"))
    sheet_id = keep_sheet(workplace, sheet)
    assert keep_sheet(workplace, sheet) == sheet_id
    assert load_sheet(workplace, sheet_id) == sheet
    other = SheetRequest(replace(CONDITIONS, bales=51), serial="TIN-7")
    assert keep_sheet(workplace, make_sheet(workplace, other)) != sheet_id
    assert len(workplace.register.load_sheets("TIN-7")) == 2


@pytest.mark.own
@pytest.mark.parametrize(
    ("serial", "profile_key", "message"),
    [
        (None, None, "machine: needs a machine's serial or a make's key, was given neither"),
        ("TIN-7", "plainrow-p0", "was given both"),
        ("TIN-8", None, "machine: needs a serial of the register, was given 'TIN-8'"),
        (None, "tin", "profile: needs one of mossgrinder-m2, plainrow-p0, thistlewick-t1"),
    ],
)
def test_unknown_machines_are_refused_with_the_cure(
    workplace: Workplace, serial: str | None, profile_key: str | None, message: str
) -> None:
    """What is not known here is refused by name."""
    with pytest.raises(BadInput, match=message):
        make_sheet(workplace, SheetRequest(CONDITIONS, serial, profile_key))


@pytest.mark.own
def test_a_sheet_that_was_never_kept_is_refused(workplace: Workplace) -> None:
    """An id that nobody gave out is no sheet."""
    with pytest.raises(BadInput, match="sheet: needs the id of a kept sheet, was given 'S-none'"):
        load_sheet(workplace, "S-none")
