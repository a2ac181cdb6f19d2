"""Machines of one kind: what is usual for them, learnt from all and lent to each.

A machine's own level is its own; how far bales scatter, how far jobs and rolls differ, how moisture
or oil move a value and how often film breaks is much alike over machines of a profile. So a machine
with few bales borrows that from its kind, the more so the more alike they are.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.findings.measures.book import MEASURES
from balewright.findings.watch import level_slots as level_slot
from balewright.findings.watch import rate_kernel as rate_slot
from balewright.findings.watch.honest import Shown, chance_of_level, chance_of_rate, shown_by
from balewright.findings.watch.level import LevelState, Usual, usual_of
from balewright.findings.watch.level_slots import LEAST_GROUP2
from balewright.findings.watch.rate import RateState, UsualRate
from balewright.findings.watch.state import MachineState

FEWEST_MACHINES: Final = 3
FEWEST_BALES: Final = 150
"""Bales a machine must have shown before it speaks for its kind."""
HELD: Final = 4.0
"""Groups of a machine count at most so many times the square of the middle machine, `assumed`: a
faulty one must not teach the others that anything is usual."""
_NEAR: Final = 0.25
"""Square, in bale spreads, of what a machine's groups may differ by where the middle one's do not:
most machines have one driver, some have two."""
LENT_GROUPS: Final = 4.0
"""Groups that the book's usual spread weighs among those that were seen."""
_LEAST_EVENTS: Final = 1.0
_MOST_EVENTS: Final = 30.0


@dataclass(frozen=True)
class Kind:
    """What is usual, by measure: of levels and of rates. machines: how many it was learnt from;
    shown: how often the charts of a measure show a lasting change, for whatever reason.
    """

    levels: Mapping[str, Usual]
    rates: Mapping[str, UsualRate]
    machines: int = 0
    shown: Mapping[str, Shown] = field(default_factory=lambda: MappingProxyType({}))


MEASURES_BY_KEY: Final = MappingProxyType({one.key: one for one in MEASURES})
NO_KIND: Final = Kind(MappingProxyType({}), MappingProxyType({}))
"""Nothing is known of other machines."""


def learn_kind(states: Iterable[MachineState]) -> Kind:
    """Pool the watches of machines of one profile; the order does not matter."""
    some = list(states)
    keys = sorted({key for one in some for key in one.levels})
    levels = {
        key: _pool_levels(key, [s.levels[key] for s in some if key in s.levels]) for key in keys
    }
    keys = sorted({key for one in some for key in one.rates})
    rates = {key: _pool_rates([s.rates[key] for s in some if key in s.rates]) for key in keys}
    return Kind(
        MappingProxyType({key: one for key, one in levels.items() if one is not None}),
        MappingProxyType({key: one for key, one in rates.items() if one is not None}),
        len(some),
        MappingProxyType(_shown(some)),
    )


def _shown(states: list[MachineState]) -> dict[str, Shown]:
    chances: dict[str, list[float]] = {}
    for state in states:
        for key, level in state.levels.items():
            chances.setdefault(key, []).append(chance_of_level(level))
        for key, rate in state.rates.items():
            chances.setdefault(key, []).append(chance_of_rate(rate))
    return {key: shown_by(chances[key]) for key in sorted(chances)}


def _pool_levels(key: str, states: list[LevelState]) -> Usual | None:
    """Medians over machines; the spread of levels by the median distance, never less than a bale's.

    A machine's slope is weighed by how well it knows it; how far slopes differ between machines is
    what remains beside that.
    """
    told = [one for one in states if one.kept[level_slot.JUDGED] >= FEWEST_BALES]
    if len(told) < FEWEST_MACHINES:
        return None
    means = np.array([one.alarms[0].before if one.alarms else one.mean[0] for one in told])
    spread = float(np.sqrt(np.median([one.kept[level_slot.SPREAD2] for one in told])))
    book = usual_of(MEASURES_BY_KEY[key])
    least2 = LEAST_GROUP2 * spread**2
    group = max(
        spread * _group_spread(told, level_slot.JOB, book.group_spread / book.spread), least2**0.5
    )
    roll = 0.0
    if book.roll_spread > 0:
        roll = max(
            spread * _group_spread(told, level_slot.ROLL, book.roll_spread / book.spread),
            least2**0.5,
        )
    level = float(np.median(means))
    apart = 1.4826 * float(np.median(np.abs(means - level)))
    slopes, slope_spreads = [], []
    for place in range(1, told[0].mean.shape[0] - 2):
        own = np.array([one.mean[place] for one in told])
        known2 = np.array([max(one.covariance[place, place], 1e-18) for one in told])
        slope = math.fsum(own / known2) / math.fsum(1.0 / known2)
        beside2 = max(float(np.median((own - slope) ** 2) / 0.4549 - np.median(known2)), 0.0)
        slopes.append(slope)
        slope_spreads.append(float(np.sqrt(beside2 + (0.2 * spread) ** 2)))
    return Usual(
        level=level,
        level_spread=max(1.5 * apart, spread),
        spread=spread,
        group_spread=group,
        slopes=tuple(slopes),
        slope_spreads=tuple(slope_spreads),
        least_spread=float(np.sqrt(told[0].kept[level_slot.LEAST2])),
        roll_spread=roll,
        like_frac=float(np.median([one.kept[level_slot.LIKE] for one in told])),
        is_learnt=True,
    )


def _group_spread(told: list[LevelState], base: int, usual_group: float) -> float:
    """How far groups differ on the machines, in bale spreads: the mean square over all groups seen,
    for some machines have several drivers and most have one."""
    own = np.array(
        [one.kept[base + level_slot.GROUP_RAW] / one.kept[level_slot.SPREAD2] for one in told]
    )
    seen = np.array([one.kept[base + level_slot.GROUPS] for one in told])
    own = np.where(seen > 0, own, 0.0)
    some = own[seen > 0.5]
    middle = max(float(np.median(some)), 0.0) if len(some) else 0.0
    held = np.minimum(own, HELD * middle + _NEAR)
    total = math.fsum(held * seen) + LENT_GROUPS * usual_group**2
    return math.sqrt(max(total / (math.fsum(seen) + LENT_GROUPS), 0.0))


def _pool_rates(states: list[RateState]) -> UsualRate | None:
    """One rate for all, worth as many events as machines agree on it (moments of a gamma)."""
    told = [one for one in states if one.kept[rate_slot.JUDGED] >= FEWEST_BALES]
    if len(told) < FEWEST_MACHINES:
        return None
    kept = np.array([one.kept for one in told])
    events = kept[:, rate_slot.EVENTS] + kept[:, rate_slot.RECENT_EVENTS]
    bales = kept[:, rate_slot.BALES] + kept[:, rate_slot.RECENT_BALES]
    rates = events / bales
    rate = float(events.sum() / bales.sum())
    between2 = float(np.median((rates - rate) ** 2) / 0.4549 - np.median(rate / bales))
    worth = rate**2 / between2 if between2 > 0 else _MOST_EVENTS
    slopes = np.median(np.array([one.slopes for one in told]), axis=0)
    return UsualRate(
        rate,
        float(min(max(worth, _LEAST_EVENTS), _MOST_EVENTS)),
        tuple(float(one) for one in slopes),
        is_learnt=True,
    )
