"""Findings that live on: the same matter seen again is the same episode, told once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from balewright.findings.aside import (
    how_far_off,
    is_markedly_worse,
    keep_aside,
    set_aside,
    take_back,
)
from balewright.findings.episode import (
    AsideEnd,
    Episode,
    EpisodeState,
    Identity,
    Outbreak,
    Revision,
    SetAside,
    identity_of,
    key_of,
    outbreak_of,
)
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.judged import Judged
from balewright.findings.outbreaks import Block, gather, order_of
from balewright.findings.runs import APART
from balewright.findings.same_matter import tells

STANDING: Final = frozenset((FindingKind.COUNTER_CHANGED,))
"""Facts that no later bale makes good: they last until somebody tells what they were."""


def follow(
    episodes: Iterable[Episode], findings: Iterable[Finding], now_us: int, judged: Judged
) -> tuple[Episode, ...]:
    """One machine's episodes after a review, by key; those of other machines come back as given.

    findings: all that the review found on it, old and new, in any order; now_us: time of the
    review, UTC microseconds; judged: its bales as the review had them.

    An episode is closed when more than APART bales that could have shown it did not, or when it
    is found no more though such bales came after it or its own were judged anew. A sensor that
    went silent closes nothing. What comes back within REOPENS opens the same episode again. Keys
    never change, and no episode is ever left out.
    """
    given = tuple(episodes)
    mine = [_placed(one) for one in given if one.finding.machine == judged.serial]
    found = [one for one in findings if one.machine == judged.serial]
    after: list[Episode] = []
    for identity in sorted({*map(_identity, mine), *map(identity_of, found)}):
        own = [one for one in mine if _identity(one) == identity]
        after += [one for one in own if one.joined is not None]
        live = [one for one in own if one.joined is None]
        numbers = _Numbers(identity, max((one.number for one in own), default=0))
        new = [one for one in found if identity_of(one) == identity]
        chains = [
            chain for part, seen in _channels(live, new) for chain in gather(part, seen, judged)
        ]
        chains.sort(key=lambda chain: (chain[0].first, chain[0].last, order_of(_shown(chain))))
        for chain in chains:
            after += _follow(chain, numbers, now_us, judged)
    folded = fold(after, judged)
    others = [one for one in given if one.finding.machine != judged.serial]
    return tuple(sorted((*others, *folded), key=_by_key))


def _placed(episode: Episode) -> Episode:
    """An episode that was kept without its outbreaks has the one its finding tells of."""
    return (
        episode
        if episode.outbreaks
        else replace(episode, outbreaks=(outbreak_of(episode.finding),))
    )


@dataclass
class _Numbers:
    """Gives numbers out to new episodes of one identity."""

    identity: Identity
    last: int

    def next(self) -> int:
        self.last += 1
        return self.last


def _identity(episode: Episode) -> Identity:
    return identity_of(episode.finding)


def _by_key(episode: Episode) -> tuple[Identity, int]:
    return (_identity(episode), episode.number)


def _channels(
    episodes: Sequence[Episode], findings: Sequence[Finding]
) -> list[tuple[list[Episode], list[Finding]]]:
    """Episodes and findings that may be one matter. All of an identity are, but silent columns:
    one that stops is another matter than one that stopped before."""
    kinds = {one.kind for one in (*(one.finding for one in episodes), *findings)}
    if kinds != {FindingKind.NOT_WATCHED}:
        return [(list(episodes), list(findings))]
    apart: list[tuple[set[str], list[Episode], list[Finding]]] = []
    for columns, own, new in (
        *((one.finding.evidence, [one], []) for one in episodes),
        *((one.evidence, [], [one]) for one in findings),
    ):
        met = [part for part in apart if not part[0].isdisjoint(columns)]
        apart = [part for part in apart if part[0].isdisjoint(columns)]
        apart.append(
            (
                set(columns).union(*(part[0] for part in met)),
                [one for part in met for one in part[1]] + own,
                [one for part in met for one in part[2]] + new,
            )
        )
    return [(own, new) for _, own, new in apart]


def _shown(chain: Sequence[Block]) -> Finding:
    """The worst finding of the last block that this review found, else as last seen."""
    found = [block for block in chain if block.findings]
    return found[-1].findings[0] if found else chain[-1].before[0][0].finding


def _follow(
    chain: Sequence[Block], numbers: _Numbers, now_us: int, judged: Judged
) -> list[Episode]:
    """The episode of one chain, and those that turn out to be part of it."""
    owners = {own.key: own for block in chain for own, _ in block.before}
    olds = sorted(owners.values(), key=lambda one: one.number)
    found = [block for block in chain if block.findings]
    shown = _shown(chain)
    if olds:
        was = olds[0]
    else:
        number = numbers.next()
        key = key_of(numbers.identity, number)
        admitted = shown.chance_frac is None
        was = Episode(key, shown, EpisodeState.OPEN, now_us, now_us, None, 0, (), None, admitted)
        was = replace(was, number=number)
    closed_us = _gone_us(chain, now_us, judged)
    episode = replace(
        was,
        finding=shown,
        beside=found[-1].findings[1:] if found else was.beside,
        told_us=min((one.told_us for one in olds), default=now_us),
        seen_us=now_us if found else was.seen_us,
        withdrawn=not found and closed_us is not None,
        closed_us=closed_us,
        opened_again=len(chain) - 1,
        outbreaks=tuple(block.outbreak for block in chain),
        revisions=(*was.revisions, *_revisions(chain, now_us)),
        admitted=any(one.admitted for one in (olds or [was])),
    )
    episode = keep_aside(episode, olds, now_us)
    joined = [
        replace(
            one,
            joined=was.key,
            state=EpisodeState.CLOSED,
            closed_us=now_us if one.closed_us is None else one.closed_us,
        )
        for one in olds[1:]
    ]
    return [episode, *joined]


def _revisions(chain: Sequence[Block], now_us: int) -> Iterable[Revision]:
    """Starts that moved: of a block that goes on from an outbreak begun at another bale."""
    gone_on: set[Outbreak] = set()
    for block in chain:
        before = [out for _, out in block.before if out not in gone_on]
        gone_on.update(out for _, out in block.before)
        if not block.findings or not before:
            continue
        was, now = before[0], block.outbreak
        if (was.since_bale, was.since_us) != (now.since_bale, now.since_us):
            yield Revision(now_us, was.since_bale, now.since_bale, was.start, now.start)


def _gone_us(chain: Sequence[Block], now_us: int, judged: Judged) -> int | None:
    """When bales first showed the matter gone; None while any of it lasts."""
    gone = [_block_gone_us(block, now_us, judged) for block in chain]
    return None if None in gone else gone[-1]


def _block_gone_us(block: Block, now_us: int, judged: Judged) -> int | None:
    if block.findings:
        if any(one.kind in STANDING for one in block.findings):
            return None
        since = judged.rows_after(block.evidence, block.last)
        if len(since) <= APART:
            return None
        made_us = judged.us_at(int(since[APART]))
        return now_us if made_us is None else made_us
    own = block.before[0][0]
    is_last = own.outbreaks[-1] == block.before[0][1]
    if own.closed_us is not None or not is_last:
        return own.closed_us if own.closed_us is not None else now_us
    judged_anew = block.first >= judged.first_new and bool(
        judged.bales and judged.is_judged(block.evidence, block.last)[block.last]
    )
    later = judged.rows_after(block.evidence, block.last) if judged.bales else ()
    return now_us if judged_anew or len(later) else None


def fold(episodes: Sequence[Episode], judged: Judged) -> tuple[Episode, ...]:
    """Lay under one another what speaks of one matter on the same bales.

    What lasts is told by what lasts; what is over, by whatever told it then.
    """
    own = [one for one in episodes if one.joined is None and not one.withdrawn]
    under: dict[str, str | None] = {}
    for one in own:
        is_over = one.state is EpisodeState.CLOSED
        told_by = [
            other.key
            for other in own
            if (is_over or other.state is not EpisodeState.CLOSED)
            and tells(other.finding, one.finding)
            and _meet(one, other, judged)
        ]
        under[one.key] = min(told_by, default=None)
    return tuple(
        replace(one, under=_top(under, one.key) if one.key in under else one.under)
        for one in episodes
    )


def _top(under: Mapping[str, str | None], key: str) -> str | None:
    """The episode that is told at the end of a row of episodes under one another."""
    above = under[key]
    while above is not None and under[above] is not None:
        above = under[above]
    return above


def _meet(one: Episode, other: Episode, judged: Judged) -> bool:
    """Whether the last bales of one are bales of the other, or nearly."""
    first, last = judged.places_of(one.outbreaks[-1])
    return any(
        first <= end + APART and start <= last + APART
        for start, end in map(judged.places_of, other.outbreaks)
    )


__all__ = [
    "AsideEnd",
    "Episode",
    "EpisodeState",
    "Outbreak",
    "Revision",
    "SetAside",
    "fold",
    "follow",
    "how_far_off",
    "is_markedly_worse",
    "set_aside",
    "take_back",
]
