"""Whether a repair cured it: the next bales say so, or not yet, or nothing does."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from balewright.cause.case.case import Outcome
from balewright.findings.episode import Episode, EpisodeState
from balewright.findings.runs import APART
from balewright.quantities.reason import Reason, because

BY_LUCK_FRAC: Final = 0.05
"""How often bales of a machine that is still ill may all look well before they count (assumed)."""


@dataclass(frozen=True)
class RepairedAt:
    """When a repair was done, as far as it can be trusted.

    at_us: the latest time it can have been, UTC microseconds: when its entry arrived; at_bale:
    what the machine's counter showed, None where nobody read it off; not_before_us: when the case
    was opened: a counter may have shown the same number before, on a control that was swapped.
    """

    at_us: int
    at_bale: int | None = None
    not_before_us: int = 0


@dataclass(frozen=True)
class LaterBales:
    """Bales made after the repair.

    bales: how many; could_show: of them those that could have shown a finding, by its episode's
    key: they know what its last bale knew; from_bale, to_bale: numbers of the first and last,
    None where bales have none.
    """

    bales: int
    could_show: Mapping[str, int]
    from_bale: int | None = None
    to_bale: int | None = None


@dataclass(frozen=True)
class CureProof:
    """What later bales say.

    bales: made since the repair, None where there are no records; need_bales: how many the case
    needs in all; ended, going_on, waiting: keys of episodes; why: one reason for each, and for
    the whole where there is no episode.
    """

    outcome: Outcome
    bales: int | None
    need_bales: int | None
    from_bale: int | None
    to_bale: int | None
    ended: tuple[str, ...]
    going_on: tuple[str, ...]
    waiting: tuple[str, ...]
    why: tuple[Reason, ...]


def bales_needed(episode: Episode) -> int:
    """How many bales that could show it must not, before its end is proof.

    As many as close an episode, and enough that the trouble as it was would have stayed hidden by
    luck in at most one of twenty machines: (1 - share of bales that showed it) ** n <= 0.05.
    """
    finding = episode.finding
    share_frac = finding.bales / finding.looked_at if finding.looked_at else 1.0
    if not 0.0 < share_frac < 1.0:
        return APART + 1
    by_luck = math.log(BY_LUCK_FRAC) / math.log1p(-share_frac)
    return max(APART + 1, math.ceil(by_luck))


def prove(episodes: Sequence[Episode], repaired: RepairedAt, later: LaterBales) -> CureProof:
    """Whether a case is cured, by its findings and the bales made after its repair.

    episodes: of the case, as they stand after the last review; without any there is nothing that
    records could prove, and the outcome is `SAID`. Not cured where one was seen on later bales
    and lasts; cured where all are closed by bales (not withdrawn, not set aside) and enough bales
    that could have shown them were made; not yet otherwise.
    """
    if not episodes:
        why = (because("case.proof.no_findings"),)
        return CureProof(
            Outcome.SAID, later.bales, None, later.from_bale, later.to_bale, (), (), (), why
        )
    judged = [_judge(one, repaired, later.could_show.get(one.key, 0)) for one in episodes]
    keys = {
        outcome: tuple(
            one.key for one, said in zip(episodes, judged, strict=True) if said[0] is outcome
        )
        for outcome in (Outcome.CURED, Outcome.NOT_CURED, Outcome.NOT_YET)
    }
    if keys[Outcome.NOT_CURED]:
        outcome = Outcome.NOT_CURED
    else:
        outcome = Outcome.NOT_YET if keys[Outcome.NOT_YET] else Outcome.CURED
    return CureProof(
        outcome,
        later.bales,
        max(map(bales_needed, episodes)),
        later.from_bale,
        later.to_bale,
        keys[Outcome.CURED],
        keys[Outcome.NOT_CURED],
        keys[Outcome.NOT_YET],
        tuple(said[1] for said in judged),
    )


def no_records() -> CureProof:
    """The proof of a machine whose bales nobody records: somebody's word, and no proof."""
    why = (because("case.proof.no_records"),)
    return CureProof(Outcome.SAID, None, None, None, None, (), (), (), why)


def _judge(episode: Episode, repaired: RepairedAt, could_show: int) -> tuple[Outcome, Reason]:
    need, kind = bales_needed(episode), episode.finding.kind.value
    if episode.withdrawn:
        return Outcome.NOT_YET, because("case.proof.withdrawn", finding=kind)
    if episode.set_aside is not None:
        return Outcome.NOT_YET, because("case.proof.set_aside", finding=kind)
    if episode.state is not EpisodeState.CLOSED:
        if _seen_after(episode, repaired):
            return Outcome.NOT_CURED, because("case.proof.goes_on", finding=kind)
        return Outcome.NOT_YET, _count("case.proof.still_open", kind, could_show, need)
    if could_show < need:
        return Outcome.NOT_YET, _count("case.proof.too_few", kind, could_show, need)
    return Outcome.CURED, because("case.proof.ended", finding=kind, bales=could_show)


def _count(key: str, finding: str, bales: int, need_bales: int) -> Reason:
    return because(key, finding=finding, bales=bales, need_bales=need_bales)


def _seen_after(episode: Episode, repaired: RepairedAt) -> bool:
    """Whether its last outbreak reaches beyond the repair; by number where both have one."""
    last = episode.outbreaks[-1] if episode.outbreaks else episode.finding
    until_us = last.until_us
    if until_us is not None and until_us <= repaired.not_before_us:
        return False
    if repaired.at_bale is not None and last.until_bale is not None:
        return last.until_bale > repaired.at_bale
    return until_us is not None and until_us > repaired.at_us
