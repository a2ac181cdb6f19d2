"""What the machine itself reports about its wrapping, against its own turns and metres.

The thinnest spot never has more layers than the mean, and the mean follows from turns, strip and
girth alone. A display that says more promises film that is not there.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.film import Film, count_film
from balewright.findings.finding import FindingKind, Weight
from balewright.findings.layers import is_short
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import supported_runs
from balewright.findings.stretch import ABSOLUTE_ERROR_FRAC, OFF_FRAC, stretch_of
from balewright.findings.sure import level_interval
from balewright.findings.watched import Bools, Floats, Found, Watched
from balewright.quantities.reason import because

LAYERS_ROOM_SHARE: Final = 1.1
"""The strip's width on the bale is known to about a tenth (neck-in)."""
LAYERS_STEP: Final = 0.5
"""Displays show whole layers."""
OVERLAP_ROOM_FRAC: Final = 0.10
"""Width of the strip again, and rounding of the display: `assumed`."""


def find_said(watched: Watched) -> Iterator[Found]:
    """Runs of bales of which the machine says what its own counters deny."""
    names = ("said_layers", "said_overlap_frac", "said_stretch_frac")
    layers, overlap, stretch = (watched.bales.has(name) for name in names)
    if not (layers or overlap or stretch):
        return
    for plan, rows in watched.by_plan():
        if plan.wrapper is None or plan.layers is None:
            continue
        if layers:
            yield from _layers(watched, plan, rows)
        if overlap:
            yield from _overlap(watched, plan, rows & watched.whole)
        if stretch:
            yield from _stretch(watched, plan, rows & watched.whole)


def _mean_layers(film: Film) -> Floats:
    _, strips_m, halves = film.steps
    strips = np.maximum(halves, 0).sum(axis=1)
    return np.asarray(strips * strips_m / (np.pi * film.diameter_m))


def _layers(watched: Watched, plan: PlannedBale, rows: Bools) -> Iterator[Found]:
    film = count_film(watched, plan, rows)
    said, mean = watched.floats("said_layers"), _mean_layers(film)
    judged = film.told & np.isfinite(said) & ~watched.says("mode", "wrapper off")
    claims = said >= (plan.need_layers or 0)
    out = (said > LAYERS_ROOM_SHARE * mean + LAYERS_STEP) | (is_short(plan, film) & claims)
    for run in supported_runs(out, judged):
        seen = level_interval(said[run.rows])
        thinnest = float(np.median(film.thinnest[run.rows]))
        words = because(
            "findings.said.layers",
            said_layers=round(seen.best, 1),
            thinnest=thinnest,
            mean_layers=round(float(np.median(mean[run.rows])), 1),
            **watched.facts(run),
        )
        yield Found(
            FindingKind.SENSOR_MOVED, Weight.NOTE, run, thinnest, seen, "layers",
            ("said_layers", "wrap_turns"), words, "layer display",
        )  # fmt: skip


def _overlap(watched: Watched, plan: PlannedBale, usable: Bools) -> Iterator[Found]:
    wrapper, strip_m = plan.wrapper, plan.strip_m(None)
    if wrapper is None or strip_m is None:
        return
    # makers count from strip to strip, or from one strip of a dispenser to its next
    ours = sorted({1.0 - wrapper.advance_m / rolls / strip_m for rolls in (1, wrapper.dispensers)})
    said = watched.floats("said_overlap_frac")
    judged = usable & np.isfinite(said)
    gap = np.min([np.abs(said - one) for one in ours], axis=0)
    for run in supported_runs(gap > OVERLAP_ROOM_FRAC, judged):
        seen = level_interval(said[run.rows])
        nearest = min(ours, key=lambda one: abs(one - seen.best))
        words = because(
            "findings.said.overlap",
            said_overlap_frac=round(seen.best, 3),
            overlap_frac=round(nearest, 3),
            **watched.facts(run),
        )
        yield Found(
            FindingKind.SENSOR_MOVED, Weight.NOTE, run, nearest, seen, "fraction",
            ("said_overlap_frac",), words, "overlap display",
        )  # fmt: skip


def _stretch(watched: Watched, plan: PlannedBale, usable: Bools) -> Iterator[Found]:
    ours = stretch_of(watched, plan)
    if ours is None:
        return
    said = watched.floats("said_stretch_frac")
    judged = usable & np.isfinite(said) & np.isfinite(ours)
    for sign, key in ((1.0, "more"), (-1.0, "less")):
        for run in supported_runs(sign * (said - ours) > OFF_FRAC, judged):
            seen = level_interval(said[run.rows])
            measured = float(np.median(ours[run.rows]))
            words = because(
                f"findings.said.stretch_{key}",
                said_stretch_frac=round(seen.best, 3),
                stretch_frac=round(measured, 3),
                absolute_error_frac=ABSOLUTE_ERROR_FRAC,
                **watched.facts(run),
            )
            evidence = ("said_stretch_frac", "wrap_turns", *_counters(watched))
            yield Found(
                FindingKind.SENSOR_MOVED, Weight.NOTE, run, measured, seen, "fraction", evidence,
                words, "stretch display",
            )  # fmt: skip


def _counters(watched: Watched) -> list[str]:
    return [name for name in ("film1_m", "film2_m", "film_m") if watched.bales.has(name)]
