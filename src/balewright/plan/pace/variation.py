"""How much the times of a bale vary, and the draws that a chance answer stands on.

Draws are factors of mean 1, made before the question is asked. The same factors can be used for
many settings, so that a difference between two settings is a difference of the settings and not
of the luck.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

Floats = NDArray[np.float64]


class Shape(StrEnum):
    """The shape of a distribution that is given by its mean and its coefficient of variation."""

    GAMMA = "gamma"
    LOGNORMAL = "lognormal"


@dataclass(frozen=True)
class Variation:
    """Coefficients of variation (standard deviation over mean, 0..3) of the times of a bale.

    fill_frac: of the fill time, from bale to bale. A row that varies from metre to metre evens
    out over the metres of a bale; its mean stays mass over mean feed rate. wrap_frac: of taking
    over and wrapping. shape: of all of them.
    """

    fill_frac: float = 0.0
    bind_frac: float = 0.0
    gate_frac: float = 0.0
    wrap_frac: float = 0.0
    tip_frac: float = 0.0
    shape: Shape = Shape.GAMMA

    def __post_init__(self) -> None:
        for name in PARTS:
            require_between(f"{name}_frac", getattr(self, f"{name}_frac"), 0.0, 3.0)


PARTS: Final = ("fill", "bind", "gate", "wrap", "tip")
MOST_DRAWS: Final = 20_000_000


@dataclass(frozen=True)
class Factors:
    """Draws: an array of (runs, bales) for each part, 0 or more, of mean 1; luck: uniform 0..1,
    which decides over breaks.
    """

    fill: Floats
    bind: Floats
    gate: Floats
    wrap: Floats
    tip: Floats
    luck: Floats

    def __post_init__(self) -> None:
        for name in (*PARTS, "luck"):
            given = getattr(self, name)
            if given.ndim != 2 or given.shape != self.fill.shape or given.size == 0:
                raise BadInput(
                    Fault(name, "an array of (runs, bales), the same for all", f"{given.shape}",
                          "Draw all parts with draw_factors.")
                )  # fmt: skip
            if not (np.isfinite(given).all() and (given >= 0.0).all()):
                cure = "Leave out what was not measured; a factor is a time over its mean."
                raise BadInput(Fault(name, "finite numbers, 0 or more", "others", cure))

    @property
    def runs(self) -> int:
        """How many times the work is done over."""
        return int(self.fill.shape[0])

    @property
    def bales(self) -> int:
        """Bales of each run."""
        return int(self.fill.shape[1])


def draw_factors(
    generator: np.random.Generator, runs: int, bales: int, variation: Variation
) -> Factors:
    """Factors for `runs` times `bales` bales.

    generator: the caller's own, so that the same seed gives the same answer; runs 1..1,000,000;
    bales 1..1,000,000; at most 20,000,000 together. Raises BadInput outside.
    """
    require_count("runs", runs, 1, 1_000_000)
    require_count("bales", bales, 1, 1_000_000)
    require_count("runs x bales", runs * bales, 1, MOST_DRAWS)
    drawn = {
        name: _factors(
            generator, (runs, bales), getattr(variation, f"{name}_frac"), variation.shape
        )
        for name in PARTS
    }
    return Factors(**drawn, luck=generator.random((runs, bales)))


def _factors(
    generator: np.random.Generator, size: tuple[int, int], spread_frac: float, shape: Shape
) -> Floats:
    if spread_frac == 0.0:
        return np.ones(size)
    if shape is Shape.GAMMA:
        return generator.standard_gamma(spread_frac**-2, size) * spread_frac**2
    log_variance = math.log1p(spread_frac**2)
    return np.exp(generator.normal(-log_variance / 2.0, math.sqrt(log_variance), size))
