"""What moves a measure from outside the machine: crop, feed, ground, weather, the day's pace.

Nothing stands here that a fault moves by itself: oil temperature explains how fast oil moves
things, never how hard the drive pulls. Centres and scales are common practice or `assumed`: they
only set in which unit a slope is learnt.
"""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.findings.measures.inputs import inputs_of, inside, ratio
from balewright.findings.measures.measure import Explains
from balewright.findings.watched import Floats, Watched
from balewright.quantities.si import MICROSECONDS_PER_S, S_PER_H

_STANDARD_RPM: Final = (540.0, 750.0, 1000.0)
_WARM_UP_S: Final = 2400.0
"""Oil is about two thirds of the way to its working temperature after so long: `assumed`."""
_WARMEST_H: Final = 15.0
"""Solar hour at which air is usually warmest and crop driest: common practice."""


def _feed_m3_s(watched: Watched) -> Floats:
    """Bale volume over filling time: how fast crop came in, known to every machine with a clock."""
    seen = inputs_of(watched)
    volume_m3 = np.where(np.isfinite(seen.volume_m3), seen.volume_m3, _USUAL_M3)
    return ratio(volume_m3, seen.fill_s)


_USUAL_M3: Final = 1.5


def _moisture_frac(watched: Watched) -> Floats:
    return inputs_of(watched).believed("moisture_frac")


def _diameter_m(watched: Watched) -> Floats:
    return inputs_of(watched).believed("diameter_m")


def _mass_kg(watched: Watched) -> Floats:
    return inputs_of(watched).believed("mass_kg")


def _pto_share(watched: Watched) -> Floats:
    """PTO speed against the nearest standard one: the driver's throttle, good for any tractor."""
    rpm = inputs_of(watched).floats("pto_rpm")
    with np.errstate(invalid="ignore"):
        nearest = np.select([rpm < 640.0, rpm < 860.0], _STANDARD_RPM[:2], _STANDARD_RPM[2])
    return inside(rpm / nearest, 0.7, 1.3)


def _pace_bales_h(watched: Watched) -> Floats:
    return inputs_of(watched).pace_bales_h


def _warm_hour_share(watched: Watched) -> Floats:
    """1 at the warmest hour by the sun, -1 at the coolest; needs time and position."""
    seen = inputs_of(watched)
    utc_h = (seen.made_us / (MICROSECONDS_PER_S * S_PER_H)) % 24.0
    sun_h = utc_h + seen.floats("lon") / 15.0
    return np.where(seen.timed, np.cos((sun_h - _WARMEST_H) * np.pi / 12.0), np.nan)


def _warm_up_share(watched: Watched) -> Floats:
    """How far a machine has warmed up since the day's first bale, 0..1."""
    seen = inputs_of(watched)
    return np.where(seen.timed, 1.0 - np.exp(-seen.worked_s / _WARM_UP_S), np.nan)


def _column(name: str) -> Callable[[Watched], Floats]:
    def read(watched: Watched) -> Floats:
        return inputs_of(watched).floats(name)

    return read


_ALL: Final = (
    Explains("moisture_frac", "fraction", 0.45, 0.10, _moisture_frac),
    Explains("feed_m3_s", "m3/s", 0.038, 0.010, _feed_m3_s),
    Explains("speed_m_s", "m/s", 2.5, 0.6, _column("speed_m_s")),
    Explains("pitch_frac", "fraction", 0.0, 0.05, _column("pitch_frac")),
    Explains("roll_frac", "fraction", 0.0, 0.05, _column("roll_frac")),
    Explains("air_c", "C", 18.0, 6.0, _column("air_c")),
    Explains("oil_c", "C", 50.0, 10.0, _column("oil_c")),
    Explains("diameter_m", "m", 1.25, 0.05, _diameter_m),
    Explains("mass_kg", "kg", 650.0, 80.0, _mass_kg),
    Explains("knives_in", "knives", 12.0, 6.0, _column("knives_in")),
    Explains("pto_share", "share", 1.0, 0.03, _pto_share),
    Explains("pace_bales_h", "bales/h", 30.0, 12.0, _pace_bales_h),
    Explains("warm_up_share", "share", 0.8, 0.3, _warm_up_share),
    Explains("warm_hour_share", "share", 0.0, 0.7, _warm_hour_share),
)

EXPLAINS: Final = MappingProxyType({explains.key: explains for explains in _ALL})
"""By key. A value that is unknown at a bale is to be taken as its centre."""
