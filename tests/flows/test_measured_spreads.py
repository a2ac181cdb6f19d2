"""How bales differ, from a file of their records."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from balewright.flows.measured_spreads import measured_spreads
from balewright.plan.film.strip import Bale, roll_metres_m
from balewright.quantities.errors import BadInput
from balewright.readers.bale_csv import write_bale_csv
from balewright.records.bales import bale_table

DIAMETERS_M = [1.24, 1.29, 1.21, 1.26, 1.33, 1.25, 1.22, 1.27]
STRETCHES = [0.66, 0.70, 0.68, 0.73, 0.71, 0.69, 0.64, 0.72]


def write(file: Path, **columns: list[object]) -> Path:
    """A bale CSV of one machine; film in metres as stretch and diameter take it at 12 turns."""
    rows = len(DIAMETERS_M)
    metres = [
        roll_metres_m(Bale(across, 1.2), 24.0, stretch)
        for across, stretch in zip(DIAMETERS_M, STRETCHES, strict=True)
    ]
    given: dict[str, list[object]] = {
        "machine": ["M-1"] * rows,
        "bale_no": list(range(1, rows + 1)),
        "wrap_turns": [12.0] * rows,
        "diameter_m": list(DIAMETERS_M),
        "film_m": list(metres),
    }
    with file.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(bale_table(rows, given | columns), stream)
    return file


@pytest.mark.derived
def test_spreads_of_diameter_and_stretch(tmp_path: Path) -> None:
    """Deviations are those of the values the file was made from."""
    found = measured_spreads(write(tmp_path / "a.csv"), 1.2, 2)
    assert found.bales == 8
    assert found.diameter is not None
    assert found.stretch is not None
    assert found.diameter.deviation.best == pytest.approx(np.std(DIAMETERS_M, ddof=1))
    assert found.stretch.deviation.best == pytest.approx(np.std(STRETCHES, ddof=1), rel=1e-6)


@pytest.mark.law
def test_odd_bales_and_nominal_diameters_are_left_out(tmp_path: Path) -> None:
    """Test bales, lost rolls and a diameter only taken from the setting tell no spread."""
    rows = len(DIAMETERS_M)
    odd = write(tmp_path / "odd.csv", status=["test", "burst", "re-wrapped"] + ["ok"] * (rows - 3))
    found = measured_spreads(odd, 1.2, 2)
    assert found.diameter is not None
    assert found.diameter.readings == rows - 3
    lost = write(tmp_path / "lost.csv", roll_lost=[1] * 4 + [None] * (rows - 4))
    assert measured_spreads(lost, 1.2, 2).diameter is None  # four are left
    nominal = write(tmp_path / "nominal.csv", diameter_how=["nominal"] * rows)
    assert measured_spreads(nominal, 1.2, 2).diameter is None
    assert measured_spreads(nominal, 1.2, 2).stretch is None


@pytest.mark.law
def test_metres_of_both_rolls_apart_or_together(tmp_path: Path) -> None:
    """Where only the dispensers' own metres are known they are added; one alone tells nothing."""
    rows = len(DIAMETERS_M)
    whole = measured_spreads(write(tmp_path / "a.csv"), 1.2, 2)
    halves = [
        roll_metres_m(Bale(across, 1.2), 12.0, stretch)
        for across, stretch in zip(DIAMETERS_M, STRETCHES, strict=True)
    ]
    none: list[object] = [None] * rows
    both = write(tmp_path / "b.csv", film_m=none, film1_m=list(halves), film2_m=list(halves))
    found = measured_spreads(both, 1.2, 2)
    assert found.stretch is not None
    assert whole.stretch is not None
    assert found.stretch.deviation.best == pytest.approx(whole.stretch.deviation.best, rel=1e-3)
    one = write(tmp_path / "c.csv", film_m=none, film1_m=list(halves))
    assert measured_spreads(one, 1.2, 2).stretch is None


@pytest.mark.law
def test_a_file_that_is_none_is_told(tmp_path: Path) -> None:
    """No file, or one of other things."""
    with pytest.raises(BadInput):
        measured_spreads(tmp_path / "none.csv", 1.2, 2)
