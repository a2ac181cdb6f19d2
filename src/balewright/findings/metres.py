"""Metres against turns: what geometry alone says about film and binding.

Film that is drawn off the roll lies on the bale: before the stretch it cannot be longer than the
way it was laid on, after it hardly so. Net goes round as it comes off the roll, within what its
brake stretches it. Metres outside are no stretch and no brake: one of the two counters is wrong,
or the roll runs faster than the bale takes it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.film import path_share
from balewright.findings.finding import FindingKind, Weight
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import Run, supported_runs
from balewright.findings.sure import lasting_noise, level_interval
from balewright.findings.watched import Bools, Floats, Found, Watched
from balewright.plan.machine import BindingKind, MetresCounted
from balewright.quantities.reason import because

LONGER_SHARE: Final = 1.08
"""Film before the stretch that is longer than its way by more than this did not go there: bales
that bulge and tails at both ends take up to so much: `assumed`."""
LONGER_AFTER_SHARE: Final = 1.15
"""The same after the stretch, where film springs back and the counter runs with it."""
BINDING_ROOM_SHARE: Final = {"net": (0.85, 1.15), "film": (0.55, 1.15)}
"""Metres of binding as a share of turns times girth: net gives way a little under its brake, film
is stretched by up to 80 %; more than the girth takes is slip or a wrong count: `assumed`."""
NOISE_TIMES: Final = 3.0
"""A machine whose readings wander gets a wider limit: so many times its own lasting noise."""
LEAST_TURNS: Final = 1.0
METRES_ERROR_SHARE: Final = 0.05


def find_metres(watched: Watched) -> Iterator[Found]:
    """Runs of bales whose metres and turns cannot both be right."""
    for plan, rows in watched.by_plan():
        yield from _film(watched, plan, rows & watched.whole)
        if watched.bales.has("binding_m") and watched.bales.has("binding_turns"):
            yield from _binding(watched, plan, rows & watched.whole)


def too_long_share(plan: PlannedBale) -> float | None:
    """Metres over way from which film cannot be where it should; None where none are counted."""
    counted = None if plan.wrapper is None else plan.wrapper.metres_counted
    if counted is None:
        return None
    return LONGER_SHARE if counted is MetresCounted.BEFORE_STRETCH else LONGER_AFTER_SHARE


def _film(watched: Watched, plan: PlannedBale, usable: Bools) -> Iterator[Found]:
    wrapper, limit = plan.wrapper, too_long_share(plan)
    if wrapper is None or limit is None or not watched.bales.has("wrap_turns"):
        return
    one_way_m = watched.floats("wrap_turns") * plan.film_path_m * path_share(watched, plan)
    counters = [(f"film{n + 1}_m", 1, f"dispenser {n + 1}") for n in range(wrapper.dispensers)]
    if not any(watched.bales.has(name) for name, _, _ in counters):
        counters = [("film_m", wrapper.dispensers, "film counter")]
    for name, rolls, part in counters:
        if not watched.bales.has(name):
            continue
        with np.errstate(divide="ignore", invalid="ignore"):
            share = watched.floats(name) / (rolls * one_way_m)
        judged = usable & np.isfinite(share)
        for run in supported_runs(share > limit, judged):
            seen = level_interval(share[run.rows], METRES_ERROR_SHARE)
            values = {"metres_m": round(float(np.median(watched.floats(name)[run.rows])), 1),
                      "way_m": round(float(np.median(rolls * one_way_m[run.rows])), 1)}  # fmt: skip
            words = because("findings.metres.film_long", **values, **watched.facts(run))
            yield Found(
                FindingKind.METRES_MOVED, Weight.NOTE, run, 1.0, seen, "share of the way",
                (name, "wrap_turns"), words, part,
            )  # fmt: skip


def _binding(watched: Watched, plan: PlannedBale, usable: Bools) -> Iterator[Found]:
    turns, girth_m = watched.floats("binding_turns"), np.pi * _diameter_m(watched, plan)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = watched.floats("binding_m") / (turns * girth_m)
    judged = usable & np.isfinite(share) & (turns >= LEAST_TURNS)
    for kind in (BindingKind.NET, BindingKind.FILM):
        named = (kind.value, "") if plan.binding is kind else (kind.value,)
        own = judged & watched.says("binding", *named)
        if not own.any():
            continue
        room = NOISE_TIMES * lasting_noise(share[own])
        low, high = BINDING_ROOM_SHARE[kind.value]
        low, high = min(low, 1.0 - room), max(high, 1.0 + room)
        for key, out in (("long", share > high), ("short", share < low)):
            for run in supported_runs(out, own):
                yield _tell_binding(watched, run, share, girth_m, f"binding_{kind.value}_{key}")


def _diameter_m(watched: Watched, plan: PlannedBale) -> Floats:
    diameter = watched.floats("diameter_m")
    return np.where(np.isfinite(diameter), diameter, plan.bale.diameter_m)


def _tell_binding(watched: Watched, run: Run, share: Floats, girth_m: Floats, key: str) -> Found:
    seen = level_interval(share[run.rows], METRES_ERROR_SHARE)
    turns = watched.floats("binding_turns")[run.rows]
    words = because(
        f"findings.metres.{key}",
        binding_m=round(float(np.median(watched.floats("binding_m")[run.rows])), 1),
        turns=round(float(np.median(turns)), 2),
        way_m=round(float(np.median(turns * girth_m[run.rows])), 1),
        **watched.facts(run),
    )
    weight = Weight.COST if key.endswith("long") else Weight.NOTE
    return Found(
        FindingKind.METRES_MOVED, weight, run, 1.0, seen, "share of the way",
        ("binding_m", "binding_turns"), words, "binding",
    )  # fmt: skip
