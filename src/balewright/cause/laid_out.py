"""A fault network laid out as arrays, with the evidence on it as weights."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from balewright.cause.evidence_value import Answer, Seen, weights_of
from balewright.cause.infer.arrays import Arrays, Floats
from balewright.cause.network import Network
from balewright.quantities.errors import BadInput, Fault, NotAnswerable


@dataclass(frozen=True, eq=False)
class LaidOut:
    """network: as it was given; arrays: the same as numbers, causes and observations in the order
    of its lists; cause_at, observation_at: where each key stands; chance[m, n]: every link as a
    table, 0 where there is none.
    """

    network: Network
    arrays: Arrays
    cause_at: Mapping[str, int]
    observation_at: Mapping[str, int]
    chance: Floats


def lay_out(network: Network, exposure: Mapping[str, float] | None = None) -> LaidOut:
    """The network as arrays.

    exposure: bales since a cause was last known not to be there, by its key, 0 for one that was
    just put right; where a cause is not named nobody knows, and it may have stood as long as such
    a cause usually stays. Raises NotAnswerable where no cause is left, BadInput for an exposure
    that is no number.
    """
    if not network.causes:
        raise NotAnswerable("The fault network holds no cause for this machine.")
    cause_at = {one.key: at for at, one in enumerate(network.causes)}
    seen_at = {one.key: at for at, one in enumerate(network.observations)}
    known = exposure or {}
    for key, run_bales in known.items():
        if math.isnan(run_bales):
            cure = "Leave it out where nobody knows."
            raise BadInput(Fault(f"exposure, {key}", "bales run, 0 or above", "nan", cure))
    prior = [one.prior_frac(known.get(one.key)) for one in network.causes]
    to = np.array([seen_at[link.on] for link in network.links], dtype=np.int64)
    come = np.array([cause_at[link.cause] for link in network.links], dtype=np.int64)
    chance = np.array([link.chance_frac for link in network.links], dtype=np.float64)
    order = np.lexsort((come, to))
    start = np.concatenate(([0], np.cumsum(np.bincount(to, minlength=len(seen_at)))))
    leak = [one.leak_frac for one in network.observations]
    arrays = Arrays(np.array(prior), start, come[order], chance[order], np.array(leak))
    table = np.zeros((len(seen_at), len(cause_at)))
    table[to, come] = chance
    table.setflags(write=False)
    return LaidOut(network, arrays, cause_at, seen_at, table)


class NotUsed(StrEnum):
    """Why a piece of evidence says nothing here."""

    NOT_HERE = "not here"  # the network, or this machine's part of it, has no such observation
    NO_NUMBER = "no number"  # a number was given for what reads none


@dataclass(frozen=True)
class LeftOut:
    """A piece of evidence that was given and not used. key: as it was given."""

    key: str
    seen: Seen
    why: NotUsed


@dataclass(frozen=True, eq=False)
class Weighed:
    """The evidence on a laid-out network.

    on[m], off[m]: weights; used: what stands behind them, by key; asked: keys that were answered,
    "unknown" among them; left_out: what was given and could not be used; complaint: keys of what
    somebody wants gone, None where nobody said.
    """

    on: Floats
    off: Floats
    used: Mapping[str, Seen]
    asked: frozenset[str]
    left_out: tuple[LeftOut, ...]
    complaint: frozenset[str] | None = None

    def without(self, at: int) -> tuple[Floats, Floats]:
        """Both weights with one observation not known."""
        on, off = self.on.copy(), self.off.copy()
        on[at] = off[at] = 1.0
        return on, off

    def with_answer(self, laid: LaidOut, key: str, seen: Seen) -> Weighed:
        """The same with one more answer."""
        on, off = self.on.copy(), self.off.copy()
        at = laid.observation_at[key]
        on[at], off[at] = weights_of(laid.network.observations[at], seen) or (1.0, 1.0)
        return replace(
            self, on=on, off=off, used={**self.used, key: seen}, asked=self.asked | {key}
        )


def weigh(
    laid: LaidOut, evidence: Mapping[str, Seen], complaint: Collection[str] | None = None
) -> Weighed:
    """The evidence as weights. What cannot be used is listed, never dropped in silence.

    complaint: keys of what somebody wants gone, of the evidence; None: what was reported, else
    what the records show.
    """
    on, off = np.ones(len(laid.observation_at)), np.ones(len(laid.observation_at))
    used: dict[str, Seen] = {}
    left_out: list[LeftOut] = []
    asked: set[str] = set()
    for key, seen in evidence.items():
        at = laid.observation_at.get(key)
        if at is None:
            left_out.append(LeftOut(key, seen, NotUsed.NOT_HERE))
            continue
        weights = weights_of(laid.network.observations[at], seen)
        if weights is None:
            left_out.append(LeftOut(key, seen, NotUsed.NO_NUMBER))
            continue
        asked.add(key)
        if seen.answer is not Answer.UNKNOWN:
            used[key] = seen
            on[at], off[at] = weights
    about = None if complaint is None else frozenset(complaint)
    return Weighed(on, off, used, frozenset(asked), tuple(left_out), about)
