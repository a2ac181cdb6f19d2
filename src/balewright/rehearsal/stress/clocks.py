"""Clocks that show another time than it is."""

from __future__ import annotations

from typing import Final

import numpy as np

from balewright.rehearsal.stress.stressed import US, Ints, Stressed, work_days
from balewright.rehearsal.stress.timing import set_clock

_DAY_US: Final = 86_400 * US


def clock_offset(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Fast by `severity` seconds all season."""
    del chance
    return set_clock(one, lambda at_us: at_us + round(severity * US)).told(
        "clock offset", np.ones(one.bales.rows, dtype=np.bool_)
    )


def clock_drift(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Right at the first bale and `severity` seconds faster each day from there."""
    del chance
    begun = one.bales.column("closed_at")[one.bales.mask("closed_at")]
    if len(begun) == 0:
        return one
    first = int(begun.min())

    def shown(at_us: Ints) -> Ints:
        gone = np.round((at_us - first) / _DAY_US * severity * 10) * (US // 10)
        return np.asarray(at_us + gone.astype(np.int64))

    return set_clock(one, shown).told("clock drift", np.ones(one.bales.rows, dtype=np.bool_))


def clock_set_back(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """`severity` seconds slower from the begin of a bale in the middle of a working day on."""
    begun, days = one.bales.column("closed_at"), work_days(one.bales)
    rows = np.flatnonzero(one.bales.mask("closed_at"))
    inside = rows[(rows > 0) & (rows < len(days) - 1)]
    inside = inside[(days[inside - 1] == days[inside]) & (days[inside + 1] == days[inside])]
    middle = inside[(inside > 0.3 * len(days)) & (inside < 0.7 * len(days))]
    if len(middle) == 0:
        return one
    row = int(chance.choice(middle))
    since = int(begun[row])
    back_us = round(severity * US)
    done = set_clock(one, lambda at_us: np.where(at_us >= since, at_us - back_us, at_us))
    return done.told("clock set back", np.arange(len(days)) >= row)


def zone_wrong(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """`severity` seconds fast for a week of working days."""
    begun, days = one.bales.column("closed_at"), work_days(one.bales)
    if not one.bales.mask("closed_at").all():
        return one
    starts = np.array([begun[days == day].min() for day in range(int(days[-1]) + 1)])
    first = int(chance.choice(starts))
    later = starts[starts >= first + 7 * _DAY_US]
    until = int(later.min()) if len(later) else np.iinfo(np.int64).max
    fast_us = round(severity * US)
    done = set_clock(
        one, lambda at_us: np.where((at_us >= first) & (at_us < until), at_us + fast_us, at_us)
    )
    return done.told("zone wrong", (begun >= first) & (begun < until))


def whole_minutes(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Times cut to whole steps of `severity` seconds."""
    del chance
    if severity == 0.0:
        return one
    step_us = round(severity * US)
    return set_clock(one, lambda at_us: at_us // step_us * step_us).told(
        "whole minutes", np.ones(one.bales.rows, dtype=np.bool_)
    )
