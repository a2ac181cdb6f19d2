"""Diesel an hour at a given load, by two equations that disagree."""

from __future__ import annotations

import math
from typing import Final

from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval

LEAST_LOAD_FRAC: Final = 0.05
SPARING_FRAC: Final = 0.88
"""The most sparing engines against the newer equation: `assumed`, so that a tested one (source
key `sample-tractor`) lies inside."""


def fuel_l_h(need_kw: float, rated_pto_kw: float) -> Interval:
    """Diesel an hour where `need_kw` (0..rated) of `rated_pto_kw` (5..1000) is asked for.

    With X the share asked for: the newer fit gives (0.22 X + 0.096) l/h for each rated kW; the
    older one 2.64 X + 3.91 - 0.203 sqrt(738 X + 173) l for each kWh and has 15 % in it for
    engines in the field. Best is their mean, high the dearer of them, low the other one less
    12 %. Valid from a twentieth of the rated power on, below it the load is taken as a
    twentieth. Coefficients from memory. Source keys: `grisso-fuel`, `d497-values-memory`.
    """
    require_between("rated_pto_kw", rated_pto_kw, 5.0, 1000.0)
    require_between("need_kw", need_kw, 0.0, rated_pto_kw)
    load = max(need_kw / rated_pto_kw, LEAST_LOAD_FRAC)
    newer = (0.22 * load + 0.096) * rated_pto_kw
    older = (2.64 * load + 3.91 - 0.203 * math.sqrt(738.0 * load + 173.0)) * load * rated_pto_kw
    low, high = sorted((newer, older))
    return Interval(SPARING_FRAC * low, (low + high) / 2.0, high)
