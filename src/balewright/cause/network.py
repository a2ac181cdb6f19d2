"""A fault network: causes, what can be observed, and how often the one shows the other."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from balewright.cause.terms import (
    JUDGED,
    NO_CAUTION,
    Grounds,
    Hands,
    Kind,
    Side,
    Strength,
    System,
    Text,
    Way,
)
from balewright.findings.finding import FindingKind
from balewright.quantities.errors import NotAnswerable

__all__ = [
    "JUDGED",
    "NO_CAUTION",
    "Alike",
    "Cause",
    "Check",
    "Grounds",
    "Hands",
    "Kind",
    "Link",
    "Match",
    "Network",
    "Observation",
    "Part",
    "Reading",
    "Repair",
    "Side",
    "Strength",
    "System",
    "Text",
    "Tool",
    "Way",
    "holds",
]


@dataclass(frozen=True)
class Repair:
    """What puts a cause right.

    minutes: of work at the machine; by: who may; parts, tools: keys; money: of parts, in the
    house's currency; cautions: keys of what comes first.
    """

    words: Text
    minutes: float
    by: Hands
    parts: tuple[str, ...]
    tools: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Cause:
    """One thing that can be wrong, on the machine or beside it.

    exists_if: facts of the machine that must all hold ("a|b": either); arises_per_1000: how often
    it arises in a thousand bales; stays_bales: how many bales it usually stays before somebody
    puts it right, where nothing told of it; ended_by: kinds of events after which it is gone.
    """

    key: str
    system: System
    side: Side
    name: Text
    tells: Text
    exists_if: tuple[str, ...]
    arises_per_1000: float
    stays_bales: float
    grounds: Grounds
    repair: Repair
    ended_by: tuple[str, ...] = ()

    def prior_frac(self, run_bales: float | None = None) -> float:
        """Chance that it is there before anything was seen, 0..1.

        run_bales: bales since the machine was last known free of it; None: nobody knows.
        """
        bales = self.stays_bales if run_bales is None else min(run_bales, self.stays_bales)
        return -math.expm1(-self.arises_per_1000 * max(bales, 0.0) / 1000.0)


@dataclass(frozen=True)
class Match:
    """Which findings an observation stands for.

    measure: key of what was watched, "" for any; part: of the finding, "" for any.
    """

    kind: FindingKind
    measure: str = ""
    way: Way = Way.EITHER
    part: str = ""


@dataclass(frozen=True)
class Reading:
    """A check that reads a number.

    limit: beyond which it shows the fault, in `unit`; bad: on which side; in_order, at_fault:
    (mean, standard deviation) of what is read where all is well and where it is not.
    """

    unit: str
    limit: float
    bad: Way
    in_order: tuple[float, float]
    at_fault: tuple[float, float]

    def weights(self, value: float) -> tuple[float, float]:
        """Densities of the reading where the fault shows and where it does not, larger one 1."""
        on, off = (_log_density(value, *shape) for shape in (self.at_fault, self.in_order))
        most = max(on, off)
        return math.exp(max(on - most, -60.0)), math.exp(max(off - most, -60.0))


def _log_density(value: float, mean: float, spread: float) -> float:
    # hypot, for a square may be too large for a float; no reading lies further off than that
    off = min(abs(value - mean) / spread, 1e300)
    return -5.0 * math.log(math.hypot(1.0, off / 2.0)) - math.log(spread)


@dataclass(frozen=True)
class Check:
    """How to look. asks: the question whose yes shows the fault; how: what is done, in steps.

    minutes: how long it takes; by: who may; at_rest: whether PTO and engine stand for it;
    money: what it uses up; risks: what it endangers, "" nothing; cautions: keys, first.
    """

    asks: Text
    how: Text
    minutes: float
    by: Hands
    at_rest: bool
    money: float
    tools: tuple[str, ...]
    cautions: tuple[str, ...]
    risks: Text | None = None
    reading: Reading | None = None


@dataclass(frozen=True)
class Observation:
    """Something that is seen or not.

    words: what it says when it is so; also: other ways people say it, by language; leak_frac:
    chance that it is so though none of its causes is there; matches: of a FINDING; senses:
    columns of the bale table without which the records cannot show it, however long they are.
    """

    key: str
    kind: Kind
    system: System
    words: Text
    leak_frac: float
    grounds: Grounds
    exists_if: tuple[str, ...] = ()
    also: tuple[tuple[str, tuple[str, ...]], ...] = ()
    matches: tuple[Match, ...] = ()
    senses: tuple[str, ...] = ()
    check: Check | None = None


@dataclass(frozen=True)
class Link:
    """How often a cause alone shows in an observation, 0..1."""

    cause: str
    on: str
    chance_frac: float
    grounds: Grounds


@dataclass(frozen=True)
class Part:
    """A part or a consumable: its name and what it costs, in the house's currency; assumed."""

    key: str
    name: Text
    money: float


@dataclass(frozen=True)
class Tool:
    """A tool a check or a repair needs."""

    key: str
    name: Text


@dataclass(frozen=True)
class Alike:
    """Two causes that no check of the network tells apart, with the reason why none could."""

    causes: tuple[str, str]
    why: str


@dataclass(frozen=True)
class Network:
    """Everything the program knows about causes; `version` names its state."""

    key: str
    version: int
    causes: tuple[Cause, ...]
    observations: tuple[Observation, ...]
    links: tuple[Link, ...]
    parts: tuple[Part, ...] = ()
    tools: tuple[Tool, ...] = ()
    alike: tuple[Alike, ...] = field(default=())

    @cached_property
    def cause_by_key(self) -> Mapping[str, Cause]:
        """Causes by their key."""
        return {one.key: one for one in self.causes}

    @cached_property
    def observation_by_key(self) -> Mapping[str, Observation]:
        """Observations by their key."""
        return {one.key: one for one in self.observations}

    @cached_property
    def part_by_key(self) -> Mapping[str, Part]:
        """Parts by their key."""
        return {one.key: one for one in self.parts}

    @cached_property
    def tool_by_key(self) -> Mapping[str, Tool]:
        """Tools by their key."""
        return {one.key: one for one in self.tools}

    @cached_property
    def shows(self) -> Mapping[str, tuple[Link, ...]]:
        """Links by the cause they lead from."""
        found: dict[str, list[Link]] = {one.key: [] for one in self.causes}
        for link in self.links:
            found[link.cause].append(link)
        return {key: tuple(links) for key, links in found.items()}

    @cached_property
    def shown_by(self) -> Mapping[str, tuple[Link, ...]]:
        """Links by the observation they lead to."""
        found: dict[str, list[Link]] = {one.key: [] for one in self.observations}
        for link in self.links:
            found[link.on].append(link)
        return {key: tuple(links) for key, links in found.items()}

    def cause(self, key: str) -> Cause:
        """The cause of that key; NotAnswerable where there is none."""
        found = self.cause_by_key.get(key)
        if found is None:
            raise NotAnswerable(f"The fault network has no cause `{key}`.")
        return found

    def observation(self, key: str) -> Observation:
        """The observation of that key; NotAnswerable where there is none."""
        found = self.observation_by_key.get(key)
        if found is None:
            raise NotAnswerable(f"The fault network has no observation `{key}`.")
        return found

    def for_machine(self, facts: Collection[str]) -> Network:
        """The part of the network that such a machine can have; `facts` as `machine_facts` gives.

        An observation that none of the causes left can show goes too.
        """
        causes = tuple(one for one in self.causes if holds(one.exists_if, facts))
        seen = tuple(one for one in self.observations if holds(one.exists_if, facts))
        keys, shown = {one.key for one in causes}, {one.key for one in seen}
        links = tuple(one for one in self.links if one.cause in keys and one.on in shown)
        linked = {one.on for one in links}
        return replace(
            self,
            causes=causes,
            observations=tuple(one for one in seen if one.key in linked),
            links=links,
        )


def holds(needs: Collection[str], facts: Collection[str]) -> bool:
    """Whether every need is met; a need "a|b" by either."""
    return all(any(one in facts for one in need.split("|")) for need in needs)
