"""All about the pace of one machine in one field, as one value for people, pictures and JSON."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.plan.pace.chance import race
from balewright.plan.pace.chances import ChancePace, chance_pace
from balewright.plan.pace.effects import Effect, setting_effects, turning_speed_m_s
from balewright.plan.pace.settings import Settings, work_of
from balewright.plan.pace.steady import WorkPace, work_pace
from balewright.plan.pace.timeline import Span, lay_out
from balewright.plan.pace.variation import Variation, draw_factors
from balewright.plan.pace.work import Work
from balewright.quantities.checks import require_count
from balewright.quantities.si import KM_H_PER_M_S

USUAL_SPREAD: Final = Variation(
    fill_frac=0.20, bind_frac=0.10, gate_frac=0.10, wrap_frac=0.05, tip_frac=0.10
)
"""Spreads from bale to bale where nobody measured (assumed)."""
SHOWN_BALES: Final = 5
_SLOWEST_KM_H, _FASTEST_KM_H, _STEP_KM_H = 3.0, 16.0, 0.5


@dataclass(frozen=True)
class Job:
    """How much is done, how the times vary, and the draws: bales 1..100,000 of one job; runs:
    how often it is drawn, 2..100,000; seed: 0 or more, the same seed gives the same answer.
    """

    bales: int = 200
    runs: int = 400
    seed: int = 1
    variation: Variation = USUAL_SPREAD

    def __post_init__(self) -> None:
        require_count("bales", self.bales, 1, 100_000)
        require_count("runs", self.runs, 2, 100_000)
        require_count("seed", self.seed, 0, 2**63)


@dataclass(frozen=True)
class AtSpeed:
    """The steady pace at one forward speed."""

    speed_m_s: float
    pace_bales_h: float


@dataclass(frozen=True)
class PaceAnswer:
    """settings: None where bare times were given, and with it effects, by_speed and the speed at
    which the bottleneck changes; spans: the first bales of the first run, () with a buffer.
    """

    settings: Settings | None
    work: Work
    steady: WorkPace
    chance: ChancePace
    effects: tuple[Effect, ...]
    by_speed: tuple[AtSpeed, ...]
    turning_speed_m_s: float | None
    spans: tuple[Span, ...]


def answer_pace(asked: Settings | Work, job: Job | None = None) -> PaceAnswer:
    """Steady pace, chance, effects and timeline.

    asked: settings, or a work whose times are known as they are; job: 200 bales with the usual
    spread where None. Raises BadInput where a value is out of its range.
    """
    job = job or Job()
    settings = asked if isinstance(asked, Settings) else None
    work = asked if isinstance(asked, Work) else work_of(asked)
    generator = np.random.default_rng(job.seed)
    factors = draw_factors(generator, job.runs, job.bales, job.variation)
    first = replace(factors, **{name: drawn[:1] for name, drawn in vars(factors).items()})
    buffered = work.phases.buffer_s > 0.0
    return PaceAnswer(
        settings=settings,
        work=work,
        steady=work_pace(work),
        chance=chance_pace(work, factors),
        effects=() if settings is None else setting_effects(settings),
        by_speed=() if settings is None else _by_speed(settings),
        turning_speed_m_s=None if settings is None else turning_speed_m_s(settings),
        spans=() if buffered else lay_out(race(work, first), 0, SHOWN_BALES),
    )


def _by_speed(settings: Settings) -> tuple[AtSpeed, ...]:
    """From 3 to 16 km/h, the kink and the speed that is driven among them."""
    count = round((_FASTEST_KM_H - _SLOWEST_KM_H) / _STEP_KM_H)
    speeds = {(_SLOWEST_KM_H + _STEP_KM_H * step) / KM_H_PER_M_S for step in range(count + 1)}
    speeds.add(settings.row.speed_m_s)
    kink = turning_speed_m_s(settings)
    if kink is not None and min(speeds) < kink < max(speeds):
        speeds.add(kink)
    found = []
    for speed in sorted(speeds):
        driven = replace(settings, row=replace(settings.row, speed_m_s=speed))
        found.append(AtSpeed(speed, work_pace(work_of(driven)).pace_bales_h))
    return tuple(found)
