"""Random fault networks and evidence, and what the definition alone says about them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from balewright.cause.infer.arrays import Arrays

Floats = NDArray[np.float64]


def random_network(
    rng: np.random.Generator,
    causes: int,
    observations: int,
    links: tuple[int, int] = (1, 5),
    leak_frac: tuple[float, float] = (1e-4, 0.02),
) -> Arrays:
    """Priors of 0.1 to 5 %, chances of 10 to 95 %, between two and so many links an observation."""
    linked = [
        rng.choice(causes, min(causes, rng.integers(links[0], links[1] + 1)), replace=False)
        for _ in range(observations)
    ]
    return Arrays(
        rng.uniform(0.001, 0.05, causes),
        np.cumsum([0, *map(len, linked)]),
        np.concatenate(linked),
        rng.uniform(0.1, 0.95, sum(map(len, linked))),
        rng.uniform(*leak_frac, observations),
    )


def random_evidence(rng: np.random.Generator, observations: int) -> tuple[Floats, Floats]:
    """A quarter each seen on, seen off, not known, and read with both outcomes still possible."""
    on, off = np.ones(observations), np.ones(observations)
    kind = rng.integers(0, 4, observations)
    on[kind == 1], off[kind == 0] = 0.0, 0.0
    for row in (on, off):
        row[kind == 3] = rng.uniform(0.0, 3.0, (kind == 3).sum())
    return on, off


def seen(observations: int, on: list[int], off: list[int]) -> tuple[Floats, Floats]:
    """Weights of observations seen on and seen off; of the others nothing is known."""
    weight_on, weight_off = np.ones(observations), np.ones(observations)
    weight_off[on], weight_on[off] = 0.0, 0.0
    return weight_on, weight_off


def by_definition(
    net: Arrays, weight_on: Floats, weight_off: Floats
) -> tuple[float, Floats, Floats]:
    """The evidence's chance, every posterior, and the chance of every set of causes, by going
    through all sets.
    """
    there = (np.arange(2**net.causes)[:, None] >> np.arange(net.causes)) & 1
    chance = np.prod(np.where(there, net.prior_frac, 1.0 - net.prior_frac), axis=1)
    for one in range(net.observations):
        links = slice(net.start[one], net.start[one + 1])
        off = (1.0 - net.leak_frac[one]) * np.prod(
            1.0 - there[:, net.cause[links]] * net.chance[links], axis=1
        )
        chance = chance * (weight_on[one] * (1.0 - off) + weight_off[one] * off)
    return float(chance.sum()), chance @ there / chance.sum(), chance / chance.sum()
