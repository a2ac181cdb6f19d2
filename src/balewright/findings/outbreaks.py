"""Findings of one identity gathered into outbreaks, and outbreaks into episodes."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import Final

from balewright.findings.episode import Episode, Outbreak, outbreak_of
from balewright.findings.finding import Finding, Weight
from balewright.findings.judged import Judged
from balewright.findings.runs import APART
from balewright.quantities.si import MICROSECONDS_PER_S

REOPENS_BALES: Final = 500
"""Assumed: what comes back within so many judged bales was not cured."""
REOPENS_US: Final = 14 * 86_400 * MICROSECONDS_PER_S
"""Assumed: nor what comes back within so long, however many bales a busy machine makes."""

RANK: Final = {weight: place for place, weight in enumerate(Weight)}
"""Worst first."""


@dataclass(frozen=True, eq=False)
class Block:
    """One stretch of bales on which a matter was seen.

    first, last: rows; findings: of this review, worst first, none where only earlier reviews saw
    it; before: outbreaks of earlier reviews it goes on from, with their episodes.
    """

    first: int
    last: int
    findings: tuple[Finding, ...]
    before: tuple[tuple[Episode, Outbreak], ...]

    @property
    def evidence(self) -> tuple[str, ...]:
        """What its last bale was judged on."""
        return self.outbreak.evidence

    @property
    def outbreak(self) -> Outbreak:
        """As it is kept: from the first bale of the earliest finding to the last of the latest."""
        if not self.findings:
            return self.before[0][1]
        seen = [outbreak_of(one) for one in self.findings]
        since = min(seen, key=lambda one: _known_first(one.since_us, one.since_bale))
        until = max(seen, key=lambda one: (one.until_us or 0, one.until_bale or 0, one.evidence))
        return Outbreak(
            *(since.since_bale, since.since_us, until.until_bale, until.until_us),
            *(since.start, until.evidence),
        )


def _known_first(at_us: int | None, number: int | None) -> tuple[int, int, int, int]:
    return (at_us is None, at_us or 0, number is None, number or 0)


def gather(
    episodes: Sequence[Episode], findings: Sequence[Finding], judged: Judged
) -> list[list[Block]]:
    """Blocks of one identity, in order; those of one list are one episode.

    Findings that overlap, or have at most APART judged bales between them, are one block; it goes
    on from the outbreaks of earlier reviews that are as near. Blocks are one episode where one
    comes back within REOPENS, or where an episode had them all before.
    """
    blocks = [_block(cluster, judged) for cluster in _clusters(findings, judged)]
    blocks, left = _attach(blocks, episodes, judged)
    blocks += [Block(*judged.places_of(out), (), ((own, out),)) for own, out in left]
    blocks.sort(key=lambda one: (one.first, one.last, not one.findings, one.outbreak.evidence))
    return _chains(blocks, judged)


def _clusters(findings: Sequence[Finding], judged: Judged) -> Iterator[list[Finding]]:
    placed = [(*judged.places_of(outbreak_of(one)), one) for one in findings]
    placed.sort(key=lambda row: (row[0], row[1], order_of(row[2])))
    cluster: list[Finding] = []
    last = -1
    evidence: tuple[str, ...] = ()
    for first, until, finding in placed:
        if cluster and not _is_near(judged, (last, evidence), first, APART):
            yield cluster
            cluster = []
        if not cluster or until >= last:
            last, evidence = until, finding.evidence
        cluster.append(finding)
    if cluster:
        yield cluster


def _block(findings: Sequence[Finding], judged: Judged) -> Block:
    places = [judged.places_of(outbreak_of(one)) for one in findings]
    worst = sorted(
        zip(findings, places, strict=True),
        key=lambda pair: (RANK[pair[0].weight], -pair[1][1], pair[1][0], order_of(pair[0])),
    )
    return Block(
        min(first for first, _ in places),
        max(last for _, last in places),
        tuple(finding for finding, _ in worst),
        (),
    )


def _attach(
    blocks: Sequence[Block], episodes: Sequence[Episode], judged: Judged
) -> tuple[list[Block], list[tuple[Episode, Outbreak]]]:
    """Blocks with what they go on from, and the outbreaks that none goes on from."""
    before: list[list[tuple[Episode, Outbreak]]] = [[] for _ in blocks]
    ends = [block.last for block in blocks]  # rising, for blocks do not meet
    left = []
    for own in sorted(episodes, key=lambda one: one.number):
        for out in own.outbreaks:
            middle = bisect_left(ends, judged.places_of(out)[0])

            def touches(n: int, out: Outbreak = out) -> bool:
                return _touch(judged, blocks[n], out)

            near = [
                *takewhile(touches, range(middle - 1, -1, -1)),
                *takewhile(touches, range(middle, len(blocks))),
            ]
            for n in near:
                before[n].append((own, out))
            if not near:
                left.append((own, out))
    told = [
        Block(one.first, one.last, one.findings, tuple(was))
        for one, was in zip(blocks, before, strict=True)
    ]
    return told, left


def _touch(judged: Judged, block: Block, out: Outbreak) -> bool:
    first, last = judged.places_of(out)
    if block.first <= first:
        return _is_near(judged, (block.last, block.evidence), first, APART)
    return _is_near(judged, (last, out.evidence), block.first, APART)


def _is_near(judged: Judged, end: tuple[int, tuple[str, ...]], first: int, bales: int) -> bool:
    last, evidence = end
    return first <= last or judged.count_between(evidence, last, first) <= bales


def _chains(blocks: Sequence[Block], judged: Judged) -> list[list[Block]]:
    """Blocks by episode, each in order."""
    chain = list(range(len(blocks)))

    def top(n: int) -> int:
        while chain[n] != n:
            chain[n] = n = chain[chain[n]]
        return n

    owned: dict[str, int] = {}
    for n, block in enumerate(blocks):
        if n and _comes_back(blocks[n - 1], block, judged):
            chain[max(top(n - 1), top(n))] = min(top(n - 1), top(n))
        for own, _ in block.before:
            other = owned.setdefault(own.key, n)
            chain[max(top(other), top(n))] = min(top(other), top(n))
    chains: dict[int, list[Block]] = {}
    for n, block in enumerate(blocks):
        chains.setdefault(top(n), []).append(block)
    return [chains[n] for n in sorted(chains)]


def _comes_back(before: Block, after: Block, judged: Judged) -> bool:
    if not before.findings and not after.findings:
        return False  # what no review sees any more stays as it was told
    if _is_near(judged, (before.last, before.evidence), after.first, REOPENS_BALES):
        return True
    until_us, since_us = before.outbreak.until_us, after.outbreak.since_us
    return until_us is not None and since_us is not None and since_us - until_us <= REOPENS_US


def order_of(finding: Finding) -> tuple[str, str]:
    """An order of findings that depends on nothing but what they say."""
    return (finding.words.key, repr(finding))
