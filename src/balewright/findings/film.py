"""What film each bale got by its record: turns of each dispenser, and layers by geometry.

Bales that got the same in the steps counted are counted once: a season has some dozens of
combinations of diameter, strip and turns.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.planned import PlannedBale
from balewright.findings.watched import Bools, Floats, Watched
from balewright.plan.film.many_bales import ManyLegs, count_many, many_bales

UNTOLD, OTHER, TURNS, ROLL_LOST, FILM_MISSING, FAT = range(6)
"""Why a bale has the film it has; UNTOLD where its record does not tell what it got."""
DIAMETER_STEP_M: Final = 0.01
FAT_M: Final = 0.03
"""A bale this much thicker than planned is called fat."""
RAN_OUT_SHARE: Final = 0.85
"""Film drawn below this share of the usual means that a roll was missing for part of the bale;
no slip of the stretch reaches that far (from 70 to 100 % draws 0.85)."""
MOST_USUAL_SHARE: Final = 1.10
"""No machine's usual metres are taken for more than this of what the sheet makes them: else bales
that are wrong later, or a counter that counts too many, make good ones look short of film."""
MOST_HALVES: Final = 1024
LEAST_STEPS: Final = 30
MOST_STEPS: Final = 300
"""Steps of the diameters and half turns that are counted; outside, a reading is no bale's."""
_LEAST_GIRTH_SHARE: Final = 0.4999
"""A strip as wide as half the girth is no wrapping: such a reading is not counted."""

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Laid:
    """What was laid on one bale, in the steps it is counted in. turns: of each dispenser."""

    diameter_m: float
    strip_m: float
    turns: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class Film:
    """Per bale, each array (bales,): what each dispenser carried, and why it is less than it
    should be.

    turns: (bales, dispensers); cause: UNTOLD to FAT; thinnest, short_frac, sliver_m: of the round
    side; sized: whether the diameter is the bale's own, not the planned. steps: diameter in steps,
    strip in m, half turns of each dispenser (-1: it was not on); meaningless where untold.
    """

    turns: Floats
    diameter_m: Floats
    cause: NDArray[np.int8]
    thinnest: Floats
    short_frac: Floats
    sliver_m: Floats
    sized: Bools
    steps: tuple[Ints, Floats, Ints]

    @property
    def told(self) -> Bools:
        """Bales of which the record tells what they got."""
        return np.asarray(self.cause != UNTOLD)

    def laid(self, row: int) -> Laid | None:
        """What was laid on one bale; None where untold."""
        if self.cause[row] == UNTOLD:
            return None
        diameters, strips_m, halves = self.steps
        turns = tuple(float(half) / 2.0 for half in halves[row] if half >= 0)
        return Laid(float(diameters[row]) * DIAMETER_STEP_M, float(strips_m[row]), turns)


def count_film(watched: Watched, plan: PlannedBale, rows: Bools) -> Film:
    """What the bales of one sheet got by their records. rows: bool (bales,), those it rules."""
    return watched.keep("film", plan.key, lambda: _count_film(watched, plan, rows))


def _count_film(watched: Watched, plan: PlannedBale, rows: Bools) -> Film:
    turns, cause = _carried(watched, plan, rows)
    fixed_m = plan.bale.diameter_m
    diameter = watched.floats("diameter_m")
    sized = np.isfinite(diameter) & ~watched.says("diameter_how", "nominal")
    diameter = np.where(sized, diameter, fixed_m)
    strips_m = _strips_m(watched, plan)
    halves = np.rint(2.0 * np.where(np.isfinite(turns), turns, 0.0)).astype(np.int64)
    if turns.shape[1] == 2:
        halves[watched.floats("rolls_on") == 1, 1] = -1
    steps = np.rint(diameter / DIAMETER_STEP_M).astype(np.int64)
    wide = strips_m >= _LEAST_GIRTH_SHARE * np.pi * DIAMETER_STEP_M * steps
    absurd = (steps < LEAST_STEPS) | (steps > MOST_STEPS) | (halves.max(axis=1) >= MOST_HALVES - 1)
    cause[np.isnan(strips_m) | wide | absurd] = UNTOLD
    told = np.flatnonzero(cause != UNTOLD)
    counted = np.zeros((watched.bales.rows, 3))
    if len(told):
        laid = (steps[told], strips_m[told], halves[told])
        first, same = _alike(*laid)
        once = (laid[0][first], laid[1][first], laid[2][first])
        counted[told] = _count(plan, *once)[same]
    cause[(cause == OTHER) & (diameter > fixed_m + FAT_M)] = FAT
    thinnest, short_frac, sliver_m = counted.T
    steps_of = (steps, strips_m, halves)
    return Film(turns, diameter, cause, thinnest, short_frac, sliver_m, sized, steps_of)


def _strips_m(watched: Watched, plan: PlannedBale) -> Floats:
    """Width of the strip on each bale, for the film as recorded or else as planned."""
    rows = watched.bales.rows
    planned_m = plan.strip_m(None)
    if planned_m is None:
        return np.full(rows, np.nan)
    if not watched.bales.has("film_width_m"):
        return np.full(rows, planned_m)
    widths_m, place = np.unique(watched.floats("film_width_m"), return_inverse=True)
    strips_m = [planned_m if np.isnan(one) else plan.strip_m(float(one)) for one in widths_m]
    return np.array(strips_m, dtype=np.float64)[place]


def _alike(steps: Ints, strips_m: Floats, halves: Ints) -> tuple[Ints, Ints]:
    """One bale of each kind, and for every bale which kind it is."""
    key = steps
    if (strips_m != strips_m[0]).any():
        key = key * len(strips_m) + np.unique(strips_m, return_inverse=True)[1]
    for place in range(halves.shape[1]):
        key = key * MOST_HALVES + halves[:, place] + 1
    _, first, same = np.unique(key, return_index=True, return_inverse=True)
    return first, same


def _count(plan: PlannedBale, steps: Ints, strips_m: Floats, halves: Ints) -> Floats:
    """Thinnest, share short and widest sliver (m) of each: what `plan.count` gives for one."""
    diameter_m = DIAMETER_STEP_M * steps
    counted = np.stack([np.zeros(len(steps)), np.ones(len(steps)), np.pi * diameter_m], axis=1)
    laid = halves.max(axis=1) >= 1
    if not laid.any():
        return counted
    diameter_m, strips_m, halves = diameter_m[laid], strips_m[laid], halves[laid]
    many = many_bales(
        diameter_m=diameter_m,
        length_m=plan.bale.length_m,
        strip_m=strips_m,
        need_layers=plan.need_layers or 1,
        dispensers=np.count_nonzero(halves >= 0, axis=1),
        legs=_legs(plan, diameter_m, halves),
    )
    found = count_many(many, flats=False)
    counted[laid] = np.stack([found.thinnest, found.short_frac, found.sliver_m], axis=1)
    return counted


def _legs(plan: PlannedBale, diameter_m: Floats, halves: Ints) -> ManyLegs:
    """The courses: until the first roll was lost, and with the other alone."""
    wrapper = plan.machine.wrapper
    if wrapper is None:
        raise ValueError("layers are counted only where a machine wraps")
    one_m = wrapper.advance_one_roll_m or wrapper.advance_m
    most, least = halves.max(axis=1), halves.min(axis=1)
    two = halves.shape[1] == 2
    never_on = (least < 0) if two else np.zeros(len(most), dtype=np.bool_)
    both = np.where(never_on, 0, least) if two else most
    # a roll that was not on at all leaves a wrapper of one: its strips are the first dispenser's
    other = np.where(never_on, 1, 1 + halves.argmax(axis=1)) if two else np.ones_like(most)
    turns = 0.5 * np.stack([both, most - both], axis=1)
    running = np.stack([np.full_like(most, 3 if two else 1), other], axis=1)
    girth_m = np.pi * diameter_m
    speed = np.stack([wrapper.advance_m / girth_m, one_m / girth_m], axis=1)
    is_leg = turns > 0
    legs = is_leg.sum(axis=1)
    nothing = np.zeros(int(legs.sum()))
    return ManyLegs(
        first=np.concatenate([[0], np.cumsum(legs)]),
        turns=turns[is_leg],
        running=running[is_leg],
        bale_turn=speed[is_leg],
        end_bale_turn=speed[is_leg],
        fresh=nothing.astype(np.int64),
        rolled_turn=nothing,
    )


def _carried(watched: Watched, plan: PlannedBale, rows: Bools) -> tuple[Floats, NDArray[np.int8]]:
    """Turns through which each dispenser carried film, and the cause."""
    dispensers = plan.wrapper.dispensers if plan.wrapper is not None else 1
    made = watched.floats("wrap_turns")
    unknown = np.isnan(made)
    if unknown.any():
        made = np.where(unknown, _turns_from_metres(watched, plan), made)
    looked = rows & np.isfinite(made) & watched.whole & (made > 0)
    turns = np.repeat(made[:, None], dispensers, axis=1)
    cause = np.where(looked, OTHER, UNTOLD).astype(np.int8)
    planned = plan.wrap_turns or 0.0
    cause[looked & (made <= planned - 1.0)] = TURNS
    cause[looked & (watched.floats("rolls_on") < dispensers)] = ROLL_LOST
    for place, share in enumerate(_drawn_share(watched, plan, looked, dispensers)):
        gone = looked & (share < RAN_OUT_SHARE)
        turns[gone, place] = (made * share)[gone]
        cause[gone] = FILM_MISSING
    lost, at = watched.floats("roll_lost"), watched.floats("roll_lost_turn")
    for place in range(dispensers):
        gone = looked & (lost == place + 1) & np.isfinite(at)
        turns[gone, place] = np.minimum(at, made)[gone]
        cause[gone] = ROLL_LOST
    return turns, cause


def path_share(watched: Watched, plan: PlannedBale) -> Floats:
    """The way of the film round each bale as a share of the way round the planned one."""
    return watched.keep("path_share", plan.key, lambda: _path_share(watched, plan))


def _path_share(watched: Watched, plan: PlannedBale) -> Floats:
    diameter = watched.floats("diameter_m")
    diameter = np.where(np.isfinite(diameter), diameter, plan.bale.diameter_m)
    return np.asarray(2.0 * (diameter + plan.bale.length_m) / plan.film_path_m)


def _turns_from_metres(watched: Watched, plan: PlannedBale) -> Floats:
    """Turns guessed from metres alone, with the 5 % that stretch leaves open in their favour."""
    usual_m, wrapper = plan.metres_a_turn, plan.wrapper
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
    usual_m = plan.metres_a_turn
    unknown = np.full(watched.bales.rows, np.nan)
    if usual_m is None:
        return [unknown] * dispensers
    made = watched.floats("wrap_turns") * path_share(watched, plan)

    def share(metres: Floats, rolls: int) -> Floats:
        with np.errstate(invalid="ignore", divide="ignore"):
            a_turn = np.where(made > 0, metres / made, np.nan)  # as on the planned bale
        known = a_turn[looked & np.isfinite(a_turn)]
        if not len(known):
            return unknown
        own = float(np.median(known)) / (usual_m * rolls)
        return a_turn / (usual_m * rolls * min(max(own, RAN_OUT_SHARE), MOST_USUAL_SHARE))

    if any(watched.bales.has(f"film{place + 1}_m") for place in range(dispensers)):
        return [share(watched.floats(f"film{place + 1}_m"), 1) for place in range(dispensers)]
    total = share(watched.floats("film_m"), dispensers)
    if dispensers == 1:
        return [total]
    # the counter does not say which roll was missing: all of it is taken from the second
    return [
        unknown,
        np.where(total < 1.0 - 0.15 / dispensers, 1.0 - dispensers * (1.0 - total), 1.0),
    ]
