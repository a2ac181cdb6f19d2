"""Layers on many different bales at once: columns in, columns out, exact like `count_course`.

    legs = plain_legs(turns=[12.0, 16.0], bale_turn=[0.125, 0.11], dispensers=2)
    many = many_bales(diameter_m=[1.25, 1.40], length_m=1.23, strip_m=0.60, need_layers=6,
                      dispensers=2, legs=legs)
    counted = count_many(many)
    counted.thinnest, counted.short_frac, counted.flat_thinnest

Every case has its own bale, strip and course (`many_legs`). The first call loads the compiled
code (compiled on the very first one); after that some microseconds a case. `docs/models/film.md`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from balewright.plan.film.layers_kernel import count_kernel
from balewright.plan.film.many_legs import (
    Floats,
    Ints,
    ManyLegs,
    legs_of_courses,
    plain_legs,
    repeat_course,
    require_column,
    require_whole,
)
from balewright.quantities.errors import BadInput, Fault

__all__ = [
    "CountedMany",
    "ManyBales",
    "ManyLegs",
    "count_many",
    "legs_of_courses",
    "many_bales",
    "plain_legs",
    "repeat_course",
]


@dataclass(frozen=True, eq=False)
class ManyBales:
    """Cases in columns of one length; make it with `many_bales`, which repeats single numbers.

    diameter_m: at mid-length, 0.3 to 3; length_m: 0.3 to 3; strip_m: width on the bale, 0.01 to 3;
    need_layers: 1 to 40; dispensers: 1 or 2; legs: the courses; cone_m: by how much the end of
    flat side 0 is wider than that of side 1 (diameters, -1 to 1), evenly between; barrel_m: by
    how much the bale is wider at mid-length than at its ends (a parabola; below 0 for a waist,
    -1 to 1); binding_layers: whole layers of binding film, which count on the round side, 0 to 40.
    Raises BadInput outside, where an end is under 0.3 m or over 3 m across, and where a strip
    reaches round half of its bale.
    """

    diameter_m: Floats
    length_m: Floats
    strip_m: Floats
    need_layers: Ints
    dispensers: Ints
    legs: ManyLegs
    cone_m: Floats
    barrel_m: Floats
    binding_layers: Ints

    def __post_init__(self) -> None:
        rows = self.legs.cases
        keep = {
            "diameter_m": require_column("diameter_m", self.diameter_m, rows, (0.3, 3.0)),
            "length_m": require_column("length_m", self.length_m, rows, (0.3, 3.0)),
            "strip_m": require_column("strip_m", self.strip_m, rows, (0.01, 3.0)),
            "need_layers": require_whole("need_layers", self.need_layers, rows, (1, 40)),
            "dispensers": require_whole("dispensers", self.dispensers, rows, (1, 2)),
            "cone_m": require_column("cone_m", self.cone_m, rows, (-1.0, 1.0)),
            "barrel_m": require_column("barrel_m", self.barrel_m, rows, (-1.0, 1.0)),
            "binding_layers": require_whole("binding_layers", self.binding_layers, rows, (0, 40)),
        }
        for name, column in keep.items():
            column.flags.writeable = False
            object.__setattr__(self, name, column)
        ends = self.end_diameters_m
        require_column("cone_m", ends.min(axis=1), rows, (0.3, 3.0))
        require_column("cone_m", ends.max(axis=1), rows, (0.3, 3.0))
        self._require_narrow_strips(np.minimum(ends.min(axis=1), self.diameter_m))
        needed = np.repeat(2**self.dispensers - 1, np.diff(self.legs.first))
        if (self.legs.running > needed).any() or (self.legs.fresh > needed).any():
            raise BadInput(
                Fault(
                    "legs",
                    "rolls that the wrapper has",
                    "a second roll on a wrapper of one",
                    "Give dispensers 2, or bits 0 and 1 only.",
                )
            )

    def _require_narrow_strips(self, least_m: Floats) -> None:
        wide = self.strip_m >= math.pi * least_m / 2.0
        if wide.any():
            case = int(np.argmax(wide))
            half_m = math.pi * float(least_m[case]) / 2.0
            raise BadInput(
                Fault(
                    place=f"strip_m[{case}]",
                    need=f"a strip narrower than half the bale's girth ({half_m:.3f} m)",
                    given=f"{float(self.strip_m[case])!r}",
                    cure="Check width and diameter: both are in metres.",
                )
            )

    @property
    def end_diameters_m(self) -> Floats:
        """Diameter of flat side 0 and of flat side 1, a column each."""
        ends = self.diameter_m - self.barrel_m
        return np.stack([ends + self.cone_m / 2.0, ends - self.cone_m / 2.0], axis=1)

    @property
    def shapes(self) -> Floats:
        """Diameter, strip, and slant and bulge of the radius R(u) = D/2 + slant u - bulge u^2.

        u runs along the bale from -1 (flat side 1) to 1 (flat side 0).
        """
        columns = (self.diameter_m, self.strip_m, self.cone_m / 4.0, self.barrel_m / 2.0)
        return np.stack(columns, axis=1)

    def with_strip(self, strip_m: ArrayLike) -> ManyBales:
        """The same cases with other strips, one width or one for each."""
        return replace(self, strip_m=cast(Floats, strip_m))


def many_bales(  # noqa: PLR0913 - the columns of one table, by name only
    *,
    diameter_m: ArrayLike,
    length_m: ArrayLike,
    strip_m: ArrayLike,
    need_layers: ArrayLike,
    dispensers: ArrayLike,
    legs: ManyLegs,
    cone_m: ArrayLike = 0.0,
    barrel_m: ArrayLike = 0.0,
    binding_layers: ArrayLike = 0,
) -> ManyBales:
    """Cases from columns or single numbers; meaning, ranges and errors as `ManyBales`."""
    return ManyBales(
        diameter_m=cast(Floats, diameter_m),
        length_m=cast(Floats, length_m),
        strip_m=cast(Floats, strip_m),
        need_layers=cast(Ints, need_layers),
        dispensers=cast(Ints, dispensers),
        legs=legs,
        cone_m=cast(Floats, cone_m),
        barrel_m=cast(Floats, barrel_m),
        binding_layers=cast(Ints, binding_layers),
    )


@dataclass(frozen=True, eq=False)
class CountedMany:
    """Answers in the order of the cases.

    Round side: thinnest: fewest layers of wrap film, at the widest ring; round_mean: by area;
    short_frac: share of its area with fewer layers than needed, the binding film counted;
    sliver_m: widest connected stretch of that round the widest ring. Flat sides, one column for
    side 0 and one for side 1: flat_thinnest, flat_short_frac, flat_sliver_m (along the rim), wrap
    film only; None where they were not asked for.
    """

    thinnest: Ints
    round_mean: Floats
    short_frac: Floats
    sliver_m: Floats
    flat_thinnest: Ints | None
    flat_short_frac: Floats | None
    flat_sliver_m: Floats | None


def count_many(many: ManyBales, flats: bool = True) -> CountedMany:
    """Count the layers on every spot of every case.

    flats: count the flat sides too (about half of the time). A cylinder gives what `count_course`
    gives, to rounding. On a cone or a barrel a strip keeps its place and its width while the ring
    it crosses is wider or narrower, so the share short is a sum of integrals in closed form; the
    slant of the surface (second order in cone_m / length_m) is left out. Valid as `count_layers`.
    Source key: `geometry`.
    """
    needs = np.stack([many.need_layers, many.binding_layers, many.dispensers], axis=1)
    rows = len(needs)
    round_side, flat_sides = np.empty((rows, 4)), np.empty((rows if flats else 0, 2, 3))
    legs = many.legs
    count_kernel(
        many.shapes,
        needs,
        legs.first,
        leg_columns(legs),
        flats,
        room_for(legs),
        round_side,
        flat_sides,
    )
    return CountedMany(
        thinnest=_whole(round_side[:, 0]),
        round_mean=round_side[:, 1],
        short_frac=round_side[:, 2],
        sliver_m=round_side[:, 3],
        flat_thinnest=_whole(flat_sides[:, :, 0]) if flats else None,
        flat_short_frac=flat_sides[:, :, 1] if flats else None,
        flat_sliver_m=flat_sides[:, :, 2] if flats else None,
    )


def leg_columns(legs: ManyLegs) -> tuple[Floats, Ints, Floats, Floats, Ints, Floats]:
    """The columns of the legs in the order the compiled code takes them."""
    speeds = (legs.bale_turn, legs.end_bale_turn)
    return (legs.turns, legs.running, *speeds, legs.fresh, legs.rolled_turn)


def room_for(legs: ManyLegs) -> int:
    """The most strips that any case can lay."""
    return 2 * (math.floor(2.0 * float(legs.all_turns.max())) + 2)


def _whole(column: NDArray[np.float64]) -> Ints:
    return column.astype(np.int64)
