"""What inference is timed on: random fault networks with fixed seeds, and the project's own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.cause.infer.arrays import Arrays

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Case:
    """A network with evidence on it, under a name."""

    name: str
    net: Arrays
    on: Floats
    off: Floats

    @property
    def candidates(self) -> Ints:
        """Every observation that nothing is known of."""
        return np.flatnonzero(self.on == self.off)

    @property
    def positive(self) -> Ints:
        """The observations seen on."""
        return np.flatnonzero(self.off == 0.0)


def seen(name: str, net: Arrays, positive: Ints, negative: Ints) -> Case:
    """A case with so much seen on and off, and nothing else known."""
    on, off = np.ones(net.observations), np.ones(net.observations)
    off[positive], on[negative] = 0.0, 0.0
    return Case(name, net, on, off)


def random_case(
    size: tuple[int, int], seen_on: int, seen_off: int, seed: int, dense: float | None = None
) -> Case:
    """A random network, 3 to 8 causes an observation or a share of all of them, and observations
    of it picked at random as seen on and off.
    """
    rng = np.random.default_rng(seed)
    causes, observations = size
    links = (
        rng.integers(3, 9, observations)
        if dense is None
        else np.maximum(1, rng.binomial(causes, dense, observations))
    )
    linked = [rng.choice(causes, count, replace=False) for count in links]
    net = Arrays(
        rng.uniform(0.001, 0.05, causes),
        np.cumsum([0, *links]),
        np.concatenate(linked),
        rng.uniform(0.1, 0.95, int(links.sum())),
        rng.uniform(1e-4, 0.02, observations),
    )
    order = rng.permutation(observations)
    kind = "3 to 8 causes each" if dense is None else f"{dense:.0%} of the causes each"
    name = f"{causes} causes, {observations} observations, {kind}; {seen_on} on, {seen_off} off"
    return seen(name, net, order[:seen_on], order[seen_on : seen_on + seen_off])


def own_cases() -> list[Case]:
    """The project's own network: faults drawn from it with what they show, and the observations
    with the most causes all seen on, which nothing in the field does.
    """
    try:
        from balewright.cause.laid_out import lay_out  # noqa: PLC0415
        from balewright.readers.fault_network.reading import shipped_network  # noqa: PLC0415
    except ImportError:
        return []
    net = lay_out(shipped_network()).arrays
    size = f"own network, {net.causes} causes, {net.observations} observations"
    made = []
    for seed in (1, 2, 3):
        rng = np.random.default_rng(seed)
        there = np.zeros(net.causes, bool)
        there[rng.choice(net.causes, 3, replace=False)] = True
        off = 1.0 - net.leak_frac
        for one in range(net.observations):
            links = slice(net.start[one], net.start[one + 1])
            off[one] *= np.prod(1.0 - there[net.cause[links]] * net.chance[links])
        on = rng.random(net.observations) >= off
        positive, negative = (
            rng.permutation(np.flatnonzero(on)),
            rng.permutation(np.flatnonzero(~on)),
        )
        name = f"{size}; drawn with three faults, 12 on, 30 off"
        made.append(seen(name, net, positive[:12], negative[:30]))
    most = np.argsort(-np.diff(net.start), kind="stable")
    name = f"{size}; the 12 with most causes on, the next 30 off"
    return [max(made, key=lambda case: case.positive.size), seen(name, net, most[:12], most[12:42])]
