"""An answer on causes put in words: names from the network, sentences for why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from balewright.cause.evidence_value import Seen
from balewright.cause.network import Cause, Kind, Network
from balewright.cause.next_check.step import Look
from balewright.cause.ranking import RankedCause
from balewright.cause.reasons.sentence import oddities_of, reasons_of
from balewright.flows.ask_causes import Asked
from balewright.quantities.reason import Reason

SHOWN_FRAC = 0.01
"""Causes less likely than this behind what was seen are not listed,"""
SHOWN = 8
"""nor more than so many."""


@dataclass(frozen=True)
class ToldSeen:
    """One piece of evidence in words. from_records: whether a finding or its absence gave it."""

    key: str
    kind: Kind
    words: str
    seen: Seen
    from_records: bool


@dataclass(frozen=True)
class ToldCause:
    """One cause in words. why: one sentence for each side of the evidence that there is."""

    cause: Cause
    name: str
    tells: str
    repair: str
    ranked: RankedCause
    why: tuple[Reason, ...]


@dataclass(frozen=True)
class ToldLook:
    """One check that could be made, with its question. Its steps come only with its cautions."""

    look: Look
    asks: str


@dataclass(frozen=True)
class ToldCauses:
    """causes: the likeliest first; about: sentences on the answer as a whole, the verdict first;
    seen: the evidence used; looks: checks in the order of what they are worth.
    """

    asked: Asked
    causes: tuple[ToldCause, ...]
    about: tuple[Reason, ...]
    seen: tuple[ToldSeen, ...]
    looks: tuple[ToldLook, ...]


def tell_causes(asked: Asked, language: str = "en") -> ToldCauses:
    """The same in words. language: ISO 639-1 code of the names; sentences are said by `words`."""
    network, ranking = asked.at.network, asked.ranking
    shown = [one for one in ranking.causes if one.behind_frac >= SHOWN_FRAC][:SHOWN]
    return ToldCauses(
        asked,
        tuple(_tell(network, one, language) for one in shown),
        (ranking.verdict, *oddities_of(ranking, network, language)),
        tuple(_seen(asked, language)),
        tuple(_looks(asked, language)),
    )


def _tell(network: Network, ranked: RankedCause, language: str) -> ToldCause:
    cause = network.cause(ranked.key)
    return ToldCause(
        cause,
        cause.name.in_language(language),
        cause.tells.in_language(language),
        cause.repair.words.in_language(language),
        ranked,
        reasons_of(ranked, network, language),
    )


def _seen(asked: Asked, language: str) -> Iterable[ToldSeen]:
    for key, seen in asked.evidence.items():
        one = asked.at.network.observation(key)
        from_records = key not in asked.answers
        yield ToldSeen(key, one.kind, one.words.in_language(language), seen, from_records)


def _looks(asked: Asked, language: str) -> Iterable[ToldLook]:
    for look in asked.advice.looks:
        check = asked.at.network.observation(look.key).check
        if check is not None:
            yield ToldLook(look, check.asks.in_language(language))
