"""What the runs say: bales an hour and hours to finish as quantiles, and where the time goes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.plan.pace.chance import Runs, race
from balewright.plan.pace.steady import CHAMBER_PHASES, WRAPPER_PHASES, Shares
from balewright.plan.pace.variation import Factors, Floats
from balewright.plan.pace.work import Work
from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval
from balewright.quantities.si import KG_PER_T, S_PER_H

CONFIDENCE_FRAC: Final = 0.90
SHARES_FRAC: Final = tuple(step / 20 for step in range(21))
"""Shares of the runs at which the hours to finish are told."""


@dataclass(frozen=True)
class SecondSaved:
    """Bales/h gained by one second saved in a phase, on the same draws; error_bales_h: standard
    error of that mean over the runs.
    """

    phase: str
    saved_bales_h: float
    error_bales_h: float


@dataclass(frozen=True)
class ChancePace:
    """A job under chance.

    pace_bales_h, throughput_t_h, finish_h: from the 5 % to the 95 % quantile of the runs, best
    the median; finish_by_h: hours within which 0, 5, 10 to 100 % of the runs are done;
    mean_bales_h with its standard error error_bales_h; shares: of the driver's time
    until the last bale is tipped; wrapper_idle_frac: of the same time; seconds: what one second
    saved in each phase is worth, the most useful first.
    """

    bales: int
    runs: int
    pace_bales_h: Interval
    throughput_t_h: Interval
    finish_h: Interval
    finish_by_h: tuple[float, ...]
    mean_bales_h: float
    error_bales_h: float
    shares: Shares
    wrapper_idle_frac: float
    seconds: tuple[SecondSaved, ...]


def chance_pace(work: Work, factors: Factors) -> ChancePace:
    """The pace over the runs of `factors`, from the first crop until the last bale is tipped.

    Its mean tends to `work_pace` as spreads fall and bales grow; a short job is slower by the
    wrapping of its last bale. Source key: `grisso-2020`.
    """
    runs = race(work, factors)
    paces = factors.bales / runs.whole_s * S_PER_H
    pace = _quantiles(paces)
    mass_t = work.mass_kg / KG_PER_T
    return ChancePace(
        bales=factors.bales,
        runs=factors.runs,
        pace_bales_h=pace,
        throughput_t_h=Interval(
            pace.low * mass_t, pace.best * mass_t, pace.high * mass_t, CONFIDENCE_FRAC
        ),
        finish_h=_quantiles(runs.whole_s / S_PER_H),
        finish_by_h=tuple(map(float, np.quantile(runs.whole_s / S_PER_H, SHARES_FRAC))),
        mean_bales_h=float(paces.mean()),
        error_bales_h=_error(paces),
        shares=_shares(runs),
        wrapper_idle_frac=float((runs.wrapper_idle_s / runs.whole_s).mean())
        if work.phases.wrapper_s > 0.0
        else 0.0,
        seconds=_seconds(work, factors, paces),
    )


def finish_within_frac(runs: Runs, hours: float) -> float:
    """Share of the runs that are done within `hours` (0..100,000). Raises BadInput outside."""
    require_between("hours", hours, 0.0, 1e5)
    return float((runs.whole_s <= hours * S_PER_H).mean())


def finish_quantile_h(runs: Runs, share_frac: float) -> float:
    """Hours within which that share (0..1) of the runs is done. Raises BadInput outside."""
    require_between("share_frac", share_frac, 0.0, 1.0)
    return float(np.quantile(runs.whole_s, share_frac)) / S_PER_H


def _quantiles(values: Floats) -> Interval:
    tail = (1.0 - CONFIDENCE_FRAC) / 2.0
    low, best, high = np.quantile(values, (tail, 0.5, 1.0 - tail))
    return Interval(float(low), float(best), float(high), CONFIDENCE_FRAC)


def _error(values: Floats) -> float:
    return float(values.std(ddof=1) / math.sqrt(values.size)) if values.size > 1 else math.inf


def _shares(runs: Runs) -> Shares:
    """The driver's time of all runs together; the last bale's gate counts as waiting."""
    times = runs.times
    count = runs.finish_s.shape[0]
    whole_s = float(runs.whole_s.sum())
    turning_s = count * float(times.turning_s.sum())
    stops_s = count * float((times.chamber_stop_s - times.turning_s + times.machine_stop_s).sum())
    stops_s += float(times.lost_s.sum())
    filling_s = float(times.fill_s.sum())
    standing_s = float(times.bind_s.sum() + times.gate_s[:, :-1].sum())
    standing_s = max(standing_s - float(runs.gathered_s.sum()), 0.0)
    waiting_s = max(whole_s - turning_s - stops_s - filling_s - standing_s, 0.0)
    return Shares(
        filling_frac=filling_s / whole_s,
        turning_frac=turning_s / whole_s,
        standing_frac=standing_s / whole_s,
        waiting_frac=waiting_s / whole_s,
        stops_frac=stops_s / whole_s,
    )


def _seconds(work: Work, factors: Factors, paces: Floats) -> tuple[SecondSaved, ...]:
    """Each phase a second shorter (or gone, where it is shorter than that), on the same draws."""
    names = (*CHAMBER_PHASES, *(WRAPPER_PHASES if work.phases.wrapper_s > 0.0 else ()))
    found = []
    for name in names:
        now_s = getattr(work.phases, name)
        step_s = min(1.0, now_s - 0.1) if name == "fill_s" else min(1.0, now_s)
        if step_s <= 0.0:
            found.append(SecondSaved(name, 0.0, 0.0))
            continue
        shorter = replace(work, phases=replace(work.phases, **{name: now_s - step_s}))
        quicker = factors.bales / race(shorter, factors).whole_s * S_PER_H
        gained = (quicker - paces) / step_s
        found.append(SecondSaved(name, float(gained.mean()), _error(gained)))
    return tuple(sorted(found, key=lambda one: -one.saved_bales_h))
