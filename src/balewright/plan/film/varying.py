"""Bales that differ from one another, and draws of them that waste nothing.

What decides is almost only two numbers: k, the bale's turning in a wrap turn, which says where
strips fall, and the strip's width as a share of the girth. So the axes of the draws are turned: the
first runs along k, the second along that share, the others hold what is left. The first is drawn
wider than it is and weighted back, because a bale that fails is a rare one in k. What is known
exactly is not drawn: see `tolerance`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import special
from scipy.stats import qmc

from balewright.plan.film.many_legs import Floats
from balewright.plan.film.spread import Spread
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

#: How much wider the first axis is drawn; 1.3 to 2 do nearly as well.
_WIDER: Final = 1.6
#: No bale differs by more than this from the one meant.
_MOST_FRAC: Final = 0.5
_LEAST_CHANCE: Final = 1e-12


@dataclass(frozen=True)
class StretchedFilm:
    """Film of a width on the roll (m, 0.05 to 1.5) whose stretch and neck-in exponent vary."""

    width_m: float
    pre_stretch: Spread
    neck_in: Spread

    def __post_init__(self) -> None:
        require_between("width_m", self.width_m, 0.05, 1.5)


@dataclass(frozen=True)
class MeasuredStrip:
    """A strip as measured on bales (m); pre_stretch: for metres of film, where it is known."""

    width: Spread
    pre_stretch: Spread | None = None


@dataclass(frozen=True)
class Varying:
    """The bales of a job.

    diameter: m; length_m: 0.3 to 3; turning: surface advance in m a wrap turn, so that k =
    advance / (pi D) differs with the diameter too; or, with turning_is_k, k itself; film: what is
    laid; binding_layers: whole layers of binding film on the round side, 0 to 40. Raises BadInput
    where a best value is not one that can be (diameter 0.3 to 3, k 0.001 to 1, stretch 0 to 2,
    neck-in 0 to 0.5, strip 0.01 to 3). Spreads are cut off there, and diameter and turning at
    half and one and a half times the best.
    """

    diameter: Spread
    length_m: float
    turning: Spread
    film: StretchedFilm | MeasuredStrip
    turning_is_k: bool = False
    binding_layers: int = 0

    def __post_init__(self) -> None:
        require_between("length_m", self.length_m, 0.3, 3.0)
        require_count("binding_layers", self.binding_layers, 0, 40)
        require_between("diameter", self.diameter.best, 0.3, 3.0)
        require_between("turning", self.turning.best, 1e-3, 10.0)
        require_between("bale_turn", self.best_bale_turn, 0.001, 1.0)
        parts = self.parts()  # refuses what cannot be
        if not self.parts_width(parts, {}) > 0.0:
            raise AssertionError("a strip has a width")

    @property
    def best_bale_turn(self) -> float:
        """k of the best values, for the course that is to be varied."""
        if self.turning_is_k:
            return self.turning.best
        return self.turning.best / (math.pi * self.diameter.best)

    def parts(self) -> dict[str, Spread]:
        """Everything that may vary, cut off at what can be."""
        parts = {
            "diameter": _near(self.diameter).within(0.3, 3.0),
            "turning": _near(self.turning),
        }
        film = self.film
        if isinstance(film, MeasuredStrip):
            return parts | {"strip": film.width.within(0.01, 3.0)}
        stretch, neck_in = film.pre_stretch.within(0.0, 2.0), film.neck_in.within(0.0, 0.5)
        return parts | {"stretch": stretch, "neck_in": neck_in}

    def parts_width(self, parts: dict[str, Spread], values: dict[str, Floats]) -> Floats:
        """Width of the strip for drawn values; the best value where one was not drawn."""
        if isinstance(self.film, MeasuredStrip):
            return value_of("strip", parts, values)
        stretch, neck_in = (value_of(name, parts, values) for name in ("stretch", "neck_in"))
        return np.asarray(self.film.width_m * (1.0 + stretch) ** -neck_in)

    def pulls(self) -> tuple[dict[str, float], dict[str, float]]:
        """How far one deviation of each part moves ln k, and the logarithm of width over girth."""
        parts = self.parts()
        sizes = {name: part.deviation for name, part in parts.items()}
        diameter = sizes["diameter"] / parts["diameter"].best
        on_k = {"turning": sizes["turning"] / parts["turning"].best}
        if not self.turning_is_k:
            on_k["diameter"] = -diameter
        on_share = {"diameter": -diameter}
        if isinstance(self.film, MeasuredStrip):
            on_share["strip"] = sizes["strip"] / parts["strip"].best
        else:
            stretch, exponent = parts["stretch"].best, parts["neck_in"].best
            on_share["stretch"] = -exponent * sizes["stretch"] / (1.0 + stretch)
            on_share["neck_in"] = -math.log1p(stretch) * sizes["neck_in"]
        return on_k, on_share


def value_of(name: str, parts: dict[str, Spread], values: dict[str, Floats]) -> Floats:
    """The drawn values of one part; its best value where it was not drawn."""
    return values[name] if name in values else np.asarray(parts[name].best)


def _near(spread: Spread) -> Spread:
    """Cut off where nothing is so different any more; what never varies stays as it is."""
    if spread.spread == 0.0:
        return spread
    return spread.within((1.0 - _MOST_FRAC) * spread.best, (1.0 + _MOST_FRAC) * spread.best)


@dataclass(frozen=True)
class Draws:
    """How much is drawn: 2^log2 low-discrepancy points (log2 4 to 20), scrambled so many times
    (2 to 64, each on its own, which gives the error), from a seed of 0 or more."""

    log2: int = 11
    scramblings: int = 8
    seed: int = 1

    def __post_init__(self) -> None:
        require_count("log2", self.log2, 4, 20)
        require_count("scramblings", self.scramblings, 2, 64)
        require_count("seed", self.seed, 0, 2**63 - 1)


@dataclass(frozen=True, eq=False)
class Drawn:
    """Drawn bales: a column for each part that varies, and what each row weighs; rows of one
    scrambling stand together."""

    values: dict[str, Floats]
    weight: Floats
    scramblings: int

    def averages(self, of: Floats) -> Floats:
        """The weighted mean of a column, scrambling by scrambling."""
        weight = self.weight.reshape(self.scramblings, -1)
        return np.asarray((of.reshape(weight.shape) * weight).sum(axis=1) / weight.sum(axis=1))


def draw(varying: Varying, draws: Draws, held: str | None = None) -> Drawn:
    """Draw bales; `held`, where given, is a part that is left out."""
    parts, (on_k, on_share) = varying.parts(), varying.pulls()
    names = [name for name, part in parts.items() if part.spread > 0.0 and name != held]
    if not names:
        return Drawn({}, np.ones(draws.scramblings), draws.scramblings)
    wanted = [[pull.get(name, 0.0) for name in names] for pull in (on_k, on_share)]
    axes = _turned_axes(np.array(wanted), len(names))
    columns = [
        qmc.Sobol(len(names), rng=np.random.default_rng((draws.seed, place))).random_base2(
            draws.log2
        )
        for place in range(draws.scramblings)
    ]
    chance = np.clip(np.concatenate(columns), _LEAST_CHANCE, 1.0 - _LEAST_CHANCE)
    normal = special.ndtri(chance)
    weight = np.ones(len(normal))
    if any(wanted[0]):
        narrow = normal[:, 0].copy()
        normal[:, 0] *= _WIDER
        weight = _WIDER * np.exp(0.5 * (narrow**2 - normal[:, 0] ** 2))
    turned = normal @ axes
    values = {name: parts[name].at(turned[:, place]) for place, name in enumerate(names)}
    return Drawn(values, weight, draws.scramblings)


def _turned_axes(wanted: Floats, number: int) -> Floats:
    """Axes square to one another, a row each: the wanted ones first, as far as they differ."""
    axes: list[Floats] = []
    for one in [*wanted, *np.eye(number)]:
        size = float(np.linalg.norm(one))
        rest = one / size if size > 0.0 else one
        for axis in axes:
            rest = rest - axis * (axis @ rest)
        left = float(np.linalg.norm(rest))
        if left > 1e-6 and len(axes) < number:
            rest = rest / left
            axes.append(rest - sum((axis * (axis @ rest) for axis in axes), np.zeros(number)))
    if len(axes) != number:
        raise BadInput(
            Fault("spread", "spreads of a like size", "one a million times another", "Use 0.")
        )
    return np.array([axis / np.linalg.norm(axis) for axis in axes])
