"""How far the bale turns under the film: strips that lie too near or too far from each other.

The bale's own turns times its girth, over the wrap turns, is the advance that lays one strip
beside the other. Where rollers slip or a belt drags, the same film lies in a heap here and leaves
the bale bare there; turns and metres look as planned.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.layers import MANY_SLIVERS_SHARE, SHORT_SHARE, SLIVER_M
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import Run, supported_runs
from balewright.findings.sure import lasting_noise, level_interval
from balewright.findings.watched import Floats, Found, Watched
from balewright.plan.film.many_bales import count_many, many_bales, plain_legs
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because

ADVANCE_ROOM_SHARE: Final = 0.15
"""A bale's turns are shown in tenths, some 6 % of the turn and a half it makes, and its girth is
known to 2 %: `assumed`."""
NOISE_TIMES: Final = 3.0
ADVANCE_ERROR_SHARE: Final = 0.04
STEPS: Final = 9
"""Advances looked at within what is known of it."""


def find_advance(watched: Watched) -> Iterator[Found]:
    """Runs of bales that turned less, or more, under the film than the machine should turn them."""
    if not (watched.bales.has("wrap_bale_turns") and watched.bales.has("wrap_turns")):
        return
    for plan, rows in watched.by_plan():
        if plan.wrapper is None or plan.layers is None:
            continue
        planned_m, turns = plan.wrapper.advance_m, watched.floats("wrap_turns")
        with np.errstate(divide="ignore", invalid="ignore"):
            advance = watched.floats("wrap_bale_turns") * np.pi * _diameter_m(watched, plan) / turns
        alone = watched.floats("rolls_on") < plan.wrapper.dispensers
        calm = (turns >= 4) & ~alone & ~watched.bales.mask("roll_lost")
        judged = rows & watched.whole & np.isfinite(advance) & calm
        gap = advance / planned_m - 1.0
        limit = max(ADVANCE_ROOM_SHARE, NOISE_TIMES * lasting_noise(gap[judged]))
        for sign, key in ((-1.0, "less"), (1.0, "more")):
            for run in supported_runs(sign * gap > limit, judged):
                yield _tell(watched, plan, run, advance, key)


def _diameter_m(watched: Watched, plan: PlannedBale) -> Floats:
    diameter = watched.floats("diameter_m")
    return np.where(np.isfinite(diameter), diameter, plan.bale.diameter_m)


def _tell(watched: Watched, plan: PlannedBale, run: Run, advance: Floats, key: str) -> Found:
    planned_m = plan.wrapper.advance_m if plan.wrapper is not None else 0.0
    seen = level_interval(advance[run.rows], ADVANCE_ERROR_SHARE * planned_m)
    turns = float(np.median(watched.floats("wrap_turns")[run.rows]))
    thinnest, short_frac, short = _layers_at(plan, seen, turns)
    need = plan.need_layers or 0
    values = {"advance_m": round(seen.best, 3), "planned_advance_m": round(planned_m, 3)}
    if short:
        words = because(
            "findings.advance.short", thinnest=thinnest, need=need,
            short_frac=round(short_frac, 4), **values, **watched.facts(run),
        )  # fmt: skip
        weight = Weight.COST  # however thin: one sensor alone says so
    else:
        words = because(f"findings.advance.{key}", **values, **watched.facts(run))
        weight = Weight.NOTE
    evidence = ("wrap_bale_turns", "wrap_turns")
    return Found(
        FindingKind.LAYERS_SHORT, weight, run, planned_m, seen, "m", evidence, words, "bale turning"
    )


def _layers_at(plan: PlannedBale, advance: Interval, turns: float) -> tuple[int, float, bool]:
    """Thinnest spot and share short over the interval of the advance (m), at its mildest, and
    whether that is more than slivers. Where strips fall turns on little: only what holds all
    over the interval is told as short.
    """
    planned, wrapper, strip_m = plan.layers, plan.wrapper, plan.strip_m(None)
    girth_m = np.pi * plan.bale.diameter_m
    bale_turn = np.linspace(advance.low, advance.high, STEPS) / girth_m
    if planned is None or wrapper is None or strip_m is None or strip_m >= girth_m / 2.0:
        return 0, 0.0, False
    if bale_turn[0] < 0.001 or bale_turn[-1] > 1.0:  # no such turning: the reading is wrong
        return planned.thinnest, 0.0, False
    legs = plain_legs(np.full(STEPS, round(2 * turns) / 2), bale_turn, wrapper.dispensers)
    many = many_bales(
        diameter_m=plan.bale.diameter_m, length_m=plan.bale.length_m, strip_m=strip_m,
        need_layers=plan.need_layers or 1, dispensers=wrapper.dispensers, legs=legs,
    )  # fmt: skip
    count = count_many(many, flats=False)
    more, mildest = count.short_frac - planned.short_frac, int(np.argmin(count.short_frac))
    wide = (count.sliver_m - planned.sliver_m > SLIVER_M) | (more > MANY_SLIVERS_SHARE)
    short = bool(((more > SHORT_SHARE) & wide).all())
    return int(count.thinnest[mildest]), float(count.short_frac[mildest]), short
