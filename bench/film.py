"""How fast layers are counted on many different bales, against sampling and sorting in NumPy.

    python bench/film.py [cases]

One run, one core: a hundred thousand cases of one and two rolls, 8 to 40 turns, lost rolls with a
second turning, cones and barrels, through `count_many`; and the first of the same cases one by one
through three plain NumPy counts that stand in this file and are never tuned to look bad or good:

- random points over the whole surface, as many as an error of 1e-3 in the area short takes;
- a regular grid of points, which takes far fewer for the same error;
- no points at all: edges and directions sorted, and the same formulas as ours.

The error of the first two is their root mean square distance, over the cases they did, from the
exact share of the whole surface that is short. Absolute numbers belong to one machine on one day:
the ratios are the thing to compare. Times are of the processor, so that others who work on the
same machine do not count. After that: how many draws a question of chance takes,
against plain random ones.
"""

from __future__ import annotations

import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass

# one core for everybody: NumPy's matrix products would use both
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
from numpy.typing import NDArray

from balewright.plan.film.course import Course, Leg
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.many_bales import ManyBales, count_many, many_bales
from balewright.plan.film.many_legs import ManyLegs
from balewright.plan.film.spread import normal
from balewright.plan.film.tolerance import chance_of, expected_short
from balewright.plan.film.varying import Draws, StretchedFilm, Varying

Floats = NDArray[np.float64]

SEED = 20310614
CASES = 100_000
ROUNDS = 3
#: How many points make an error of 1e-3: random ones by sqrt(mean p (1 - p) / points), p being a
#: case's share short; the grid by trying grids until no coarser one did. Shown anew by every run.
RANDOM_POINTS = 85_000
GRID_AROUND, GRID_RINGS = 800, 6
GRID_OUT, GRID_TURN = 24, 112
#: How many of the cases the slow ones do.
RANDOM_CASES, GRID_CASES, SORTED_CASES = 60, 600, 4000


@dataclass(frozen=True)
class Cases:
    """The cases as plain columns, for those who know nothing of legs."""

    diameter_m: Floats
    length_m: Floats
    strip_m: Floats
    need: NDArray[np.int64]
    dispensers: NDArray[np.int64]
    turns: Floats
    lost_at: Floats
    bale_turn: Floats
    bale_turn_alone: Floats
    cone_m: Floats
    barrel_m: Floats


def invent(cases: int) -> Cases:
    """Bales of every kind."""
    chance = np.random.default_rng(SEED)
    turns = chance.integers(16, 81, cases) / 2.0
    dispensers = chance.integers(1, 3, cases)
    diameter_m = chance.uniform(0.9, 1.6, cases)
    loses = (dispensers == 2) & (chance.random(cases) < 0.3)
    lost_at = np.where(loses, np.round(chance.uniform(1.0, 1.0 + 0.9 * turns)) - 0.5, turns)
    bale_turn = chance.uniform(0.30, 0.60, cases) / (math.pi * diameter_m)
    alone = np.where(
        chance.random(cases) < 0.5, bale_turn * chance.uniform(0.5, 1.5, cases), bale_turn
    )
    kind = chance.integers(0, 3, cases)
    layers = 2.0 * turns * dispensers * 0.6 / (math.pi * diameter_m)
    return Cases(
        diameter_m=diameter_m,
        length_m=chance.uniform(1.1, 1.3, cases),
        strip_m=chance.uniform(0.45, 0.65, cases),
        need=np.clip(np.round(layers * chance.uniform(0.6, 1.0, cases)), 1, 40).astype(np.int64),
        dispensers=dispensers,
        turns=turns,
        lost_at=np.minimum(lost_at, turns),
        bale_turn=bale_turn,
        bale_turn_alone=alone,
        cone_m=np.where(kind == 1, chance.uniform(-0.15, 0.15, cases), 0.0),
        barrel_m=np.where(kind == 2, chance.uniform(0.0, 0.15, cases), 0.0),
    )


def as_many(cases: Cases) -> ManyBales:
    """The same cases as ours takes them: one leg, or two where a roll is lost."""
    lost = cases.lost_at < cases.turns
    each = np.where(lost, 2, 1)
    first = np.concatenate([[0], np.cumsum(each)])
    legs, at = int(first[-1]), first[:-1]
    both = 2**cases.dispensers - 1
    turns, running, speed = np.empty(legs), np.empty(legs, np.int64), np.empty(legs)
    turns[at], running[at], speed[at] = cases.lost_at, both, cases.bale_turn
    after = at[lost] + 1
    turns[after] = (cases.turns - cases.lost_at)[lost]
    running[after], speed[after] = 1, cases.bale_turn_alone[lost]
    none, still = np.zeros(legs, np.int64), np.zeros(legs)
    return many_bales(
        diameter_m=cases.diameter_m,
        length_m=cases.length_m,
        strip_m=cases.strip_m,
        need_layers=cases.need,
        dispensers=cases.dispensers,
        legs=ManyLegs(first, turns, running, speed, speed, none, still),
        cone_m=cases.cone_m,
        barrel_m=cases.barrel_m,
    )


def strips_of(cases: Cases, case: int) -> tuple[Floats, list[Floats]]:
    """Middle lines on the round side (turns) and directions over each flat side (half turns)."""
    k, alone = cases.bale_turn[case], cases.bale_turn_alone[case]
    lost = cases.lost_at[case]
    centres: list[Floats] = []
    sides: list[list[Floats]] = [[], []]
    for roll in range(int(cases.dispensers[case])):
        crossing = np.arange(int(2.0 * (cases.turns[case] if roll == 0 else lost) + 1e-9))
        for time_turns, is_flat in ((crossing / 2.0, False), (crossing / 2.0 + 0.25, True)):
            turned = k * np.minimum(time_turns, lost) + alone * np.maximum(0.0, time_turns - lost)
            if not is_flat:
                centres.append(0.5 * (crossing + roll) - turned)
                continue
            for side in range(2):
                sides[side].append(-2.0 * turned[(crossing + roll) % 2 == side])
    return np.concatenate(centres), [np.concatenate(one) for one in sides]


def areas_m2(cases: Cases, case: int) -> tuple[float, Floats]:
    """Area of the round side (its slant left out, as everywhere here) and of both flat sides."""
    mid, barrel, cone = cases.diameter_m[case], cases.barrel_m[case], cases.cone_m[case]
    ends = mid - barrel + np.array([0.5, -0.5]) * cone
    return math.pi * (mid - 2.0 * barrel / 3.0) * cases.length_m[case], math.pi * ends**2 / 4.0


def diameters_at(cases: Cases, case: int, along: Floats) -> Floats:
    """Diameter at places -1 to 1 along the bale."""
    return np.asarray(
        cases.diameter_m[case] + cases.cone_m[case] / 2.0 * along - cases.barrel_m[case] * along**2
    )


def short_round(around: Floats, half: Floats, centres: Floats, need: int) -> NDArray[np.bool_]:
    """For points of the round side (turns; half a strip in turns there): short or not."""
    apart = around[:, None] - centres
    apart -= np.rint(apart)
    np.abs(apart, out=apart)
    return np.asarray(np.count_nonzero(apart < half[:, None], axis=1) < need)


def short_flat(
    points_m: Floats, directions: Floats, strip_m: float, need: int
) -> NDArray[np.bool_]:
    """For points of a flat side: short or not."""
    angle = math.pi * directions
    off_m = points_m @ np.stack([-np.sin(angle), np.cos(angle)])
    np.abs(off_m, out=off_m)
    return np.asarray(np.count_nonzero(off_m <= strip_m / 2.0, axis=1) < need)


def by_random_points(cases: Cases, case: int, chance: np.random.Generator) -> float:
    """Share of the whole surface that is short, from random points."""
    centres, sides = strips_of(cases, case)
    round_m2, flat_m2 = areas_m2(cases, case)
    strip_m, need = float(cases.strip_m[case]), int(cases.need[case])
    whole = round_m2 + flat_m2.sum()
    on_round = round(RANDOM_POINTS * round_m2 / whole)
    widest = float(diameters_at(cases, case, np.linspace(-1.0, 1.0, 65)).max())
    along = chance.uniform(-1.0, 1.0, 2 * on_round)  # thinned out, so that every m2 gets as many
    wide = chance.random(len(along)) * widest < diameters_at(cases, case, along)
    along = along[wide][:on_round]
    half = strip_m / (2.0 * math.pi * diameters_at(cases, case, along))
    short_m2 = round_m2 * short_round(chance.random(len(along)), half, centres, need).mean()
    for side in range(2):
        number = round(RANDOM_POINTS * flat_m2[side] / whole)
        radius = math.sqrt(flat_m2[side] / math.pi) * np.sqrt(chance.random(number))
        angle = 2.0 * math.pi * chance.random(number)
        points_m = np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=1)
        short_m2 += flat_m2[side] * short_flat(points_m, sides[side], strip_m, need).mean()
    return float(short_m2 / whole)


_OUT = np.sqrt((np.arange(GRID_OUT) + 0.5) / GRID_OUT)
_ANGLE = 2.0 * math.pi * (np.arange(GRID_TURN) + 0.5) / GRID_TURN
_DISC = np.stack(
    [np.outer(_OUT, np.cos(_ANGLE)).ravel(), np.outer(_OUT, np.sin(_ANGLE)).ravel()], axis=1
)
_AROUND = (np.arange(GRID_AROUND) + 0.5) / GRID_AROUND


def by_grid(cases: Cases, case: int) -> float:
    """The same from a regular grid: one ring will do for a cylinder."""
    centres, sides = strips_of(cases, case)
    round_m2, flat_m2 = areas_m2(cases, case)
    strip_m, need = float(cases.strip_m[case]), int(cases.need[case])
    rings = 1 if cases.cone_m[case] == 0.0 and cases.barrel_m[case] == 0.0 else GRID_RINGS
    ring_m = diameters_at(cases, case, (np.arange(rings) + 0.5) / rings * 2.0 - 1.0)
    apart = _AROUND[:, None] - centres
    apart -= np.rint(apart)
    np.abs(apart, out=apart)
    share = [
        (np.count_nonzero(apart < strip_m / (2.0 * math.pi * across), axis=1) < need).mean()
        for across in ring_m
    ]
    short_m2 = round_m2 * float(np.dot(share, ring_m) / ring_m.sum())
    for side in range(2):
        points_m = math.sqrt(flat_m2[side] / math.pi) * _DISC
        short_m2 += flat_m2[side] * short_flat(points_m, sides[side], strip_m, need).mean()
    return float(short_m2 / (round_m2 + flat_m2.sum()))


def by_sorting(cases: Cases, case: int) -> float:
    """The same exactly, by sorting (cylinders only; others are counted as cylinders)."""
    centres, sides = strips_of(cases, case)
    diameter_m, need = float(cases.diameter_m[case]), int(cases.need[case])
    strip_m = float(cases.strip_m[case])
    round_m2, disc_m2 = math.pi * diameter_m * cases.length_m[case], math.pi * diameter_m**2 / 4.0
    short_m2 = round_m2
    if need <= len(centres):
        low, high = neighbours(np.sort(centres % 1.0), need)
        half = strip_m / (2.0 * math.pi * diameter_m)
        beyond = np.maximum(0.0, high - half).sum() - np.maximum(0.0, low - half).sum()
        short_m2 = round_m2 * 2.0 * beyond
    for directions in sides:
        if need > len(directions):
            short_m2 += disc_m2
            continue
        low, high = neighbours(np.sort(directions % 1.0), need)
        rim = math.asin(min(1.0, strip_m / diameter_m))
        total = 0.0
        for corner, sign in ((high, 2.0), (low, -2.0)):
            angle = math.pi * corner[math.pi * corner > rim]
            outer = diameter_m**2 / 4.0 * (angle - rim)
            inner = strip_m**2 / 4.0 * (1.0 / np.tan(angle) - 1.0 / math.tan(rim))
            total += sign * float((outer + inner).sum())
        short_m2 += total
    return float(short_m2 / (round_m2 + 2.0 * disc_m2))


def neighbours(ordered: Floats, need: int) -> tuple[Floats, Floats]:
    """Half the way to the (need - 1)-th and to the need-th place further on."""
    around = np.concatenate([ordered, ordered + 1.0])
    places = np.arange(len(ordered))
    return (around[places + need - 1] - ordered) / 2.0, (around[places + need] - ordered) / 2.0


def exact_shares(cases: Cases) -> Floats:
    """Ours: the share of the whole surface that is short."""
    counted = count_many(as_many(cases))
    assert counted.flat_short_frac is not None
    areas = [areas_m2(cases, case) for case in range(len(cases.turns))]
    round_m2, flat_m2 = np.array([one for one, _ in areas]), np.array([two for _, two in areas])
    short_m2 = round_m2 * counted.short_frac + (flat_m2 * counted.flat_short_frac).sum(axis=1)
    return np.asarray(short_m2 / (round_m2 + flat_m2.sum(axis=1)))


def timed(count: Callable[[int], float], cases: int) -> tuple[Floats, float]:
    """The shares of the first cases, and seconds a case."""
    begun = time.process_time()
    shares = np.array([count(case) for case in range(cases)])
    return shares, (time.process_time() - begun) / cases


def first_calls() -> tuple[float, float]:
    """Seconds of the first call in a new process, nothing kept; and with what it kept on disk."""
    asked = (
        "import time; from balewright.plan.film.many_bales import *;"
        "legs = plain_legs([12.0], 0.125, 2);"
        "many = many_bales(diameter_m=1.25, length_m=1.2, strip_m=0.6, need_layers=6,"
        " dispensers=2, legs=legs); t = time.perf_counter(); count_many(many);"
        "print(time.perf_counter() - t)"
    )
    with tempfile.TemporaryDirectory() as folder:
        env = dict(os.environ, NUMBA_CACHE_DIR=folder)
        runs = [
            subprocess.run(  # noqa: S603 - our own words
                [sys.executable, "-c", asked], env=env, capture_output=True, text=True, check=True
            )
            for _ in range(2)
        ]
    return float(runs[0].stdout), float(runs[1].stdout)


def print_counts(cases: int) -> None:
    """The kernel and the three others."""
    all_cases = invent(cases)
    compile_s, load_s = first_calls()
    print(f"first call ever {compile_s:.1f} s, first call of a process {load_s:.2f} s")
    count_many(as_many(invent(10)))
    best_s = math.inf
    for _ in range(ROUNDS):
        begun = time.process_time()
        count_many(as_many(all_cases))
        best_s = min(best_s, time.process_time() - begun)
    ours_s = best_s / cases
    print(f"{cases} cases in {best_s:.2f} s, columns built and checked: best of {ROUNDS}")
    exact = exact_shares(all_cases)
    print(f"share short: mean {exact.mean():.3f}, nothing short in {(exact == 0.0).mean():.0%}")
    chance = np.random.default_rng(SEED)
    done = {
        f"random points, {RANDOM_POINTS}": timed(
            lambda case: by_random_points(all_cases, case, chance), min(cases, RANDOM_CASES)
        ),
        f"grid, {GRID_AROUND} around, {GRID_OUT * GRID_TURN} a flat side": timed(
            lambda case: by_grid(all_cases, case), min(cases, GRID_CASES)
        ),
        "sorted, cylinders": timed(
            lambda case: by_sorting(all_cases, case), min(cases, SORTED_CASES)
        ),
    }
    print(f"\n{'count':42} {'cases':>6} {'us a case':>10} {'cases/s':>9} {'rms error':>10} ours is")
    print(f"{'ours':42} {cases:6d} {1e6 * ours_s:10.1f} {1 / ours_s:9.0f} {'exact':>10}")
    for name, (shares, seconds) in done.items():
        near = slice(len(shares))
        straight = (all_cases.cone_m[near] == 0.0) & (all_cases.barrel_m[near] == 0.0)
        told = straight if name.startswith("sorted") else np.full(len(shares), True)
        error = math.sqrt(float(((shares - exact[near])[told] ** 2).mean()))
        row = f"{len(shares):6d} {1e6 * seconds:10.1f} {1 / seconds:9.0f} {error:10.1e}"
        print(f"{name:42} {row} {seconds / ours_s:.0f} x")


def print_draws() -> None:
    """Draws saved, for the documented job at several turns."""
    film = StretchedFilm(0.75, normal(0.70, 0.03), normal(0.437, 0.02))
    job = Varying(normal(1.25, 0.03), 1.23, normal(0.491, 0.01), film)
    print("\ndraws saved: squared error of plain random draws over ours, 32 scramblings")
    print("turns draws  chance of 6 layers           saved  mean share short             saved")
    for turns in (11.0, 12.0, 13.0):
        course = Course((Leg(turns, (True, True), job.best_bale_turn),))
        spread = plain_deviation(turns)
        for log2 in (8, 10, 12):
            draws, number = Draws(log2, 32, seed=SEED), 2**log2
            chance = chance_of(job, course, Goal(6), draws)
            one = chance.error_frac * math.sqrt(32)
            saved = chance.chance_frac * (1.0 - chance.chance_frac) / number / one**2
            mean = expected_short(job, course, 6, draws)
            off = mean.short_error_frac * math.sqrt(32)
            also = spread**2 / number / off**2
            said = f"{turns:5.0f} {number:5d}  {chance.chance_frac:.6f} +- {one:.1e} a scrambling"
            tail = f"{mean.short_frac:.2e} +- {off:.1e} a scrambling"
            print(f"{said} {saved:6.0f}  {tail} {also:6.0f}")


def plain_deviation(turns: float, number: int = 200_000) -> float:
    """How the share short differs from bale to bale: what plain draws must average away."""
    chance = np.random.default_rng(SEED)
    diameter_m, advance_m = chance.normal(1.25, 0.03, number), chance.normal(0.491, 0.01, number)
    neck_in = np.clip(chance.normal(0.437, 0.02, number), 0.0, 0.5)
    strip_m = 0.75 * (1.0 + chance.normal(0.70, 0.03, number)) ** -neck_in
    still, none = np.zeros(number), np.zeros(number, np.int64)
    speed = advance_m / (math.pi * diameter_m)
    legs = ManyLegs(
        np.arange(number + 1), np.full(number, turns), none + 3, speed, speed, none, still
    )
    many = many_bales(
        diameter_m=diameter_m,
        length_m=1.23,
        strip_m=strip_m,
        need_layers=6,
        dispensers=2,
        legs=legs,
    )
    return float(count_many(many, flats=False).short_frac.std())


def main() -> None:
    """Count, then draw."""
    print_counts(int(sys.argv[1]) if len(sys.argv) > 1 else CASES)
    print_draws()


if __name__ == "__main__":
    main()
