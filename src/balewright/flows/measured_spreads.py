"""How much a machine's bales differ, from a file of their records."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from balewright.plan.film.recorded_spread import (
    RecordedSpread,
    recorded_spread,
    stretches_from_metres,
)
from balewright.readers.open_records import open_records
from balewright.records.bales import BaleTable

#: Stretch beyond this is a counter that stood still or ran away, not film.
_MOST_STRETCH = 1.5


@dataclass(frozen=True)
class MeasuredSpreads:
    """What the file tells: bales read; spread of diameter (m) and of stretch (a fraction), None
    where fewer than five bales tell it."""

    bales: int
    diameter: RecordedSpread | None
    stretch: RecordedSpread | None


def measured_spreads(path: Path, length_m: float, dispensers: int) -> MeasuredSpreads:
    """Read the records of one machine and job and tell how its bales differ.

    path: bale records of any known form; length_m: of the bales, 0.3 to 3; dispensers: 1 or 2,
    both in work. Bales that are no ordinary ones (test, burst, wrapped again, a roll lost) and
    diameters that were only nominal are left out; so is a stretch below 0 or above 1.5, and every
    bale of which a part is unknown. Raises BadInput for a file that is none.
    """
    bales = 0
    diameters, stretches = [np.empty(0)], [np.empty(0)]
    for batch in open_records(path).batches:
        bales += batch.bales.rows
        ordinary = batch.bales.take(_ordinary(batch.bales))
        across = ordinary.floats("diameter_m")
        nominal = ordinary.mask("diameter_how") & (ordinary.column("diameter_how") == "nominal")
        across = np.where(nominal.astype(np.bool_), np.nan, across)
        all_turns = ordinary.floats("wrap_turns") * dispensers
        stretch = stretches_from_metres(_film_m(ordinary, dispensers), all_turns, across, length_m)
        diameters.append(across)
        stretches.append(stretch[(stretch >= 0.0) & (stretch <= _MOST_STRETCH)])
    return MeasuredSpreads(
        bales=bales,
        diameter=recorded_spread(np.concatenate(diameters)),
        stretch=recorded_spread(np.concatenate(stretches)),
    )


def _ordinary(bales: BaleTable) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    odd = bales.mask("status") & (bales.column("status") != "ok")
    lost = bales.mask("roll_lost") | (bales.mask("film_breaks") & (bales.column("film_breaks") > 0))
    kept = ~(odd.astype(np.bool_) | lost.astype(np.bool_))
    return np.asarray(kept, dtype=np.bool_)


def _film_m(bales: BaleTable, dispensers: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Metres off all rolls: the total, or both dispensers' own."""
    total = bales.floats("film_m")
    apart = bales.floats("film1_m")
    if dispensers == 2:
        apart = apart + bales.floats("film2_m")
    return np.asarray(np.where(np.isnan(total), apart, total))
