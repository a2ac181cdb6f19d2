"""Settings kept of a machine, and what an update did to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.flows.compare_settings import Compared, Moved, compare_settings
from balewright.flows.keep_settings import (
    KeepRequest,
    find_settings,
    keep_settings,
    settings_of_sheet,
)
from balewright.flows.make_sheet import SheetRequest, keep_sheet, make_sheet
from balewright.flows.workplace import Workplace
from balewright.plan.crop import Crop
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput
from balewright.readers.profile import shipped_profiles
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

CONDITIONS = Conditions(Crop.HAYLAGE, 0.45, 3.0, 2.5, 0.02, False, False, None, 2000.0, 8.0, 50)
BEFORE = (("Wrap turns", "16"), ("Net wraps", "2.50"), ("Film break", "on"), ("Pulses", "480"))

names = st.sampled_from(["a", "b", "c", "d", "e"])
pairs = st.dictionaries(names, st.sampled_from(["1", "2", "on"])).map(lambda d: tuple(d.items()))


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A workplace with one machine."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path)}))
    opened.register.save_machine(MachineEntry("TIN-7", "Tin seven", "mossgrinder-m2"))
    yield opened
    opened.register.close()


@pytest.mark.own
def test_settings_are_kept_and_found_again(workplace: Workplace) -> None:
    """By their id and as the last; sent twice they are kept once, but kept again on another day
    they are settings of that day.
    """
    first = keep_settings(workplace, KeepRequest("TIN-7", BEFORE, "a.csv", " before ", "mara"))
    again = keep_settings(workplace, KeepRequest("TIN-7", BEFORE, "b.csv", "before"))
    later = replace(workplace, clock=lambda: first.kept_at + timedelta(days=1))
    other_day = keep_settings(later, KeepRequest("TIN-7", BEFORE, "b.csv", "before"))
    assert (other_day.settings, other_day.id == first.id) == (BEFORE, False)
    much_later = replace(workplace, clock=lambda: first.kept_at + timedelta(days=2))
    second = keep_settings(much_later, KeepRequest("TIN-7", BEFORE[:2], "b.csv"))
    assert again == first
    assert (first.settings, first.note, first.origin, first.kept_by) == (
        BEFORE,
        "before",
        "a.csv",
        "mara",
    )
    assert find_settings(workplace, "TIN-7", first.id) == first
    assert find_settings(workplace, "TIN-7", "last") == second
    with pytest.raises(BadInput, match="the id of kept settings of TIN-7"):
        find_settings(workplace, "TIN-7", "N-none")


@pytest.mark.own
def test_what_cannot_be_kept_is_told(workplace: Workplace) -> None:
    """An unknown machine, nothing to keep, a note without end."""
    for request, message in (
        (KeepRequest("TIN-8", BEFORE, "a"), "a serial of the register"),
        (KeepRequest("TIN-7", (), "a"), "at least one setting"),
        (KeepRequest("TIN-7", BEFORE, "a", "x" * 121), "at most 120 characters"),
    ):
        with pytest.raises(BadInput, match=message):
            keep_settings(workplace, request)


@pytest.mark.own
def test_a_sheet_gives_settings_with_the_dials_positions(workplace: Workplace) -> None:
    """Every line whose value is known, as text; the position beside it where there is a dial."""
    sheet = make_sheet(workplace, SheetRequest(CONDITIONS, serial="TIN-7"))
    found = dict(settings_of_sheet(workplace, keep_sheet(workplace, sheet)))
    for line in sheet.lines:
        assert (line.key in found) == (line.value is not None)
        assert found.get(f"{line.key} position") == line.position
    pressure = sheet.number("chamber_bar")
    assert pressure is not None
    assert float(found["chamber_bar"]) == pytest.approx(pressure, rel=1e-5)
    assert "chamber_bar position" in found


@pytest.mark.derived
def test_an_update_is_told_apart_value_by_value() -> None:
    """Moved, gone, fresh and the same, in the order of the earlier list."""
    now = (("net  WRAPS", "2,5"), ("wrap turns", "12"), ("Film break", "yes"), ("Language", "en"))
    found = compare_settings(BEFORE, now)
    assert found == Compared(
        moved=(Moved("wrap turns", "16", "12"),),
        gone=(("Pulses", "480"),),
        fresh=(("Language", "en"),),
        same=("net  WRAPS", "Film break"),
    )
    assert found.enter_again == (("wrap turns", "16"), ("Pulses", "480"))


@pytest.mark.own
@pytest.mark.parametrize(
    ("one", "other", "is_same"),
    [
        ("16", "16.0", True),
        ("2,50", "2.5", True),
        ("100 bar", "100  BAR", True),
        ("100 bar", "100 psi", False),
        ("100 bar", "100", False),
        ("-1", "1", False),
        ("on", "Yes", True),
        ("off", "false", True),
        ("on", "off", False),
        ("1", "on", False),
        ("round side", "Round Side", True),
    ],
)
def test_when_two_values_are_one(one: str, other: str, is_same: bool) -> None:
    """Numbers as numbers, units as they are, switches by their meaning."""
    found = compare_settings((("a", one),), (("a", other),))
    assert bool(found.same) is is_same


@pytest.mark.own
def test_a_machines_own_word_its_label_and_the_sheets_key_are_one_name() -> None:
    """What the display calls it, what the sheet calls it and its key meet, positions apart."""
    machine = shipped_profiles()["mossgrinder-m2"]
    own = machine.own_word("chamber_bar")
    assert own is not None
    before = (("chamber_bar", "115"), ("chamber_bar position", "6"), ("wrap_turns", "16"))
    now = ((own, "115"), (f"{own} position", "5"), ("Wrap turns", "16"))
    found = compare_settings(before, now, machine)
    assert found.moved == (Moved(f"{own} position", "6", "5"),)
    assert (found.gone, found.fresh) == ((), ())
    assert compare_settings(before, now).gone == before[:2]


@pytest.mark.law
@given(pairs, pairs)
def test_no_setting_is_lost_or_told_twice(before: object, now: object) -> None:
    """Every name of either list is in one part; entering again what is told gives the old list."""
    assert isinstance(before, tuple)
    assert isinstance(now, tuple)
    found = compare_settings(before, now)
    told = [one.name for one in found.moved] + [name for name, _ in (*found.gone, *found.fresh)]
    assert sorted([*told, *found.same]) == sorted({name for name, _ in (*before, *now)})
    entered = dict(now) | dict(found.enter_again)
    assert {name: entered[name] for name, _ in before} == dict(before)
    assert compare_settings(before, before).enter_again == ()
