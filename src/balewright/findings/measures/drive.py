"""What drives and feeds the machine: torque, PTO speed, knives, oil, supply, additive."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.measures.inputs import Inputs, inputs_of, inside, ratio
from balewright.findings.measures.measure import Family, Group, Measure
from balewright.findings.watched import Floats, Watched
from balewright.quantities.si import KG_PER_T

_WARM_S: Final = 5400.0
"""After an hour and a half of work oil is near its working temperature: `assumed`."""

_level = partial(Measure, family=Family.LEVEL)


def _of(read: Callable[[Inputs], Floats]) -> Callable[[Watched], Floats]:
    return lambda watched: read(inputs_of(watched))


def _plain(seen: Inputs, name: str, low: float, high: float) -> Floats:
    return np.where(seen.plain, inside(seen.floats(name), low, high), np.nan)


def _warm_oil_c(seen: Inputs) -> Floats:
    """Of machines that have worked long enough since their last rest to be warm."""
    return np.where(seen.worked_s > _WARM_S, _plain(seen, "oil_c", -40.0, 160.0), np.nan)


def _additive_l_t(seen: Inputs) -> Floats:
    """Litres a tonne of fresh crop; a bale without any is another matter (a rate)."""
    rate = ratio(seen.floats("additive_l"), seen.believed("mass_kg")) * KG_PER_T
    return np.where(seen.plain, inside(rate, 0.02, 60.0), np.nan)


def _additive_l(seen: Inputs) -> Floats:
    """Litres a bale, of bales whose mass is not known: where it is, litres a tonne say it."""
    litres = _plain(seen, "additive_l", 0.02, 100.0)
    return np.where(np.isfinite(seen.believed("mass_kg")), np.nan, litres)


DRIVE: Final = (
    # blunt knives, dry bearings and tight chains pull harder for the same crop; never explained
    # by oil temperature or PTO speed, which the same faults move
    _level(
        key="pto_torque_nm", kind=FindingKind.DRIVE_MOVED, unit="Nm", columns=("pto_torque_nm",),
        read=_of(lambda seen: _plain(seen, "pto_torque_nm", 20.0, 10_000.0)), up=Weight.COST,
        down=None, explained_by=("feed_m3_s", "moisture_frac", "knives_in"),
        is_log=True, floor=0.05, moved_by=("chamber_bar", "density_dial", "knives_in", "crop"),
        usual_spread=0.12, usual_group=0.5, part="drive",
    ),
    _level(
        key="pto_rpm", kind=FindingKind.DRIVE_MOVED, unit="1/min", columns=("pto_rpm",),
        read=_of(lambda seen: _plain(seen, "pto_rpm", 200.0, 1500.0)), up=Weight.NOTE,
        down=Weight.NOTE, explained_by=("feed_m3_s", "pitch_frac"), is_log=True, floor=0.015,
        moved_by=("pto_rpm", "operator"), usual_spread=0.02, usual_group=0.8, part="drive",
        fault_frac=0.5,
    ),
    _level(
        key="knife_bar", kind=FindingKind.PRESSURE_MOVED, unit="bar", columns=("knife_bar",),
        read=_of(lambda seen: _plain(seen, "knife_bar", 2.0, 300.0)), up=Weight.COST,
        down=Weight.COST, explained_by=("feed_m3_s",), is_log=True, floor=0.025,
        moved_by=("knife_bar", "knives_in"), usual_spread=0.05, part="knives",
    ),
    _level(
        key="oil_c", kind=FindingKind.TEMPERATURE_MOVED, unit="C", columns=("oil_c",),
        read=_of(_warm_oil_c), up=Weight.COST, down=None,
        explained_by=("air_c", "pace_bales_h", "warm_hour_share"), floor=6.0,
        group=Group.DAY, usual_spread=3.0, usual_group=0.8, part="oil",
        fault_frac=0.5,
        by_jobs_ratio=1.5,
        wanders=True,
        tells_small=False,
    ),
    _level(
        key="supply_min_v", kind=FindingKind.SUPPLY_LOW, unit="V", columns=("supply_min_v",),
        read=_of(lambda seen: _plain(seen, "supply_min_v", 4.0, 40.0)), up=None,
        down=Weight.COST, explained_by=("air_c",), floor=0.12, group=Group.DAY, usual_spread=0.2,
        part="supply",
        matter="supply",
        fault_frac=0.6,
    ),
    _level(
        key="additive_l_t", kind=FindingKind.ADDITIVE_MOVED, unit="l/t",
        columns=("additive_l", "mass_kg"), read=_of(_additive_l_t), up=Weight.COST,
        down=Weight.COST, explained_by=("feed_m3_s",), is_log=True, floor=0.05,
        moved_by=("additive_l_t",), usual_spread=0.10, usual_group=0.8, part="additive",
        matter="additive",
    ),
    _level(
        key="additive_l", kind=FindingKind.ADDITIVE_MOVED, unit="l", columns=("additive_l",),
        read=_of(_additive_l), up=Weight.NOTE, down=Weight.NOTE,
        explained_by=("feed_m3_s", "mass_kg"), is_log=True, floor=0.08,
        moved_by=("additive_l_t",), usual_spread=0.12, usual_group=0.8, part="additive",
        matter="additive", yields=True,
        fault_frac=0.5,
        wanders=True,
    ),
)  # fmt: skip
