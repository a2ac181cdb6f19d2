"""What a tape on a wrapped bale tells: strip width and the step from edge to edge.

On the round side the next strip lies one surface advance on with one dispenser, half of one with
two (they start on opposite sides, and half a wrap turn later the other roll lies there). So

    step = advance / dispensers,  overlap = 1 - step / width,  k = advance / (pi D).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from balewright.plan.film.error_budget import Part, combine
from balewright.plan.film.readings import read_again
from balewright.plan.film.strip import FREE_NECK_IN, NECK_IN_SPREAD
from balewright.plan.film.two_marks import TAPE_M
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval


@dataclass(frozen=True)
class Taped:
    """Readings on one bale.

    diameter_m, diameter_spread_m: of the bale and how well it is known; dispensers: 1 or 2;
    widths_m: of a strip; steps_m: from the edge of a strip to the same edge of the next.
    """

    diameter_m: float
    dispensers: int
    widths_m: tuple[float, ...]
    steps_m: tuple[float, ...]
    diameter_spread_m: float = 0.02

    def __post_init__(self) -> None:
        require_between("diameter_m", self.diameter_m, 0.3, 3.0)
        require_between("diameter_spread_m", self.diameter_spread_m, 0.0, 0.5)
        require_count("dispensers", self.dispensers, 1, 2)


@dataclass(frozen=True)
class BaleTurned:
    """Strip width, overlap, surface advance and the bale's turn in a wrap turn, at 95 %."""

    width_m: Interval
    overlap_frac: Interval
    advance_m: Interval
    bale_turn: Interval


def turning_on_bale(taped: Taped) -> BaleTurned:
    """How the bale turned, from the strips that lie on it.

    A single reading carries the error of a tape. Valid where the bale turned evenly; overlap may
    be below 0 where strips do not meet. Source keys: `geometry`, `jcgm-100`.
    """
    width = read_again("widths_m", taped.widths_m, 0.01, 3.0).part("width", TAPE_M)
    step = read_again("steps_m", taped.steps_m, 0.001, 3.0).part("step", TAPE_M)
    around = Part("diameter", taped.diameter_m, taped.diameter_spread_m)

    def bale_turn(at: Mapping[str, float]) -> float:
        return taped.dispensers * at["step"] / (math.pi * at["diameter"])

    return BaleTurned(
        width_m=combine(lambda at: at["width"], (width,)).interval(),
        overlap_frac=combine(lambda at: 1.0 - at["step"] / at["width"], (width, step)).interval(),
        advance_m=combine(lambda at: taped.dispensers * at["step"], (step,)).interval(),
        bale_turn=combine(bale_turn, (step, around)).interval(),
    )


def neck_in_on_bale(
    widths_m: Sequence[float], film_width_m: float, stretch: tuple[float, float]
) -> Interval:
    """The neck-in exponent from strip widths on the bale and a stretch that is known.

    widths_m: readings; film_width_m: on the roll, 0.05 to 1.5; stretch: best value and standard
    uncertainty, as fractions, best 0.05 to 2. Source keys: `geometry`, `jcgm-100`.
    """
    require_between("film_width_m", film_width_m, 0.05, 1.5)
    require_between("stretch", stretch[0], 0.05, 2.0)
    width = read_again("widths_m", widths_m, 0.3 * film_width_m, 1.02 * film_width_m)

    def exponent(at: Mapping[str, float]) -> float:
        return math.log(film_width_m / at["width"]) / math.log(1.0 + at["stretch"])

    return combine(exponent, (width.part("width", TAPE_M), Part("stretch", *stretch))).interval()


def stretch_on_bale(
    widths_m: Sequence[float], film_width_m: float, neck_in: Interval = NECK_IN_SPREAD
) -> Interval:
    """The stretch from strip widths, which the uncertain neck-in leaves wide open.

    neck_in: exponent with its spread, taken as two standard uncertainties to each side, above 0.05.
    A check that something is far off, no measurement. Source keys: `geometry`, `jcgm-100`.
    """
    require_between("film_width_m", film_width_m, 0.05, 1.5)
    require_between("neck_in", neck_in.low, 0.05, FREE_NECK_IN)
    require_between("neck_in", neck_in.high, 0.05, FREE_NECK_IN)
    width = read_again("widths_m", widths_m, 0.5 * film_width_m, 1.02 * film_width_m)
    exponent = Part("neck_in", neck_in.best, (neck_in.high - neck_in.low) / 4.0)

    def stretch(at: Mapping[str, float]) -> float:
        return float((film_width_m / at["width"]) ** (1.0 / at["neck_in"])) - 1.0

    return combine(stretch, (width.part("width", TAPE_M), exponent)).interval()
