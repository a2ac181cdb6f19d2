"""How often a machine in order shows as much, unrecorded causes counted in: an empirical null.

A chart's own chance is that of its model. Weather, crop, drivers and batches that no record names
are real changes and no chance, and no model holds in its far tail. So what the charts of many
machines show is counted: the share of them with a lasting change that is just beyond what the model
makes of chance. There faults are few beside what is honest (they soon show far more), so that the
share may be counted on mixed fleets. From there on honest causes thin out slower than the model's.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from balewright.findings.watch.chances import rate_chance
from balewright.findings.watch.level import LevelState
from balewright.findings.watch.rate import RateState, Rise
from balewright.findings.watch.spans import changes_of

MODERATE: Final = (6.0, 12.0)
"""What is counted: evidence, the logarithm of one over a chance, from here to there."""
USUAL_SHARE: Final = 9e-4
"""Of charts of machines in order, looked at on one day: counted on 390 clean tuning seasons."""
USUAL_CHARTS: Final = 300.0
"""Charts of a measure that the usual share weighs beside those of the fleet."""
_KNEE: Final = 8.0
_BEYOND_KNEE: Final = 0.22
"""Of those with moderate evidence, how many reach this far: the same seasons."""
_THINS: Final = 6.0
"""From there on evidence grows by so much until honest causes are fewer by e; the model's own
thin out six times as fast. Set on the tuning seasons by the log score of the certainty."""


@dataclass(frozen=True)
class Shown:
    """Of a kind's charts of one measure: how many there were, and how many had a lasting change of
    moderate evidence."""

    charts: int
    moderate: int


_BY_JOBS: Final = 0.3
"""Jobs held against each other hold back more than their model reckons with: so many times it is
what 600 clean tuning seasons showed."""


def honest_chance(chance_frac: float, by_jobs: bool = False) -> float:
    """How often a machine in order usually shows as much, for whatever reason.

    chance_frac: by the chart's model; by_jobs: whether that is of jobs held against each other.
    """
    chance_frac *= _BY_JOBS if by_jobs else 1.0
    beyond = math.exp(min((_KNEE - evidence_of(chance_frac)) / _THINS, 0.0))
    return min(max(chance_frac, USUAL_SHARE * _BEYOND_KNEE * beyond), 1.0)


def chance_in_fleet(chance_frac: float, shown: Shown) -> float:
    """The same on the machines of this fleet.

    chance_frac: as usual; shown: what charts of the measure show over the fleet, which the usual
    share outweighs where they are few.
    """
    usual = USUAL_CHARTS * USUAL_SHARE
    times = (usual + shown.moderate) / (usual + shown.charts * USUAL_SHARE)
    return min(chance_frac * times, 1.0)


def evidence_of(chance_frac: float) -> float:
    """The logarithm of one over a chance."""
    return -math.log(max(chance_frac, 1e-300))


def shown_by(chances: Iterable[float]) -> Shown:
    """Count charts; chances: of each, of its surest lasting change, 1 where it has none."""
    all_of_them = [evidence_of(one) for one in chances]
    low, high = MODERATE
    return Shown(len(all_of_them), sum(low <= one < high for one in all_of_them))


def chance_of_level(state: LevelState) -> float:
    """Of a level's lasting change by the model, 1 where it has none."""
    lasting = [one for one in changes_of(state) if one.until is None]
    return min((one.chance_frac for one in lasting), default=1.0)


def chance_of_rate(state: RateState) -> float:
    """Of a rate's lasting rise by the model, 1 where it has none."""
    lasting = [one for one in state.rises if one.over is None]
    return min((chance_of_rise(one, state) for one in lasting), default=1.0)


def chance_of_rise(rise: Rise, state: RateState) -> float:
    """Of one rise by the model, what was seen of it since counted in where it lasts."""
    events, expected = seen_of_rise(rise, state)
    excess = events * math.log(max(events, 1.0) / max(expected, 1e-9)) - events + expected
    return rate_chance(max(rise.statistic, excess), rise.before, rise.chart, rise.judged)


def seen_of_rise(rise: Rise, state: RateState) -> tuple[float, float]:
    """Events of a rise until now, and those that the old rate would have given."""
    if rise.over is not None:
        return rise.events, rise.expected
    return max(rise.events, state.seen), max(rise.expected, state.expected)
