"""How film is really laid: off the middle, tilted, skewed, with a tail, over bands and binding.

The ring turns in a plane. In space it is y = off_height + x tan(tilt), x along the bale's axis
and y square to it; the middle line of every strip is where that plane meets the bale. While a
strip is laid the bale turns on, which skews it: on the round side by the turn times the share of
the film path done, on a flat side by moving its straight line off the middle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from balewright.plan.film.course import Course, bale_at, crossings
from balewright.plan.film.shape import Floats, Shape, film_path_of, round_path_m
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

_ROUNDING = 1e-9
_TURN = 2.0 * math.pi


@dataclass(frozen=True)
class Girth:
    """Film laid round the girth: a band of a wrapper, or the binding film.

    from_m, to_m: its edges, as the way over the round side from the middle of the bale, -3 to 3
    (what lies beyond a flat side's rim covers nothing); turns: 0 to 40: each whole one is a layer
    all round, a begun one reaches part of the way; start_turn: where it starts, in turns round
    the bale.
    """

    from_m: float
    to_m: float
    turns: float
    start_turn: float = 0.0

    def __post_init__(self) -> None:
        require_between("from_m", self.from_m, -3.0, 3.0)
        require_between("to_m", self.to_m, self.from_m + _ROUNDING, 3.0)
        require_between("turns", self.turns, 0.0, 40.0)
        require_between("start_turn", self.start_turn, -1000.0, 1000.0)

    @property
    def whole(self) -> int:
        """Layers all round."""
        return math.floor(self.turns + _ROUNDING)

    @property
    def begun_turn(self) -> float:
        """Part of the girth that the turn only begun reaches, 0 up to 1."""
        return max(0.0, self.turns - self.whole)


@dataclass(frozen=True)
class Laying:
    """How strips lie on a bale.

    strip_m: width of the strip on the bale, 0.01 to 3; off_height_m: film above (or below)
    mid-height, -1.5 to 1.5; tilt_rad: lean of the ring's plane along the bale, -0.5 to 0.5;
    skew_share: how much of the bale's turning under a strip is counted, 0 (straight strips) to 1;
    tail_share: width of a fresh film's start as a share of the strip, 0 (nothing lies) to 1;
    tail_half_turns: how many half wrap turns that tail lasts, 0 to 100; bands: laid round the
    girth by the wrapper first; binding: binding film.
    """

    strip_m: float
    off_height_m: float = 0.0
    tilt_rad: float = 0.0
    skew_share: float = 0.0
    tail_share: float = 1.0
    tail_half_turns: int = 0
    bands: tuple[Girth, ...] = ()
    binding: tuple[Girth, ...] = ()

    def __post_init__(self) -> None:
        require_between("strip_m", self.strip_m, 0.01, 3.0)
        require_between("off_height_m", self.off_height_m, -1.5, 1.5)
        require_between("tilt_rad", self.tilt_rad, -0.5, 0.5)
        require_between("skew_share", self.skew_share, 0.0, 1.0)
        require_between("tail_share", self.tail_share, 0.0, 1.0)
        require_count("tail_half_turns", self.tail_half_turns, 0, 100)

    @property
    def is_straight(self) -> bool:
        """Whether every strip has one width and lies in a plane through the bale's axis."""
        lean = (self.off_height_m, self.tilt_rad, self.skew_share)
        has_tail = self.tail_half_turns > 0 and self.tail_share < 1.0
        return not any(lean) and not has_tail


def spread_bands(shape: Shape, strip_m: float, turns: int) -> tuple[Girth, ...]:
    """Whole turns round the girth, spread evenly from shoulder to shoulder.

    turns: of all dispensers together, 0 to 40; one alone lies in the middle. Source key:
    `geometry`.
    """
    require_count("turns", turns, 0, 40)
    left_m, right_m = (shape.half_path_m(side) - strip_m / 2.0 for side in (0, 1))
    fits = turns > 1 and left_m + right_m > 0.0
    places = np.linspace(-left_m, right_m, turns) if fits else np.zeros(turns)
    return tuple(Girth(mid - strip_m / 2.0, mid + strip_m / 2.0, 1.0) for mid in places.tolist())


def binding_film(turns: float, roll_m: float, start_turn: float = 0.0) -> tuple[Girth, ...]:
    """Binding film laid in the chamber, in the middle of the bale.

    turns: 0 to 40; roll_m: its width as it lies, 0.05 to 3: a roll narrower than the bale covers
    only where it lies; start_turn: where it starts round the bale. Source key: `geometry`.
    """
    require_between("roll_m", roll_m, 0.05, 3.0)
    return (Girth(-roll_m / 2.0, roll_m / 2.0, turns, start_turn),) if turns > 0.0 else ()


@dataclass(frozen=True)
class Strips:
    """Every strip of a course, as columns: one row a crossing.

    place_turn: middle of the strip on the round side if it lay straight, in turns; normal_turn:
    direction square to it on the flat side, in turns; face: +1 where the film runs to flat side 0
    (left), -1 to flat side 1; round_rate, flat_rate: turns of the bale per wrap turn then, times
    the skew counted; width_m: of the strip.
    """

    place_turn: Floats
    normal_turn: Floats
    face: Floats
    round_rate: Floats
    flat_rate: Floats
    width_m: Floats

    def __len__(self) -> int:
        return len(self.width_m)

    def over(self, side: int) -> NDArray[np.bool_]:
        """Which of them cross flat side 0 or 1."""
        crosses: NDArray[np.bool_] = self.face == (1.0, -1.0)[side]
        return crosses


def strips_of(laying: Laying, course: Course) -> Strips:
    """The strips that a course lays."""
    rows = []
    for one in crossings(course):
        turned, flat_rate = bale_at(course, one.at_turn + 0.25)
        in_tail = one.since_fresh < laying.tail_half_turns
        width_m = laying.strip_m * (laying.tail_share if in_tail else 1.0)
        rates = (one.bale_turn * laying.skew_share, flat_rate * laying.skew_share)
        rows.append((one.round_turn, 0.25 - turned, float(one.forward), *rates, width_m))
    return Strips(*np.array(rows, dtype=np.float64).reshape(-1, 6).T)


def plane_height_m(laying: Laying, along_m: Floats) -> Floats:
    """Height of the ring's plane over the bale's axis at places along it."""
    return laying.off_height_m + np.asarray(along_m) * math.tan(laying.tilt_rad)


def flat_lines_m(shape: Shape, laying: Laying, strips: Strips, side: int) -> Floats:
    """How far from the middle of a flat side each of its strips runs; signed along its normal.

    strips: those that cross this side. The plane's height there, moved on by half of what the
    bale turns while the strip crosses the flat side.
    """
    along_m = np.array([(-1.0, 1.0)[side] * shape.length_m / 2.0])
    height_m = float(plane_height_m(laying, along_m)[0])
    radius_m = shape.flat_radius_m(side)
    lasting = 0.5 - round_path_m(shape) / film_path_of(shape)
    turned_rad = _TURN * strips.flat_rate * lasting / 2.0
    line: Floats = radius_m * np.sin(math.asin(height_m / radius_m) + strips.face * turned_rad)
    return line


def require_fit(shape: Shape, laying: Laying) -> None:
    """Refuse a strip that reaches round half of the bale, and film that runs past it."""
    thinnest_m = min(shape.flat_radius_m(0), shape.flat_radius_m(1), shape.middle_m / 2.0)
    if laying.strip_m >= math.pi * thinnest_m:
        raise BadInput(
            Fault(
                place="strip_m",
                need=f"a strip narrower than half the least girth ({math.pi * thinnest_m:.3f} m)",
                given=f"{laying.strip_m!r}",
                cure="Check width and diameters: all are in metres.",
            )
        )
    lean_m = abs(laying.off_height_m) + shape.length_m / 2.0 * abs(math.tan(laying.tilt_rad))
    if lean_m > 0.8 * thinnest_m:
        raise BadInput(
            Fault(
                place="off_height_m",
                need=f"film that runs within {0.8 * thinnest_m:.3f} m of mid-height everywhere",
                given=f"{lean_m:.3f} m at a flat side, tilt included",
                cure="Check the height in metres and the tilt: film so far off lays nothing there.",
            )
        )


def slipping(course: Course, slip_share: float) -> Course:
    """The same course with a bale that comes to turn less, evenly to the end of the wrapping.

    slip_share: by how much of its turning it falls behind at the end, -0.9 (it runs ahead) to
    0.9. Raises BadInput outside. Source key: `real-bale`.
    """
    require_between("slip_share", slip_share, -0.9, 0.9)
    legs, begun, whole = [], 0.0, course.turns
    for leg in course.legs:
        end_turn = leg.bale_turn if leg.end_bale_turn is None else leg.end_bale_turn
        here, there = (1.0 - slip_share * at / whole for at in (begun, begun + leg.turns))
        legs.append(replace(leg, bale_turn=leg.bale_turn * here, end_bale_turn=end_turn * there))
        begun += leg.turns
    return Course(tuple(legs))
