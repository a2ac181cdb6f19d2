"""What the count of a real bale says: side by side, and for the whole of it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from balewright.plan.film.shape import Shape


class Side(StrEnum):
    """The parts of a bale's surface. Left is the end of flat side 1."""

    ROUND = "round"
    LEFT_SHOULDER = "left_shoulder"
    RIGHT_SHOULDER = "right_shoulder"
    LEFT_FLAT = "left_flat"
    RIGHT_FLAT = "right_flat"


@dataclass(frozen=True)
class Spot:
    """Where a side is thinnest: the middle of its widest arc with the fewest layers.

    along_m: from the middle of the bale along its axis, to the left negative; radius_m: from the
    axis; place_turn: round the bale from the first strip, 0 up to 1; wide_m: of that arc, round
    the bale.
    """

    side: Side
    layers: int
    along_m: float
    radius_m: float
    place_turn: float
    wide_m: float


@dataclass(frozen=True)
class SideCount:
    """Layers on one side.

    area_m2: of the side; short_m2: with fewer layers than needed; error_m2: what `short_m2` may
    be off by, 0 where it is in closed form; sliver_m: the widest connected stretch that is short,
    measured round the bale; layers_m2: area under 0, 1, 2, ... layers; spot: where it is thinnest.
    """

    side: Side
    area_m2: float
    short_m2: float
    error_m2: float
    sliver_m: float
    layers_m2: tuple[float, ...]
    spot: Spot

    @property
    def thinnest(self) -> int:
        """Fewest layers on any spot of it."""
        return self.spot.layers

    @property
    def mean(self) -> float:
        """Layers on average."""
        return self.laid_m2 / self.area_m2

    @property
    def laid_m2(self) -> float:
        """Film that lies on it: every area times its layers."""
        return math.fsum(layers * area for layers, area in enumerate(self.layers_m2))

    @property
    def short_frac(self) -> float:
        """Share of it that is short."""
        return self.short_m2 / self.area_m2


@dataclass(frozen=True)
class Cover:
    """The film on the whole bale, side by side; sides without area are left out."""

    sides: tuple[SideCount, ...]

    def on(self, side: Side) -> SideCount | None:
        """One side; None where the bale has none of that name."""
        return next((count for count in self.sides if count.side is side), None)

    @property
    def spot(self) -> Spot:
        """The thinnest spot of all; the widest of equals."""
        return min((one.spot for one in self.sides), key=lambda spot: (spot.layers, -spot.wide_m))

    @property
    def thinnest(self) -> int:
        """Fewest layers on any spot."""
        return self.spot.layers

    @property
    def area_m2(self) -> float:
        """The surface of the bale."""
        return math.fsum(one.area_m2 for one in self.sides)

    @property
    def short_m2(self) -> float:
        """Area short of the need."""
        return math.fsum(one.short_m2 for one in self.sides)

    @property
    def error_m2(self) -> float:
        """What `short_m2` may be off by."""
        return math.fsum(one.error_m2 for one in self.sides)

    @property
    def short_frac(self) -> float:
        """Share of the whole surface that is short."""
        return self.short_m2 / self.area_m2

    @property
    def laid_m2(self) -> float:
        """Film on the surface: every area times its layers."""
        return math.fsum(one.laid_m2 for one in self.sides)

    @property
    def sliver_m(self) -> float:
        """The widest connected stretch that is short, measured round the bale."""
        return max(one.sliver_m for one in self.sides)

    @property
    def layers_m2(self) -> tuple[float, ...]:
        """Area of the whole bale under 0, 1, 2, ... layers."""
        most = max(len(one.layers_m2) for one in self.sides)
        return tuple(
            math.fsum(one.layers_m2[n] for one in self.sides if n < len(one.layers_m2))
            for n in range(most)
        )


@dataclass(frozen=True)
class RealCount:
    """Layers on a bale as it is.

    wrap: film of the wrapper alone, bands included; bound: with the binding film under it (the
    same where there is none); film_m2: what the wrapper laid, width times length along the bale;
    gathered_m2: the part of it that does not lie flat but gathers at the rims of the flat sides,
    where a strip between parallel edges meets a circle; path_m: once round the bale.
    """

    shape: Shape
    need_layers: int
    wrap: Cover
    bound: Cover
    film_m2: float
    gathered_m2: float
    path_m: float
