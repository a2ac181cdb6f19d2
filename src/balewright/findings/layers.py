"""Layers at the thinnest spot, by the geometry of the film, from what each bale recorded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import Run, episodes, supported_runs
from balewright.findings.watched import Bools, Floats, Found, Watched
from balewright.plan.machine import MetresCounted
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because

SLIVER_M: Final = 0.03
"""A stretch short of layers that is narrower than this, beyond what the sheet itself leaves, is
no alarm: `common practice, no source` (a 5 mm sliver is none)."""
SHORT_SHARE: Final = 0.02
"""Likewise for the share of the round side."""
MANY_SLIVERS_SHARE: Final = 0.10
"""Many slivers add up: from this share on they are an alarm however narrow each is."""
FAT_M: Final = 0.03
"""A bale this much thicker than planned is called fat."""
DIAMETER_STEP_M: Final = 0.01
RAN_OUT_SHARE: Final = 0.85
"""Film drawn below this share of the usual means that a roll was missing for part of the bale;
no slip of the stretch reaches that far (from 70 to 100 % draws 0.85)."""
FEWEST: Final = 4
"""Layers under which mould is to be expected: source keys keles-2009, mceniry-2011."""


@dataclass(frozen=True)
class Laid:
    """What was laid on one bale, in the steps it is counted in. turns: of each dispenser."""

    diameter_m: float
    strip_m: float
    turns: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class Film:
    """Per bale: what each dispenser carried, and why it is less than it should be.

    cause: "" where nothing can be told; count: thinnest, share short, widest sliver in m; made:
    None where it is not counted; sized: whether the diameter is the bale's own, not the planned.
    """

    turns: Floats
    diameter_m: Floats
    cause: list[str]
    count: list[tuple[int, float, float]]
    made: list[Laid | None]
    sized: Bools


def find_layers(watched: Watched) -> Iterator[Found]:
    """Bales with fewer layers than the sheet wants, told apart by what made them so.

    Missing turns and a lost roll settle the matter for a single bale, missing metres where the
    next two bales or a counted break bear them out; a thick bale is one noisy reading of the
    diameter and needs a run.
    """
    for plan, rows in watched.by_plan():
        planned = plan.layers
        if planned is None or plan.need_layers is None:
            continue
        film = count_film(watched, plan, rows)
        judged = np.array([bool(cause) for cause in film.cause])
        short = is_short(plan, film)
        for cause in ("roll_lost", "film_missing", "turns", "fat", "other"):
            out = short & np.array([found == cause for found in film.cause])
            settled = cause in ("roll_lost", "film_missing", "turns")
            for run in (episodes if settled else supported_runs)(out, judged):
                yield _tell_short(watched, plan, film, run, cause)
        fewer = ~short & np.array([found == "turns" for found in film.cause])
        for run in supported_runs(fewer, judged):
            yield _tell_short(watched, plan, film, run, "spare")


def is_short(plan: PlannedBale, film: Film) -> Bools:
    """Bales short of layers by more than the slivers that the sheet itself leaves."""
    planned = plan.layers
    if planned is None:
        return np.zeros(len(film.count), dtype=np.bool_)
    more = np.array([share - planned.short_frac for _, share, _ in film.count])
    wider_m = np.array([sliver - planned.sliver_m for _, _, sliver in film.count])
    short = (more > SHORT_SHARE) & ((wider_m > SLIVER_M) | (more > MANY_SLIVERS_SHARE))
    return np.asarray(short, dtype=np.bool_)


def _tell_short(watched: Watched, plan: PlannedBale, film: Film, run: Run, cause: str) -> Found:
    counts = [film.count[row] for row in run.rows]
    thinnest = sorted(count[0] for count in counts)
    middle = float(np.median(thinnest))
    worst = max(counts, key=lambda count: (-count[0], count[1]))
    need = plan.need_layers or 0
    sensed = [n for n in ("wrap_turns", "film1_m", "film2_m", "film_m", "rolls_on", "roll_lost")
              if watched.bales.mask(n)[run.rows].any()]  # fmt: skip
    evidence = (*sensed, *(["diameter_m"] if watched.bales.has("diameter_m") else []))
    words = because(
        f"findings.layers.{cause}",
        thinnest=worst[0],
        need=need,
        short_frac=round(worst[1], 4),
        sliver_m=round(worst[2], 3),
        turns=float(np.median(film.turns[run.rows].max(axis=1))),
        planned_turns=plan.wrap_turns or 0.0,
        diameter_m=round(float(np.median(film.diameter_m[run.rows])), 3),
        planned_diameter_m=round(plan.bale.diameter_m, 3),
        **watched.facts(run),
    )
    harms = worst[0] < min(FEWEST, need) or worst[1] > 0.25
    weight = Weight.HARM if harms else Weight.COST
    if cause == "spare" or (cause == "film_missing" and not _is_borne_out(watched, run)):
        weight = Weight.NOTE
    seen = Interval(float(thinnest[0]), middle, float(thinnest[-1]))
    return Found(
        FindingKind.LAYERS_SHORT, weight, run, float(need), seen, "layers", evidence, words
    )


def _is_borne_out(watched: Watched, run: Run) -> bool:
    """Whether missing metres are more than odd readings of a counter: the next two bales show
    them too, or a break was counted.
    """
    breaks = [watched.floats(f"{name}_breaks")[run.rows] for name in ("film", "film1", "film2")]
    broke = any(bool((counted > 0).any()) for counted in breaks)
    return broke or bool((run.rows[2:] - run.rows[:-2] == 2).any())


def count_film(watched: Watched, plan: PlannedBale, rows: Bools) -> Film:
    """What the bales of one sheet got by their records. rows: bool (bales,), those it rules."""
    turns, cause = _carried(watched, plan, rows)
    fixed_m = plan.bale.diameter_m
    diameter = watched.floats("diameter_m")
    sized = np.isfinite(diameter) & (watched.texts("diameter_how") != "nominal")
    diameter = np.where(sized, diameter, fixed_m)
    rolls_on, width = watched.floats("rolls_on"), watched.floats("film_width_m")

    @cache
    def count(laid: Laid) -> tuple[int, float, float]:
        if max(laid.turns) < 0.5:
            return 0, 1.0, 3.141592653589793 * laid.diameter_m
        counted = plan.count(laid.diameter_m, laid.strip_m, laid.turns)
        return counted.thinnest, counted.short_frac, counted.sliver_m

    counts: list[tuple[int, float, float]] = []
    laid: list[Laid | None] = []
    for row in range(watched.bales.rows):
        strip_m = plan.strip_m(None if np.isnan(width[row]) else float(width[row]))
        if not cause[row] or strip_m is None:
            counts.append((0, 0.0, 0.0))
            laid.append(None)
            continue
        made = tuple(round(2 * float(made)) / 2 for made in turns[row])
        alone = rolls_on[row] == 1 and len(made) == 2
        step_m = round(float(diameter[row]) / DIAMETER_STEP_M) * DIAMETER_STEP_M
        one = Laid(step_m, strip_m, made[:1] if alone else made)
        laid.append(one)
        counts.append(count(one))
        if cause[row] == "other" and diameter[row] > fixed_m + FAT_M:
            cause[row] = "fat"
    return Film(turns, diameter, cause, counts, laid, sized)


def _carried(watched: Watched, plan: PlannedBale, rows: Bools) -> tuple[Floats, list[str]]:
    """Turns through which each dispenser carried film, and the cause; "" where nothing is known."""
    dispensers = plan.wrapper.dispensers if plan.wrapper is not None else 1
    made = watched.floats("wrap_turns")
    made = np.where(np.isnan(made), _turns_from_metres(watched, plan), made)
    looked = rows & np.isfinite(made) & watched.whole & (made > 0)
    turns = np.repeat(made[:, None], dispensers, axis=1)
    cause = np.where(looked, "other", "").astype(object)
    planned = plan.wrap_turns or 0.0
    cause[looked & (made <= planned - 1.0)] = "turns"
    cause[looked & (watched.floats("rolls_on") < dispensers)] = "roll_lost"
    for place, share in enumerate(_drawn_share(watched, plan, looked, dispensers)):
        gone = looked & (share < RAN_OUT_SHARE)
        turns[gone, place] = (made * share)[gone]
        cause[gone] = "film_missing"
    lost, at = watched.floats("roll_lost"), watched.floats("roll_lost_turn")
    for place in range(dispensers):
        gone = looked & (lost == place + 1) & np.isfinite(at)
        turns[gone, place] = np.minimum(at, made)[gone]
        cause[gone] = "roll_lost"
    return turns, cause.tolist()


def path_share(watched: Watched, plan: PlannedBale) -> Floats:
    """The way of the film round each bale as a share of the way round the planned one."""
    diameter = watched.floats("diameter_m")
    diameter = np.where(np.isfinite(diameter), diameter, plan.bale.diameter_m)
    return np.asarray(2.0 * (diameter + plan.bale.length_m) / plan.film_path_m)


def _metres_a_turn(plan: PlannedBale) -> float | None:
    """What one dispenser should draw in a wrap turn; None where no counter is described."""
    wrapper, stretch = plan.wrapper, plan.pre_stretch_frac
    if wrapper is None or wrapper.metres_counted is None or stretch is None:
        return None
    before = wrapper.metres_counted is MetresCounted.BEFORE_STRETCH
    return plan.film_path_m / (1.0 + stretch) if before else plan.film_path_m


def _turns_from_metres(watched: Watched, plan: PlannedBale) -> Floats:
    """Turns guessed from metres alone, with the 5 % that stretch leaves open in their favour."""
    usual_m, wrapper = _metres_a_turn(plan), plan.wrapper
    if usual_m is None or wrapper is None:
        return np.full(watched.bales.rows, np.nan)
    total = watched.floats("film_m")
    if wrapper.dispensers == 2:
        total = np.where(
            np.isnan(total), watched.floats("film1_m") + watched.floats("film2_m"), total
        )
    else:
        total = np.where(np.isnan(total), watched.floats("film1_m"), total)
    guess = 1.05 * total / (usual_m * wrapper.dispensers)
    return np.minimum(guess, plan.wrap_turns or np.inf)


def _drawn_share(
    watched: Watched, plan: PlannedBale, looked: Bools, dispensers: int
) -> list[Floats]:
    """Film drawn by each dispenser as a share of its usual metres a wrap turn; NaN unknown."""
    usual_m = _metres_a_turn(plan)
    unknown = np.full(watched.bales.rows, np.nan)
    made = watched.floats("wrap_turns") * path_share(watched, plan)
    if usual_m is None:
        return [unknown] * dispensers

    def share(metres: Floats, rolls: int) -> Floats:
        with np.errstate(invalid="ignore", divide="ignore"):
            a_turn = np.where(made > 0, metres / made, np.nan)  # as on the planned bale
        known = a_turn[looked & np.isfinite(a_turn)]
        if not len(known):
            return unknown
        own = float(np.median(known))
        return a_turn / max(own, 0.85 * usual_m * rolls)

    each = [watched.floats(f"film{place + 1}_m") for place in range(dispensers)]
    if any(np.isfinite(metres).any() for metres in each):
        return [share(metres, 1) for metres in each]
    total = share(watched.floats("film_m"), dispensers)
    if dispensers == 1:
        return [total]
    # the counter does not say which roll was missing: all of it is taken from the second
    return [
        unknown,
        np.where(total < 1.0 - 0.15 / dispensers, 1.0 - dispensers * (1.0 - total), 1.0),
    ]
