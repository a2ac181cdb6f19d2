"""Where each bale lies: as recorded, worked out between its neighbours in time, or not at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, Mask
from balewright.records.fields.inside import Floats, apart_m
from balewright.records.identity import bale_times

JUNK_SPEED_M_S: Final = 40.0
"""Faster than any machine is moved: a place that far off the ones before and behind is junk."""
JUNK_LEAP_M: Final = 2_000.0
BETWEEN_S: Final = 1_800.0
BETWEEN_M: Final = 300.0
"""A bale without a place lies between two neighbours no further apart in time and distance."""
_NULL_DEG: Final = 1e-6


@dataclass(frozen=True, eq=False)
class Positions:
    """Places of bales, each of shape (rows,).

    lat, lon: degrees, NaN where unknown; between: worked out by time between two neighbours;
    junk: recorded, but no place where the machine can have been.
    """

    lat: Floats
    lon: Floats
    between: Mask
    junk: Mask


def positions_of(bales: BaleTable) -> Positions:
    """Where the bales of one machine lie.

    0 north 0 east is no place. A place more than JUNK_LEAP_M off both neighbours in time, that
    could be reached from neither at JUNK_SPEED_M_S, is junk. Rows may stand in any order.
    """
    lat, lon = bales.floats("lat"), bales.floats("lon")
    placed = np.isfinite(lat) & np.isfinite(lon)
    junk = placed & (np.abs(lat) < _NULL_DEG) & (np.abs(lon) < _NULL_DEG)
    times, timed = bale_times(bales)
    junk |= _leaps(lat, lon, times, placed & timed & ~junk)
    good = placed & ~junk
    lat, lon = np.where(good, lat, np.nan), np.where(good, lon, np.nan)
    between = _fill_between(lat, lon, times, timed)
    return Positions(lat, lon, between, junk)


def _leaps(lat: Floats, lon: Floats, times: NDArray[np.int64], used: Mask) -> Mask:
    found = np.zeros(len(lat), dtype=np.bool_)
    rows = np.flatnonzero(used)
    rows = rows[np.lexsort((lon[rows], lat[rows], times[rows]))]
    if len(rows) < 3:
        return found
    far = apart_m(lat[rows[:-1]], lon[rows[:-1]], lat[rows[1:]], lon[rows[1:]])
    pause_s = np.diff(times[rows]) / 1e6
    wild = (far > JUNK_LEAP_M) & (far > JUNK_SPEED_M_S * pause_s)
    found[rows[1:-1]] = wild[:-1] & wild[1:]
    return found


def _fill_between(lat: Floats, lon: Floats, times: NDArray[np.int64], timed: Mask) -> Mask:
    """Fill places of timed rows without one, in place; where that was done."""
    between = np.zeros(len(lat), dtype=np.bool_)
    good = np.flatnonzero(timed & np.isfinite(lat))
    good = good[np.lexsort((lon[good], lat[good], times[good]))]
    lost = np.flatnonzero(timed & ~np.isfinite(lat))
    if len(good) < 2 or not len(lost):
        return between
    behind = np.searchsorted(times[good], times[lost], side="left")
    lost, behind = (
        lost[(behind > 0) & (behind < len(good))],
        behind[(behind > 0) & (behind < len(good))],
    )
    before, after = good[behind - 1], good[behind]
    span = times[after] - times[before]
    near = apart_m(lat[before], lon[before], lat[after], lon[after]) <= BETWEEN_M
    taken = near & (span <= BETWEEN_S * 1e6)
    lost, before, after, span = lost[taken], before[taken], after[taken], span[taken]
    share = (times[lost] - times[before]) / np.maximum(span, 1)
    east = (lon[after] - lon[before] + 180.0) % 360.0 - 180.0
    lat[lost] = lat[before] + share * (lat[after] - lat[before])
    lon[lost] = (lon[before] + share * east + 180.0) % 360.0 - 180.0
    between[lost] = True
    return between
