"""One machine's bales in the order of time, with the job they stand under and where they lie."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, Mask
from balewright.records.fields.inside import Floats
from balewright.records.fields.positions import positions_of
from balewright.records.identity import REWRAPPED, bale_times


@dataclass(frozen=True, eq=False)
class Course:
    """Timed bales of one machine by time, each array of shape (n,).

    row: of the bale table; job: text, "" for none; lat, lon: degrees, NaN where unknown; between:
    the place was worked out between its neighbours in time.
    """

    row: NDArray[np.intp]
    time_us: NDArray[np.int64]
    job: NDArray[np.object_]
    lat: Floats
    lon: Floats
    between: Mask

    @property
    def located(self) -> Mask:
        """Which bales have a place of their own."""
        return np.isfinite(self.lat) & ~self.between


def course_of(bales: BaleTable) -> Course:
    """The course of one machine's bales. Passes over the wrapper are left out: they are often
    made in the yard. Bales without a time have no place in it."""
    times, timed = bale_times(bales)
    passes = bales.mask("status") & (bales.column("status") == REWRAPPED)
    rows = np.flatnonzero(timed & ~passes)
    places = positions_of(bales)
    job = np.where(bales.mask("job"), bales.column("job"), "").astype(object)
    numbers = np.where(bales.mask("bale_no"), bales.column("bale_no"), -1)
    rows = rows[np.lexsort((job[rows].astype(str), numbers[rows], times[rows]))]
    return Course(
        rows, times[rows], job[rows], places.lat[rows], places.lon[rows], places.between[rows]
    )
