"""The reasons of a cause as sentences that name what was seen in the network's own words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from balewright.cause.evidence_value import Answer
from balewright.cause.laid_out import NotUsed
from balewright.cause.network import Network
from balewright.cause.ranking import RankedCause, Ranking
from balewright.quantities.reason import Reason, because

CONFLICT_RATIO: Final = 10.0
"""From this on it is told that pieces of evidence do not go together; a judgement."""
BEYOND_FRAC: Final = 0.2
"""From this chance on it is told that it may be nothing of the network."""
_MOST: Final = 4


def reasons_of(one: RankedCause, network: Network, language: str = "en") -> tuple[Reason, ...]:
    """Why a cause stands where it stands: what fits, what speaks against it, what was not asked.

    network: whose ranking it is of; language: of the network's words, an ISO 639-1 code.
    """
    given: list[Reason] = []
    # that something is not so can lift a cause as well: its rivals would show in it
    missing = [sign.on for sign in one.lifted if sign.seen.answer is Answer.NO]
    shown = [sign.on for sign in one.lifted if sign.seen.answer is not Answer.NO]
    if not one.lifted:
        given.append(because("cause.reason.only_prior"))
    denied = [s.on for s in one.against if s.seen.answer.value == "no" or s.seen.value is not None]
    explained = [s.on for s in one.against if s.on not in denied]
    for key, names in (
        ("cause.reason.for", shown),
        ("cause.reason.for_missing", missing),
        ("cause.reason.against", denied),
        ("cause.reason.others", explained),
        ("cause.reason.expected", list(one.expected)),
    ):
        if names:
            given.append(because(key, signs=_named(network, names, language)))
    return tuple(given)


def oddities_of(ranking: Ranking, network: Network, language: str = "en") -> tuple[Reason, ...]:
    """What does not fit: things unexplained, a conflict, two at once, evidence not used."""
    given: list[Reason] = []
    if ranking.pair is not None:
        first, second = (
            network.cause(key).name.in_language(language) for key in ranking.pair.causes
        )
        times = ranking.pair.times_ratio
        given.append(because("cause.reason.pair", first=first, second=second, times_ratio=times))
    if ranking.unexplained:
        signs = _named(network, (one.on for one in ranking.unexplained), language)
        given.append(because("cause.reason.unexplained", signs=signs))
    if ranking.beyond_frac >= BEYOND_FRAC:
        given.append(because("cause.reason.beyond", beyond_frac=ranking.beyond_frac))
    if ranking.conflict_ratio >= CONFLICT_RATIO:
        given.append(because("cause.reason.conflict", conflict_ratio=ranking.conflict_ratio))
    for why, key in (
        (NotUsed.NOT_HERE, "cause.reason.left_out"),
        (NotUsed.NO_NUMBER, "cause.reason.no_number"),
    ):
        names = [one.key for one in ranking.left_out if one.why is why]
        if names:
            given.append(because(key, signs=_named(network, names, language, len(names))))
    return tuple(given)


def _named(network: Network, keys: Iterable[str], language: str, most: int = _MOST) -> str:
    """The words of some observations, the weightiest first; a key without words as it is."""
    known = network.observation_by_key
    return "; ".join(
        known[key].words.in_language(language) if key in known else key
        for key in tuple(keys)[:most]
    )
