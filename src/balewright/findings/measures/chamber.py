"""What the chamber makes: pressure, gate opening, size and shape, density, crop through it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.measures.inputs import Inputs, inputs_of, inside, ratio
from balewright.findings.measures.measure import Family, Group, Measure
from balewright.findings.watched import Floats, Watched
from balewright.quantities.si import KG_PER_T, S_PER_H

_level = partial(Measure, family=Family.LEVEL, part="chamber")
_DENSITY: Final = ("chamber_bar", "density_dial")
"""Settings that press harder or softer on purpose: the sheet's line, the column of the dial."""


def _of(read: Callable[[Inputs], Floats]) -> Callable[[Watched], Floats]:
    return lambda watched: read(inputs_of(watched))


def _plain(name: str, low: float, high: float) -> Callable[[Watched], Floats]:
    """A column of plain bales, unknown outside what a running machine can show."""

    def read(watched: Watched) -> Floats:
        seen = inputs_of(watched)
        return np.where(seen.plain, inside(seen.floats(name), low, high), np.nan)

    return read


def _fresh_kg_m3(seen: Inputs) -> Floats:
    density = ratio(seen.believed("mass_kg"), seen.volume_m3)
    return np.where(seen.plain, inside(density, 30.0, 1200.0), np.nan)


def _moist_kg_m3(seen: Inputs) -> Floats:
    """Fresh density of bales whose moisture is not known: where it is, dry matter says more."""
    return np.where(np.isfinite(seen.believed("moisture_frac")), np.nan, _fresh_kg_m3(seen))


def _dry_kg_m3(seen: Inputs) -> Floats:
    dry_share = 1.0 - inside(seen.believed("moisture_frac"), 0.02, 0.90)
    return inside(_fresh_kg_m3(seen) * dry_share, 20.0, 500.0)


def _diameter_m(seen: Inputs) -> Floats:
    return np.where(seen.plain, seen.believed("diameter_m"), np.nan)


def _left_over_right_m(seen: Inputs) -> Floats:
    apart = seen.floats("diameter_left_m") - seen.floats("diameter_right_m")
    return np.where(seen.plain, inside(apart, -0.6, 0.6), np.nan)


def _wet_spot_frac(seen: Inputs) -> Floats:
    """Highest moisture in the bale over its mean; below zero no sensor can mean it."""
    over = seen.floats("moisture_max_frac") - seen.believed("moisture_frac")
    return np.where(seen.plain, inside(over, 0.0, 0.6), np.nan)


def _moisture_frac(seen: Inputs) -> Floats:
    return np.where(seen.plain, inside(seen.believed("moisture_frac"), 0.02, 0.90), np.nan)


def _feed_t_h(seen: Inputs) -> Floats:
    feed = ratio(seen.believed("mass_kg"), seen.fill_s) * S_PER_H / KG_PER_T
    return inside(feed, 0.5, 150.0)


def _row_kg_m(seen: Inputs) -> Floats:
    """Crop taken in a metre driven: mass over speed times filling time."""
    driven_m = inside(seen.floats("speed_m_s"), 0.2, 9.0) * seen.fill_s
    return inside(ratio(seen.believed("mass_kg"), driven_m), 0.1, 60.0)


CHAMBER: Final = (
    _level(
        key="chamber_bar", kind=FindingKind.PRESSURE_MOVED, unit="bar", columns=("chamber_bar",),
        read=_plain("chamber_bar", 2.0, 400.0), up=Weight.COST, down=Weight.COST,
        explained_by=("moisture_frac", "feed_m3_s"), is_log=True, floor=0.02, moved_by=_DENSITY,
        usual_spread=0.05, matter="density",
    ),
    _level(
        key="gate_opening_mm", kind=FindingKind.SHAPE_MOVED, unit="mm",
        columns=("gate_opening_mm",), read=_plain("gate_opening_mm", 0.0, 500.0),
        up=Weight.COST, down=Weight.COST, explained_by=("feed_m3_s", "moisture_frac"),
        floor=0.8, moved_by=("gate_opening_mm",), usual_spread=1.5, part="gate",
    ),
    # by physics: mass over the bale's own volume, less its water
    _level(
        key="dry_kg_m3", kind=FindingKind.DENSITY_MOVED, unit="kg/m3",
        columns=("mass_kg", "moisture_frac"), read=_of(_dry_kg_m3), up=Weight.NOTE,
        down=Weight.COST, explained_by=("moisture_frac", "feed_m3_s", "knives_in"), is_log=True,
        floor=0.05, moved_by=(*_DENSITY, "crop"), usual_spread=0.07, usual_group=0.6,
        matter="density",
        fault_frac=0.45,
        by_jobs_ratio=1.3,
    ),
    _level(
        key="fresh_kg_m3", kind=FindingKind.DENSITY_MOVED, unit="kg/m3", columns=("mass_kg",),
        read=_of(_moist_kg_m3), up=Weight.NOTE, down=Weight.COST,
        explained_by=("feed_m3_s", "knives_in"), is_log=True, floor=0.05,
        moved_by=(*_DENSITY, "crop"), usual_spread=0.08, usual_group=1.0, matter="density",
        yields=True,
        fault_frac=0.45,
        by_jobs_ratio=1.3,
        wanders=True,
    ),
    _level(
        key="diameter_m", kind=FindingKind.SHAPE_MOVED, unit="m", columns=("diameter_m",),
        read=_of(_diameter_m), up=Weight.COST, down=Weight.COST, explained_by=("feed_m3_s",),
        floor=0.008, moved_by=("diameter_m", "gate_opening_mm"), usual_spread=0.015,
    ),
    # crop slides downhill: side slope explains it honestly, one-sided driving is the driver's
    _level(
        key="left_over_right_m", kind=FindingKind.SHAPE_MOVED, unit="m",
        columns=("diameter_left_m", "diameter_right_m"), read=_of(_left_over_right_m),
        up=Weight.COST, down=Weight.COST, explained_by=("roll_frac",), floor=0.008,
        usual_spread=0.02, usual_group=0.5,
    ),
    _level(
        key="moisture_frac", kind=FindingKind.SENSOR_MOVED, unit="fraction",
        columns=("moisture_frac",), read=_of(_moisture_frac), up=Weight.NOTE, down=Weight.NOTE,
        explained_by=("warm_hour_share", "air_c"), floor=0.08, moved_by=("crop",),
        usual_spread=0.025, usual_group=3.0, part="moisture sensor",
        matter="moisture",
        fault_frac=0.3,
        by_jobs_ratio=1.3,
        wanders=True,
        tells_small=False,
    ),
    _level(
        key="wet_spot_frac", kind=FindingKind.SENSOR_MOVED, unit="fraction",
        columns=("moisture_max_frac", "moisture_frac"), read=_of(_wet_spot_frac),
        up=Weight.NOTE, down=Weight.NOTE, explained_by=("moisture_frac",), floor=0.008,
        moved_by=("crop",), usual_spread=0.02, usual_group=0.6, part="moisture sensor",
        matter="moisture",
    ),
    _level(
        key="feed_t_h", kind=FindingKind.FEED_MOVED, unit="t/h",
        columns=("mass_kg", "closed_at", "full_at"), read=_of(_feed_t_h), up=Weight.NOTE,
        down=Weight.NOTE, explained_by=("speed_m_s", "moisture_frac"), is_log=True, floor=0.12,
        moved_by=("crop",),
        usual_spread=0.2, usual_group=0.8, part="pickup", matter="feed",
        fault_frac=0.4,
        wanders=True,
    ),
    _level(
        key="row_kg_m", kind=FindingKind.FEED_MOVED, unit="kg/m",
        columns=("mass_kg", "speed_m_s", "closed_at", "full_at"), read=_of(_row_kg_m), up=None,
        down=Weight.NOTE, explained_by=("moisture_frac",), is_log=True, floor=0.12,
        moved_by=("crop",),
        usual_spread=0.2, usual_group=1.0, part="pickup", matter="feed",
        fault_frac=0.4,
        wanders=True,
    ),
    _level(
        key="speed_m_s", kind=FindingKind.FEED_MOVED, unit="m/s", columns=("speed_m_s",),
        read=_plain("speed_m_s", 0.2, 9.0), up=Weight.NOTE, down=None, group=Group.DAY,
        explained_by=("pitch_frac",), is_log=True, floor=0.25, moved_by=("operator", "crop"),
        usual_spread=0.15,
        usual_group=1.0, part="driver",
        fault_frac=0.25,
        wanders=True,
        tells_small=False,
    ),
)  # fmt: skip
