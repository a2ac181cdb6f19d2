"""Chance by name: what one part of a season draws shifts nothing that another part draws."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.random import PCG64, Generator, SeedSequence
from numpy.typing import NDArray

_LETTERS: Final = 2**24


@dataclass(frozen=True)
class Streams:
    """One generator for each name, all from one seed.

    Values are drawn in the order of the bales, so that a longer season begins like a shorter one,
    and a fault that draws from a stream of its own leaves the rest of the season as it was.
    """

    seed: SeedSequence

    @staticmethod
    def child_of(chance: Generator) -> Streams:
        """Streams of a generator that was spawned or seeded; its own state is left alone."""
        seed = chance.bit_generator.seed_seq
        if not isinstance(seed, SeedSequence):
            raise TypeError("the generator has no seed sequence to draw children from")
        return Streams(seed)

    def within(self, name: str) -> Streams:
        """The streams of one part, which share nothing with those of another."""
        number = int.from_bytes(name.encode(), "big")
        key = (*self.seed.spawn_key, _LETTERS, number)
        return Streams(SeedSequence(self.seed.entropy, spawn_key=key))

    def of(self, name: str) -> Generator:
        """The generator of that name, at its beginning each time."""
        return Generator(PCG64(self.within(name).seed))

    def normal(self, name: str, count: int, spread: float = 1.0) -> NDArray[np.float64]:
        """Normal values with mean 0, shape (count,). spread: in the unit of the answer."""
        return self.of(name).normal(0.0, spread, count)

    def even(self, name: str, count: int) -> NDArray[np.float64]:
        """Values evenly spread over 0..1, shape (count,)."""
        return self.of(name).random(count)

    def one(self, name: str, spread: float = 1.0) -> float:
        """One normal value with mean 0."""
        return float(self.of(name).normal(0.0, spread))


def lasting(fresh: NDArray[np.float64], autocorrelation_frac: float) -> NDArray[np.float64]:
    """Values of the same spread of which each resembles the one before, shape (n,).

    fresh: independent, of equal spread; autocorrelation_frac: 0 to below 1.
    """
    add = math.sqrt(1.0 - autocorrelation_frac**2)
    values, last = [], 0.0
    for place, value in enumerate(fresh.tolist()):
        last = value if place == 0 else autocorrelation_frac * last + add * value
        values.append(last)
    return np.array(values)
