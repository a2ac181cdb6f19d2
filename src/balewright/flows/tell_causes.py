"""An answer on causes put in words: names from the network, sentences for why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from balewright.cause.evidence_value import Answer, Seen
from balewright.cause.network import Cause, Kind, Network
from balewright.cause.next_check.step import Look
from balewright.cause.ranking import RankedCause, Ranking, Sign
from balewright.flows.ask_causes import Asked
from balewright.quantities.reason import Reason, because

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
    """One check that could be made, in words."""

    look: Look
    asks: str
    how: str


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
        _about(network, ranking, language),
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
        tuple(_why(network, ranked, language)),
    )


def _why(network: Network, one: RankedCause, language: str) -> Iterable[Reason]:
    lifted = [sign for sign in one.lifted if sign.lift_ratio > 1.0]
    silent = [sign for sign in one.against if sign.seen.answer is Answer.NO]
    others = [sign for sign in (*one.lifted, *one.against) if sign.lift_ratio <= 1.0]
    others = [sign for sign in others if sign.seen.answer is not Answer.NO]
    if lifted:
        yield because("cause.reason.for", signs=_signs(network, lifted, language))
    else:
        yield because("cause.reason.only_prior")
    if silent:
        yield because("cause.reason.against", signs=_signs(network, silent, language))
    if others:
        yield because("cause.reason.others", signs=_signs(network, others, language))
    if one.expected:
        yield because("cause.reason.expected", signs=_named(network, one.expected, language))


def _signs(network: Network, signs: Iterable[Sign], language: str) -> str:
    return _named(network, [sign.on for sign in signs], language)


def _named(network: Network, keys: Iterable[str], language: str) -> str:
    return "; ".join(network.observation(key).words.in_language(language) for key in keys)


def _about(network: Network, ranking: Ranking, language: str) -> tuple[Reason, ...]:
    said = [ranking.verdict]
    if ranking.pair is not None:
        first, second = (
            network.cause(key).name.in_language(language) for key in ranking.pair.causes
        )
        times = ranking.pair.times_ratio
        said.append(because("cause.reason.pair", first=first, second=second, times_ratio=times))
    if ranking.unexplained:
        keys = [one.on for one in ranking.unexplained]
        said.append(because("cause.reason.unexplained", signs=_named(network, keys, language)))
    if ranking.conflict_ratio > 1.0:
        said.append(because("cause.reason.conflict", conflict_ratio=ranking.conflict_ratio))
    if ranking.beyond_frac > SHOWN_FRAC:
        said.append(because("cause.reason.beyond", beyond_frac=ranking.beyond_frac))
    return tuple(said)


def _seen(asked: Asked, language: str) -> Iterable[ToldSeen]:
    for key, seen in asked.evidence.items():
        one = asked.at.network.observation(key)
        from_records = key not in asked.answers
        yield ToldSeen(key, one.kind, one.words.in_language(language), seen, from_records)


def _looks(asked: Asked, language: str) -> Iterable[ToldLook]:
    for look in asked.advice.looks:
        check = asked.at.network.observation(look.key).check
        if check is not None:
            asks, how = check.asks.in_language(language), check.how.in_language(language)
            yield ToldLook(look, asks, how)
