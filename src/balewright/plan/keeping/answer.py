"""The whole answer about one bale's keeping, as commands and pages show it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from balewright.plan.keeping.advice import LayerAdvice, advised_layers
from balewright.plan.keeping.keep import Kept, Mishaps, Stored, keep, keep_by_layers
from balewright.plan.keeping.least_cost import MOST_LAYERS, LeastCost, Prices, least_cost

_FEWEST_SHOWN: Final = 2


@dataclass(frozen=True)
class KeepingAnswer:
    """kept: under the layers asked for; by_layers: the same bale under 2 to 12; advice: what
    sources ask for; least: None where no prices were given.
    """

    stored: Stored
    mishaps: Mishaps
    kept: Kept
    by_layers: tuple[Kept, ...]
    advice: tuple[LayerAdvice, ...]
    prices: Prices | None
    least: LeastCost | None


@dataclass(frozen=True)
class KeepingQuestion:
    """stored and layers (1 to 40) as asked; roll_film_m: film on the roll, 5e-6 to 100e-6."""

    stored: Stored
    layers: int
    roll_film_m: float
    mishaps: Mishaps = field(default_factory=Mishaps)
    prices: Prices | None = None


def answer_keeping(asked: KeepingQuestion) -> KeepingAnswer:
    """Losses, mould, advice and costs together; a few milliseconds. Raises BadInput as `keep`."""
    stored, mishaps, prices = asked.stored, asked.mishaps, asked.prices
    return KeepingAnswer(
        stored,
        mishaps,
        keep(stored, asked.layers, mishaps),
        keep_by_layers(stored, range(_FEWEST_SHOWN, MOST_LAYERS + 1), mishaps),
        advised_layers(stored.stay.months, asked.roll_film_m),
        prices,
        None if prices is None else least_cost(stored, prices, mishaps),
    )
