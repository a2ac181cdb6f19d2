"""What the journal tells of how a machine's bales differ, and what a new sheet makes of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from balewright.cards.sheet_json import sheet_from_json, sheet_to_json
from balewright.flows.make_sheet import SheetRequest, make_sheet
from balewright.flows.recorded_diameters import COLUMNS, LAST_BALES, diameters_of_sheet
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.sheet.sheet import Conditions
from balewright.readers.bale_csv import write_bale_csv
from balewright.records.bales import BaleTable, bale_table
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry
from balewright.words.languages import LANGUAGES
from balewright.words.sheet_words import conditions_of

pytestmark = pytest.mark.own

CONDITIONS = Conditions(
    Crop.GRASS_SILAGE, 0.55, 4.0, 2.5, 0.03, False, False, Film(0.75, 25e-6, 1500.0, 0.7),
    3000.0, 10.0, 200,
)  # fmt: skip
FIVE = [1.20, 1.22, 1.24, 1.26, 1.28]
"""By hand: mean 1.24, squares 2 * (0.04^2 + 0.02^2) = 0.004, over 4: 0.001, root 0.0316."""


def table(diameters_m: list[float], **columns: list[Any]) -> BaleTable:
    """Bales of machine K-77 in their order."""
    rows = len(diameters_m)
    given: dict[str, list[Any]] = {
        "machine": ["K-77"] * rows,
        "bale_no": list(range(1, rows + 1)),
        "closed_at": [1_938_000_000_000_000 + 120_000_000 * place for place in range(rows)],
        "status": ["ok"] * rows,
        "sheet": ["S-a"] * rows,
        "diameter_how": ["sensed"] * rows,
    }
    return bale_table(rows, {**given, "diameter_m": diameters_m, **columns})


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A workplace with one machine."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    opened.register.save_machine(MachineEntry("K-77", "Seventy-seven", "mossgrinder-m2", "UTC"))
    yield opened
    opened.register.close()


def record(workplace: Workplace, folder: Path, bales: BaleTable) -> None:
    """Take those bales in."""
    path = folder / "bales.csv"
    with path.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(bales, stream)
    assert take_in_file(workplace, path).kept == bales.rows


@pytest.mark.derived
def test_five_diameters_tell_a_spread_and_four_do_not() -> None:
    """Worked by hand: 31.6 mm."""
    found = diameters_of_sheet(table(FIVE), "S-a")
    assert found is not None
    assert found.readings == 5
    assert found.deviation.best == pytest.approx(0.0316228, abs=1e-7)
    assert diameters_of_sheet(table(FIVE[:4]), "S-a") is None
    assert set(COLUMNS) == {"sheet", "status", "diameter_m", "diameter_how"}


@pytest.mark.parametrize(
    "columns",
    [
        {"diameter_how": ["nominal", *["sensed"] * 4]},
        {"status": ["burst", *["ok"] * 4]},
        {"status": ["ok", "test", *["ok"] * 3]},
        {"sheet": ["S-b", *["S-a"] * 4]},
        {"sheet": [None, *["S-a"] * 4]},
    ],
)
def test_what_tells_nothing_of_a_bale_is_left_out(columns: dict[str, list[Any]]) -> None:
    """A nominal diameter, a burst or test bale and another sheet's bale are not counted."""
    assert diameters_of_sheet(table(FIVE, **columns), "S-a") is None


@pytest.mark.parametrize("diameters_m", [[1.25] * 40, [0.6, 2.0] * 20])
def test_what_nobody_measured_is_no_spread(diameters_m: list[float]) -> None:
    """Bales all alike, and bales that differ by more than bales can, fill nothing in."""
    assert diameters_of_sheet(table(diameters_m), "S-a") is None


def test_only_the_last_bales_count() -> None:
    """What was before the last 200 says nothing of now."""
    found = diameters_of_sheet(table([1.0, 1.5] * 50 + [1.24, 1.26] * (LAST_BALES // 2)), "S-a")
    assert found is not None
    assert found.readings == LAST_BALES
    assert found.deviation.best == pytest.approx(0.01, rel=0.01)


def test_a_sheet_takes_the_spread_from_the_record_and_says_so(
    workplace: Workplace, tmp_path: Path
) -> None:
    """The machine's sheet differs as its bales did, in every language; the make's does not; the
    sheet comes back from JSON with it.
    """
    before = make_sheet(workplace, SheetRequest(CONDITIONS, serial="K-77"))
    record(workplace, tmp_path, table(FIVE))
    sheet = make_sheet(workplace, SheetRequest(CONDITIONS, serial="K-77"))
    assert (before.spread_bales, before.conditions.diameter_spread_m) == (None, None)
    assert (sheet.spread_bales, sheet.conditions.diameter_spread_m) == (5, 0.0316)
    for language in LANGUAGES:
        said = " ".join(conditions_of(sheet, language)).replace("\N{NO-BREAK SPACE}", " ")
        assert "32 mm" in said, language
        assert "5 " in said.partition("32 mm")[2], language
    make = make_sheet(workplace, SheetRequest(CONDITIONS, profile_key="mossgrinder-m2"))
    assert make.spread_bales is None
    assert sheet_from_json(sheet_to_json(sheet)) == sheet
    assert sheet.expected.diameter_m.high > before.expected.diameter_m.best


def test_what_somebody_gave_comes_before_the_record(workplace: Workplace, tmp_path: Path) -> None:
    """A spread in the conditions stays as it is, and nothing is said of the record."""
    record(workplace, tmp_path, table(FIVE))
    given = replace(CONDITIONS, diameter_spread_m=0.01)
    sheet = make_sheet(workplace, SheetRequest(given, serial="K-77"))
    assert sheet.conditions == given
    assert sheet.spread_bales is None
    assert any(part.startswith("diameters spread by 10") for part in conditions_of(sheet))
    assert not any("its last" in part for part in conditions_of(sheet))
