"""What was really set, from the bales: a day by the machine's clock, or from bale to bale."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.flows.make_sheet import SheetRequest, keep_sheet, make_sheet
from balewright.flows.sheet_from_record import (
    COLUMN_OF,
    Asked,
    RecordedDay,
    RecordedSheet,
    Step,
    list_recorded_days,
    sheet_from_record,
)
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.profile.keys import sheet_lines
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput
from balewright.readers.bale_csv import write_bale_csv
from balewright.records.bales import bale_table
from balewright.records.columns import BY_NAME
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

FILM = Film(0.75, 25e-6, 1500.0, 0.7)
CONDITIONS = Conditions(
    Crop.GRASS_SILAGE, 0.55, 4.0, 2.5, 0.03, False, False, FILM, 3000.0, 10.0, 200
)
START = datetime(2031, 6, 1, 22, 30, tzinfo=UTC)
JUNE_2 = date(2031, 6, 2)


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A workplace with one machine two hours east of Greenwich."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    wraps = next(key for key, made in opened.profiles.items() if made.wrapper)
    opened.register.save_machine(MachineEntry("K-77", "Seventy-seven", wraps, "Etc/GMT-2"))
    yield opened
    opened.register.close()


@pytest.fixture
def sheet_id(workplace: Workplace) -> str:
    """Its kept sheet."""
    return keep_sheet(workplace, make_sheet(workplace, SheetRequest(CONDITIONS, serial="K-77")))


def record(workplace: Workplace, folder: Path, rows: int, **columns: list[Any]) -> None:
    """Take bales in that left the machine every two minutes from START on."""
    given_columns: dict[str, list[Any]] = {
        "machine": ["K-77"] * rows,
        "bale_no": [4001 + place for place in range(rows)],
        "tipped_at": [
            round((START + timedelta(minutes=2 * place)).timestamp()) * 1_000_000
            for place in range(rows)
        ],
    }
    path = folder / "bales.csv"
    with path.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(bale_table(rows, given_columns | columns), stream)
    assert take_in_file(workplace, path).kept == rows


def line(found: RecordedSheet, key: str) -> Any:
    """One line of what was found."""
    return next(line for line in found.lines if line.key == key)


@pytest.mark.law
def test_every_column_named_is_one_and_every_line_too() -> None:
    """Nothing is read from a column that is not there, for a line that no sheet has."""
    assert set(COLUMN_OF) <= set(sheet_lines())
    assert all(column in BY_NAME for column in COLUMN_OF.values())


@pytest.mark.derived
def test_a_day_is_the_machines_own(workplace: Workplace, tmp_path: Path) -> None:
    """Midnight is at 22:00 UTC there. From 21:30 UTC on a bale every two minutes: 15 of the 50 are
    of 1 June, 35 of 2 June.
    """
    rows = 50
    early = [
        round((START - timedelta(hours=1) + timedelta(minutes=2 * place)).timestamp()) * 1_000_000
        for place in range(rows)
    ]
    record(workplace, tmp_path, rows, tipped_at=early)
    assert list_recorded_days(workplace, "K-77") == (
        RecordedDay(JUNE_2, 35),
        RecordedDay(date(2031, 6, 1), 15),
    )
    for day, bales, first in ((JUNE_2, 35, 4016), (date(2031, 6, 1), 15, 4001)):
        found = sheet_from_record(workplace, "K-77", Asked(day=day))
        assert (found.bales, found.first_bale) == (bales, first)
    assert sheet_from_record(workplace, "K-77", Asked(day=date(2031, 6, 3))).bales == 0


@pytest.mark.derived
def test_settings_stand_beside_the_sheet_in_force(
    workplace: Workplace, sheet_id: str, tmp_path: Path
) -> None:
    """Turns were raised by two after the sixth of ten bales: most bales had the sheet's. Pressure
    was measured: its middle and what 8 of 10 bales show. Knives were never sensed: not recorded.
    """
    kept = workplace.register.load_sheet(sheet_id)
    assert kept is not None
    lines = {one["key"]: one["value"] for one in kept.json["lines"]}
    turns = float(lines["wrap_turns"])
    bars = [100.0 + place for place in range(10)]
    record(
        workplace,
        tmp_path,
        10,
        sheet=[sheet_id] * 9 + ["S-lost"],
        wrap_turns=[turns] * 6 + [turns + 2] * 4,
        chamber_bar=bars,
        binding=["film"] * 10 if lines["binding"] == "net" else ["net"] * 10,
        mode=["automatic"] * 9 + ["by hand"],
        status=["ok"] * 9 + ["burst"],
    )
    found = sheet_from_record(workplace, "K-77", Asked(day=JUNE_2))
    assert (found.sheet_id, found.other_sheets, found.unnamed, found.by_hand) == (
        sheet_id,
        (),
        1,
        1,
    )
    wraps = line(found, "wrap_turns")
    assert (wraps.value, wraps.known) == (turns, 10)
    assert wraps.steps == (Step(turns, 6, 4001), Step(turns + 2, 4, 4007))
    assert wraps.planned.value == lines["wrap_turns"]
    assert wraps.differs is False
    pressure = line(found, "chamber_bar")
    assert (pressure.value, pressure.steps) == (np.median(bars), ())
    assert (pressure.low, pressure.high) == pytest.approx((100.9, 108.1))
    assert line(found, "binding").differs is True
    unknown = line(found, "knives_in")
    assert (unknown.value, unknown.known, unknown.differs) == (None, 0, None)
    assert {one["key"] for one in kept.json["lines"]} <= {one.key for one in found.lines}
    later = sheet_from_record(workplace, "K-77", Asked(first_bale=4005, last_bale=4010))
    assert later.bales == 6
    assert line(later, "wrap_turns").differs is True


@pytest.mark.own
def test_second_passes_and_tests_are_no_settings_of_the_day(
    workplace: Workplace, tmp_path: Path
) -> None:
    """A bale wrapped again and a trial are left out; without a sheet nothing is said to differ."""
    record(
        workplace,
        tmp_path,
        4,
        wrap_turns=[16.0, 16.0, 4.0, 30.0],
        status=["ok", "ok", "re-wrapped", "test"],
    )
    found = sheet_from_record(workplace, "K-77", Asked(day=JUNE_2))
    wraps = line(found, "wrap_turns")
    assert (found.bales, found.sheet_id, wraps.value, wraps.differs) == (2, None, 16.0, None)
    assert line(found, "gate_opening_mm").value is None


@pytest.mark.own
@pytest.mark.parametrize(
    ("asked", "message"),
    [
        (Asked(), "needs a day or two bale numbers"),
        (Asked(first_bale=3), "needs a day or two bale numbers"),
        (Asked(JUNE_2, 1, 2), "needs a day or two bale numbers"),
        (Asked(first_bale=9, last_bale=3), "needs two bale numbers in order"),
        (Asked(first_bale=-1, last_bale=3), "needs two bale numbers in order"),
        (Asked(day=date.max), "needs a day of this calendar"),
    ],
)
def test_what_cannot_be_asked_is_told(workplace: Workplace, asked: Asked, message: str) -> None:
    """Neither, both, turned round, or the end of time."""
    with pytest.raises(BadInput, match=message):
        sheet_from_record(workplace, "K-77", asked)


@pytest.mark.own
def test_an_unknown_machine_is_told(workplace: Workplace) -> None:
    """No sheet is made up for a serial nobody entered."""
    with pytest.raises(BadInput, match="a serial of the register"):
        sheet_from_record(workplace, "NOBODY", Asked(day=JUNE_2))
    with pytest.raises(BadInput, match="a serial of the register"):
        list_recorded_days(workplace, "NOBODY")


@pytest.mark.law
@given(st.lists(st.none() | st.sampled_from([12.0, 14.0, 16.0]), min_size=1, max_size=30))
def test_steps_add_up_to_the_bales_that_tell(turns: list[float | None]) -> None:
    """No bale is lost between steps, neighbours differ, and the value lies among the bales'."""
    from balewright.flows.sheet_from_record import _line

    bales = bale_table(len(turns), {"wrap_turns": turns, "bale_no": list(range(len(turns)))})
    found = _line(bales, "wrap_turns", None)
    told = [value for value in turns if value is not None]
    assert found.known == len(told)
    if found.steps:
        assert sum(step.bales for step in found.steps) == len(told)
        assert found.value in told
    assert all(
        one.value != two.value for one, two in zip(found.steps, found.steps[1:], strict=False)
    )
    assert (found.value is None) == (not told)
    if told:
        assert found.low is not None
        assert found.high is not None
        assert min(told) <= found.low <= found.high <= max(told)


@pytest.mark.own
def test_another_sheet_of_the_day_is_named(
    workplace: Workplace, sheet_id: str, tmp_path: Path
) -> None:
    """The sheet that most bales name is the one beside; the other one is told."""
    other = make_sheet(workplace, SheetRequest(replace(CONDITIONS, bales=50), serial="K-77"))
    other_id = keep_sheet(workplace, other)
    record(workplace, tmp_path, 5, sheet=[sheet_id] * 2 + [other_id] * 3, wrap_turns=[16.0] * 5)
    found = sheet_from_record(workplace, "K-77", Asked(day=JUNE_2))
    assert (found.sheet_id, found.other_sheets, found.unnamed) == (other_id, (sheet_id,), 0)
