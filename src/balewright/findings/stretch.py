"""Pre-stretch, from the metres each dispenser drew in a wrap turn.

One dispenser against the other is good to about 2 points, because bale, path and turns are the
same for both; the stretch itself only to about 8 points (`common practice, no source`). Metres
counted after the stretch say nothing about it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.film import path_share
from balewright.findings.finding import FindingKind, Weight
from balewright.findings.metres import LONGER_SHARE
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import Run, supported_runs
from balewright.findings.sure import bale_noise, lasting_noise, level_interval
from balewright.findings.watched import Bools, Floats, Found, Watched
from balewright.plan.machine import MetresCounted
from balewright.quantities.reason import because

RATIO_ERROR_FRAC: Final = 0.02
ABSOLUTE_ERROR_FRAC: Final = 0.08
UNEQUAL_FRAC: Final = 0.05
"""Difference between two dispensers that breaks the plan: the error of the ratio and the scatter
of a bale on top."""
NOISE_TIMES: Final = 2.5
"""A machine whose readings jump more than usual from bale to bale gets a wider limit: so many
times its own noise."""
LASTING_TIMES: Final = 1.6
"""Likewise of noise that lasts from bale to bale, which the steps do not show. So few times that
it counts only where a reading keeps more than half of the one before: with heavy tails and half
kept, 2.5 times the steps is 1.63 to 2.04 times this."""
OFF_FRAC: Final = 0.12
"""Distance from the planned stretch that breaks the plan, likewise."""
NOTICED_FRAC: Final = 0.5
"""A dispenser that drew less than half of its film was out for part of the bale: another matter."""


def find_stretch(watched: Watched) -> Iterator[Found]:
    """Dispensers that stretch unlike each other, then stretch that is off on its own."""
    for plan, rows in watched.by_plan():
        wrapper, planned = plan.wrapper, plan.pre_stretch_frac
        if wrapper is None or planned is None:
            continue
        if wrapper.metres_counted is not MetresCounted.BEFORE_STRETCH:
            continue
        usable = rows & watched.whole & _undisturbed(watched, wrapper.dispensers)
        each = [_stretch(watched, plan, f"film{n + 1}_m", 1) for n in range(wrapper.dispensers)]
        unequal = np.zeros(watched.bales.rows, dtype=np.bool_)
        if wrapper.dispensers == 2:
            for found in _compare(watched, each, usable, planned):
                unequal[found.run.rows[0] : found.run.rows[-1] + 1] = True
                yield found
        yield from _absolute(watched, _of_all(watched, plan, each), usable & ~unequal, planned)


def stretch_of(watched: Watched, plan: PlannedBale) -> Floats | None:
    """Stretch of each bale's film over all dispensers, NaN unknown; None where the machine's
    metres say nothing about it."""
    wrapper = plan.wrapper
    if wrapper is None or wrapper.metres_counted is not MetresCounted.BEFORE_STRETCH:
        return None
    each = [_stretch(watched, plan, f"film{n + 1}_m", 1) for n in range(wrapper.dispensers)]
    return _of_all(watched, plan, each)


def _of_all(watched: Watched, plan: PlannedBale, each: list[Floats]) -> Floats:
    total = _stretch(watched, plan, "film_m", len(each))
    own = each[0] if len(each) == 1 else np.mean(each, axis=0)
    return np.where(np.isnan(own), total, own)


def _undisturbed(watched: Watched, dispensers: int) -> Bools:
    rolls_on = watched.floats("rolls_on")
    all_on: Bools = np.isnan(rolls_on) | (rolls_on == dispensers)
    turns = watched.floats("wrap_turns")
    usable: Bools = all_on & ~watched.bales.mask("roll_lost") & np.isfinite(turns) & (turns > 0)
    return usable


def _stretch(watched: Watched, plan: PlannedBale, column: str, rolls: int) -> Floats:
    """Stretch fraction by way of the film over metres drawn, NaN where unknown or absurd."""
    way_m = watched.floats("wrap_turns") * plan.film_path_m * path_share(watched, plan) * rolls
    metres = watched.floats(column)
    with np.errstate(divide="ignore", invalid="ignore"):
        stretch = np.where(metres > 0, way_m / metres - 1.0, np.nan)
    most = 2.0 * (1.0 + (plan.pre_stretch_frac or 0.0))
    return np.where((stretch < most) & (stretch > 1.0 / LONGER_SHARE - 1.0), stretch, np.nan)


def _compare(
    watched: Watched, each: list[Floats], usable: Bools, planned: float
) -> Iterator[Found]:
    one, other = each
    with np.errstate(invalid="ignore"):
        # both saw the same bale, so the ratio is free of its way; planned stretch sets the scale
        gap = (1.0 + one) / (1.0 + other) * (1.0 + planned) - (1.0 + planned)
    judged = usable & np.isfinite(gap) & (np.abs(gap) < NOTICED_FRAC)
    known = gap[judged]
    noise_frac = max(NOISE_TIMES * bale_noise(known), LASTING_TIMES * lasting_noise(known))
    limit_frac = max(UNEQUAL_FRAC, noise_frac)
    for sign in (1.0, -1.0):
        for run in supported_runs(judged & (sign * gap > limit_frac), judged):
            seen = level_interval(gap[run.rows], RATIO_ERROR_FRAC)
            dispenser = _which_moved(each, run, judged, planned)
            level = float(np.median(each[dispenser - 1][run.rows]))
            higher = level > float(np.median(each[2 - dispenser][run.rows]))
            words = because(
                "findings.stretch.higher" if higher else "findings.stretch.lower",
                dispenser=dispenser,
                gap_frac=round(abs(seen.best), 4),
                error_frac=RATIO_ERROR_FRAC,
                stretch_frac=round(level, 4),
                absolute_error_frac=ABSOLUTE_ERROR_FRAC,
                planned_stretch_frac=planned,
                **watched.facts(run),
            )
            evidence = ("film1_m", "film2_m", "wrap_turns")
            yield Found(
                FindingKind.STRETCH_UNEQUAL,
                Weight.COST,
                run,
                0.0,
                seen,
                "fraction",
                evidence,
                words,
            )


def _which_moved(each: list[Floats], run: Run, judged: Bools, planned: float) -> int:
    """The dispenser that left its own earlier level, else the one farther from the plan."""
    before = np.zeros(len(judged), dtype=np.bool_)
    before[: run.rows[0]] = judged[: run.rows[0]]
    away = []
    for stretch in each:
        earlier = stretch[before & np.isfinite(stretch)]
        reference = float(np.median(earlier)) if len(earlier) >= 20 else planned
        away.append(abs(float(np.median(stretch[run.rows])) - reference))
    return 1 if away[0] >= away[1] else 2


def _absolute(watched: Watched, stretch: Floats, usable: Bools, planned: float) -> Iterator[Found]:
    judged = usable & np.isfinite(stretch)
    for sign, key in ((1.0, "high"), (-1.0, "low")):
        out = judged & (sign * (stretch - planned) > OFF_FRAC)
        for run in supported_runs(out, judged):
            seen = level_interval(stretch[run.rows], ABSOLUTE_ERROR_FRAC)
            words = because(
                f"findings.stretch.off_{key}",
                stretch_frac=round(seen.best, 4),
                absolute_error_frac=ABSOLUTE_ERROR_FRAC,
                planned_stretch_frac=planned,
                **watched.facts(run),
            )
            evidence = tuple(
                n for n in ("film1_m", "film2_m", "film_m", "wrap_turns") if watched.bales.has(n)
            )
            yield Found(
                FindingKind.STRETCH_OFF,
                Weight.COST,
                run,
                planned,
                seen,
                "fraction",
                evidence,
                words,
            )
