"""Layers at the thinnest spot, by the geometry of the film, from what each bale recorded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.clock import turns_denied
from balewright.findings.film import (
    FAT,
    FILM_MISSING,
    OTHER,
    ROLL_LOST,
    TURNS,
    Film,
    count_film,
)
from balewright.findings.finding import FindingKind, Weight
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import Run, episodes, supported_runs
from balewright.findings.watched import Bools, Found, Watched
from balewright.plan.film.strip import Bale
from balewright.plan.film.turns import turns_after_loss
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because

SLIVER_M: Final = 0.03
"""A stretch short of layers that is narrower than this, beyond what the sheet itself leaves, is
no alarm: `common practice, no source` (a 5 mm sliver is none)."""
SHORT_SHARE: Final = 0.02
"""Likewise for the share of the round side."""
MANY_SLIVERS_SHARE: Final = 0.10
"""Many slivers add up: from this share on they are an alarm however narrow each is."""
FEWEST: Final = 4
"""Layers under which mould is to be expected: source keys keles-2009, mceniry-2011."""
_TOLD: Final = (
    (ROLL_LOST, episodes),
    (FILM_MISSING, episodes),
    (TURNS, episodes),
    (FAT, supported_runs),
    (OTHER, supported_runs),
)
"""What a single bale settles, then what needs a run."""
_WORDS: Final = {
    ROLL_LOST: "roll_lost",
    FILM_MISSING: "film_missing",
    TURNS: "turns",
    FAT: "fat",
    OTHER: "other",
}


def find_layers(watched: Watched) -> Iterator[Found]:
    """Bales with fewer layers than the sheet wants, told apart by what made them so.

    Missing turns and a lost roll settle the matter for a single bale, missing metres where the
    next two bales or a counted break bear them out; a thick bale is one noisy reading of the
    diameter and needs a run. Where film and clock both deny the turns counted, the counter is
    told to lose them (`clock`) and nothing is said about layers.
    """
    for plan, rows in watched.by_plan():
        if plan.layers is None or plan.need_layers is None:
            continue
        film = count_film(watched, plan, rows)
        short, fewer = is_short(plan, film), film.cause == TURNS
        if not (short.any() or fewer.any()):
            continue
        judged = film.told & ~turns_denied(watched, plan)
        for cause, gather in _TOLD:
            for run in gather(short & (film.cause == cause), judged):
                yield _tell_short(watched, plan, film, run, _WORDS[cause])
        for run in supported_runs(fewer & ~short, judged):
            yield _tell_short(watched, plan, film, run, "spare")


def is_short(plan: PlannedBale, film: Film) -> Bools:
    """Bales short of layers by more than the slivers that the sheet itself leaves."""
    planned = plan.layers
    if planned is None:
        return np.zeros(len(film.cause), dtype=np.bool_)
    more = film.short_frac - planned.short_frac
    wider = film.sliver_m - planned.sliver_m > SLIVER_M
    short: Bools = film.told & (more > SHORT_SHARE) & (wider | (more > MANY_SLIVERS_SHARE))
    return short


def _tell_short(watched: Watched, plan: PlannedBale, film: Film, run: Run, cause: str) -> Found:
    thinnest, short_frac = film.thinnest[run.rows], film.short_frac[run.rows]
    sliver_m = film.sliver_m[run.rows]
    at = int(np.lexsort((-sliver_m, -np.round(short_frac, 6), thinnest))[0])
    worst, worst_frac = int(thinnest[at]), float(short_frac[at])
    need = plan.need_layers or 0
    sensed = [n for n in ("wrap_turns", "film1_m", "film2_m", "film_m", "rolls_on", "roll_lost")
              if watched.bales.mask(n)[run.rows].any()]  # fmt: skip
    evidence = (*sensed, *(["diameter_m"] if watched.bales.has("diameter_m") else []))
    loss = _loss(plan, film, run.rows[at], watched) if cause == "roll_lost" else None
    words = because(
        "findings.layers.loss" if loss else f"findings.layers.{cause}",
        **(loss or {}),
        thinnest=worst,
        need=need,
        short_frac=round(worst_frac, 4),
        sliver_m=round(float(sliver_m[at]), 3),
        turns=float(np.median(film.turns[run.rows].max(axis=1))),
        planned_turns=plan.wrap_turns or 0.0,
        diameter_m=round(float(np.median(film.diameter_m[run.rows])), 3),
        planned_diameter_m=round(plan.bale.diameter_m, 3),
        **watched.facts(run),
    )
    harms = worst < min(FEWEST, need) or worst_frac > 0.25
    weight = Weight.HARM if harms else Weight.COST
    if cause == "spare" or (cause == "film_missing" and not _is_borne_out(watched, run)):
        weight = Weight.NOTE
    seen = Interval(float(thinnest.min()), float(np.median(thinnest)), float(thinnest.max()))
    return Found(
        FindingKind.LAYERS_SHORT, weight, run, float(need), seen, "layers", evidence, words
    )


def _loss(
    plan: PlannedBale, film: Film, row: int, watched: Watched
) -> dict[str, float | int] | None:
    """The turn of the loss, where the other roll stopped and where it should have; None where
    the record or the machine does not tell."""
    laid, at = film.laid(row), watched.floats("roll_lost_turn")[row]
    if laid is None or len(laid.turns) != 2 or not np.isfinite(at):
        return None
    wrapping = plan.wrapping(laid.diameter_m, laid.strip_m, laid.turns)
    try:
        reach = turns_after_loss(
            Bale(laid.diameter_m, plan.bale.length_m), wrapping, min(laid.turns)
        )
    except BadInput:  # no number of turns covers it
        return None
    return {"lost_turn": min(laid.turns), "made_turns": max(laid.turns), "reach_turns": reach}


def _is_borne_out(watched: Watched, run: Run) -> bool:
    """Whether missing metres are more than odd readings of a counter: the next two bales show
    them too, or a break was counted.
    """
    breaks = [watched.floats(f"{name}_breaks")[run.rows] for name in ("film", "film1", "film2")]
    broke = any(bool((counted > 0).any()) for counted in breaks)
    return broke or bool((run.rows[2:] - run.rows[:-2] == 2).any())
