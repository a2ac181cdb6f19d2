"""Where the network is often wrong: what it said when a case was opened, and what it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from balewright.cause.learn.weights import share_interval
from balewright.cause.network import Network
from balewright.cause.ranking import Ranking
from balewright.quantities.interval import Interval

BINS: Final = (0.0, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 1.0)
"""Edges between stated chances that are counted together."""


@dataclass(frozen=True)
class Judged:
    """A closed and proven case with what was said at its opening.

    case: key; cause: what it was, None where that is not in the network; own_words: then; stated:
    (cause, chance to be behind it) as ranked at the opening, the likeliest first.
    """

    case: str
    cause: str | None
    own_words: str
    stated: tuple[tuple[str, float], ...]

    @property
    def rank(self) -> int | None:
        """Place of what it was, from 1; None where it was not ranked."""
        keys = [key for key, _ in self.stated]
        return keys.index(self.cause) + 1 if self.cause in keys else None


@dataclass(frozen=True)
class Bin:
    """Stated chances between low and high: how many, their mean, how often it was so.

    true_frac: with its interval, None where nothing was stated there.
    """

    low_frac: float
    high_frac: float
    stated: int
    mean_frac: float | None
    true_frac: Interval | None


@dataclass(frozen=True)
class Missed:
    """A cause that is ranked low when it is there. ranks: its places, one for each case; first:
    (cause put first instead, how often), the commonest first.
    """

    cause: str
    ranks: tuple[int | None, ...]
    first: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Track:
    """cases: judged; first, third: share ranked first, among the first three, None without cases;
    bins: calibration of all that was stated; missed: causes not ranked first every time, the
    worst first; unknown: (own words, case) of what is not in the network.
    """

    cases: int
    first_frac: Interval | None
    third_frac: Interval | None
    bins: tuple[Bin, ...]
    missed: tuple[Missed, ...]
    unknown: tuple[tuple[str, str], ...]


def judged(case: str, cause: str | None, own_words: str, ranking: Ranking) -> Judged:
    """A case with the ranking made of its opening."""
    stated = tuple((one.key, one.behind_frac) for one in ranking.causes)
    return Judged(case, cause, own_words, stated)


def track(network: Network, cases: Sequence[Judged]) -> Track:
    """How well what was said at openings fits what was found; only proven cases belong here.

    Shares with the interval in which they lie nine times in ten (Jeffreys' prior, half a case).
    """
    known = [one for one in cases if one.cause in network.cause_by_key]
    ranks = [one.rank for one in known]
    return Track(
        len(cases),
        _share(sum(rank == 1 for rank in ranks), len(cases)),
        _share(sum(rank is not None and rank <= 3 for rank in ranks), len(cases)),
        _bins(cases),
        _missed(known),
        tuple(
            (one.own_words, one.case) for one in cases if one.cause not in network.cause_by_key
        ),
    )  # fmt: skip


def _share(yes: int, of: int) -> Interval | None:
    return share_interval(yes + 0.5, of + 1.0) if of else None


def _bins(cases: Sequence[Judged]) -> tuple[Bin, ...]:
    stated = [(chance, key == one.cause) for one in cases for key, chance in one.stated]
    found = []
    for low, high in pairwise(BINS):
        inside = [
            (chance, so) for chance, so in stated if low <= chance < high or chance == high == 1.0
        ]
        mean = sum(chance for chance, _ in inside) / len(inside) if inside else None
        yes = sum(so for _, so in inside)
        found.append(Bin(low, high, len(inside), mean, _share(yes, len(inside))))
    return tuple(found)


def _missed(cases: Sequence[Judged]) -> tuple[Missed, ...]:
    found = []
    for cause in sorted({str(one.cause) for one in cases}):
        own = [one for one in cases if one.cause == cause]
        wrong: dict[str, int] = {}
        for one in own:
            if one.rank != 1 and one.stated:
                wrong[one.stated[0][0]] = wrong.get(one.stated[0][0], 0) + 1
        if wrong or any(one.rank != 1 for one in own):
            first = tuple(sorted(wrong.items(), key=lambda pair: (-pair[1], pair[0])))
            found.append(Missed(cause, tuple(one.rank for one in own), first))
    return tuple(sorted(found, key=lambda one: (-sum(n for _, n in one.first), one.cause)))
