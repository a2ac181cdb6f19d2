"""Small networks written by hand or by chance, and every question answered by trying all states."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from balewright.cause.evidence_value import Seen, weights_of
from balewright.cause.network import (
    Cause,
    Check,
    Grounds,
    Hands,
    Kind,
    Link,
    Network,
    Observation,
    Part,
    Reading,
    Repair,
    Side,
    Strength,
    System,
    Text,
)

WHY = Grounds("made up for a test", Strength.FAIR)


def said(words: str) -> Text:
    """Words in English."""
    return Text((("en", words),))


def cause(
    key: str,
    prior: float,
    minutes: float = 30.0,
    by: Hands = Hands.OPERATOR,
    parts: tuple[str, ...] = (),
) -> Cause:
    """A cause with that chance to be there."""
    repair = Repair(said(f"mend {key}"), minutes, by, parts, ("spanners",), ("caution.gate",))
    rate = -np.log1p(-prior) * 1000.0
    return Cause(
        key, System.OIL, Side.MACHINE, said(key), said(key), (), float(rate), 1.0, WHY, repair
    )


def report(key: str, leak: float = 0.001) -> Observation:
    """Something people say."""
    return Observation(key, Kind.REPORT, System.OIL, said(key), leak, WHY)


def check(
    key: str,
    leak: float = 0.01,
    minutes: float = 5.0,
    by: Hands = Hands.OPERATOR,
    reading: Reading | None = None,
) -> Observation:
    """Something that can be looked at."""
    look = Check(
        said(f"{key}?"), said("look"), minutes, by, True, 0.0, ("torch",), ("caution.gate",),
        None, reading,
    )  # fmt: skip
    return Observation(key, Kind.CHECK, System.OIL, said(key), leak, WHY, check=look)


def network(
    causes: Sequence[Cause],
    observations: Sequence[Observation],
    chances: Mapping[tuple[str, str], float],
) -> Network:
    """The network with those (cause, observation) links."""
    links = tuple(Link(*pair, chance, WHY) for pair, chance in chances.items())
    parts = tuple(Part(key, said(key), 50.0) for one in causes for key in one.repair.parts)
    return Network("by-hand", 1, tuple(causes), tuple(observations), links, parts)


def random_network(rng: np.random.Generator, causes: int, reports: int, checks: int) -> Network:
    """A network by chance, every number inside its range."""
    hands = list(Hands)
    made = [
        cause(
            f"c{n}", float(rng.uniform(0.01, 0.3)), float(rng.uniform(5, 120)),
            hands[int(rng.integers(0, 3))],
        )
        for n in range(causes)
    ]  # fmt: skip
    seen = [report(f"r{n}", float(rng.uniform(0.001, 0.04))) for n in range(reports)]
    seen += [
        check(f"k{n}", float(rng.uniform(0.005, 0.1)), float(rng.uniform(1, 30)),
              hands[int(rng.integers(0, 3))])
        for n in range(checks)
    ]  # fmt: skip
    chances = {
        (a.key, b.key): float(rng.uniform(0.2, 0.98))
        for a in made
        for b in seen
        if rng.random() < 0.6
    }
    return network(made, seen, chances)


def permuted(given: Network, rng: np.random.Generator) -> Network:
    """The same network with every list in another order."""

    def mixed(one: Sequence) -> tuple:
        return tuple(one[at] for at in rng.permutation(len(one)))

    return replace(
        given,
        causes=mixed(given.causes),
        observations=mixed(given.observations),
        links=mixed(given.links),
    )


class Brute:
    """Every state of the causes, with its chance together with the evidence."""

    def __init__(self, given: Network, evidence: Mapping[str, Seen]) -> None:
        self.network, self.evidence = given, evidence
        self.keys = [one.key for one in given.causes]
        self.states = list(itertools.product((0, 1), repeat=len(self.keys)))
        self.weight = np.array([self._weight(state) for state in self.states])

    def off(self, state: Sequence[int], on: str) -> float:
        """Chance that an observation is off in that state."""
        there = {key for key, yes in zip(self.keys, state, strict=True) if yes}
        chance = 1.0 - self.network.observation_by_key[on].leak_frac
        for link in self.network.shown_by[on]:
            chance *= 1.0 - link.chance_frac if link.cause in there else 1.0
        return chance

    def _weight(self, state: Sequence[int]) -> float:
        weight = 1.0
        for one, yes in zip(self.network.causes, state, strict=True):
            prior = one.prior_frac()
            weight *= prior if yes else 1.0 - prior
        for key, seen in self.evidence.items():
            on, off = weights_of(self.network.observation_by_key[key], seen) or (1.0, 1.0)
            dark = self.off(state, key)
            weight *= on * (1.0 - dark) + off * dark
        return weight

    @property
    def evidence_chance(self) -> float:
        """Of all of it."""
        return float(self.weight.sum())

    def posterior(self) -> dict[str, float]:
        """Chance of each cause."""
        share = self.weight / self.weight.sum()
        table = np.array(self.states, dtype=float)
        return dict(zip(self.keys, share @ table, strict=True))

    def exactly(self, *keys: str) -> float:
        """Chance that these causes are there and no other."""
        state = tuple(int(key in keys) for key in self.keys)
        return float(self.weight[self.states.index(state)] / self.weight.sum())

    def needed(self, key: str, symptoms: Sequence[str]) -> float:
        """Chance that the cause is there and some symptom hangs on it alone.

        By trying out which of the causes that are there turn each symptom on, or its leak.
        """
        at = self.keys.index(key)
        total = 0.0
        for state, weight in zip(self.states, self.weight, strict=True):
            if not state[at]:
                continue
            without = tuple(0 if n == at else yes for n, yes in enumerate(state))
            still = 1.0
            for one in symptoms:
                still *= (1.0 - self.off(without, one)) / (1.0 - self.off(state, one))
            total += weight * (1.0 - still)
        return total / float(self.weight.sum())


def dear(seed: int) -> Network:
    """A network by chance with repairs that take so long that looking first is worth it."""
    given = random_network(np.random.default_rng(seed), 8, 3, 8)
    causes = tuple(
        replace(one, repair=replace(one.repair, minutes=5.0 * one.repair.minutes))
        for one in given.causes
    )
    return replace(given, causes=causes)
