"""From closed cases to a lesson: what was proved, counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from balewright.cause.evidence_value import Answer, Seen, weights_of
from balewright.cause.learn.lesson import ClosedCase, LeftOutCases, Lesson, LinkCount, RateCount
from balewright.cause.network import Link, Network
from balewright.quantities.checks import require_between


def learn(
    network: Network, cases: Sequence[ClosedCase], profile: str, run_bales: float, key: str
) -> Lesson:
    """Count what proven cases of one profile's machines say about base rates and links.

    network: that was asked in these cases, as it stands without lessons; cases: closed ones of
    machines of `profile`; run_bales: that all machines of the profile ran in the time these cases
    come from, those without a case too, 0 or above; key: to name the lesson by.

    Cases without proof teach nothing and are counted by cause. Few troubles become a proven case,
    and that must not make causes look rare: the bales are taken times the share that did, proven
    cases over those the network's rates expect, at most 1. So what moves is how common causes are
    beside each other, which is what a ranking rests on; right where cases and proof are missing
    by chance, which `left_out` lets somebody judge. A case that says yes to an
    observation counts by the share in which the cause itself, and not the leak, turned it on
    (one step of expectation-maximisation, other causes taken as absent). Answers "unknown", and
    numbers that say neither, teach nothing. Raises BadInput for bales below 0.
    """
    require_between("run_bales", run_bales, 0.0, 1e12)
    once = tuple({one.key: one for one in sorted(cases, key=lambda one: one.key)}.values())
    proven = [one for one in once if one.proven]
    known = [one for one in proven if one.cause in network.cause_by_key]
    expected = sum(sorted(one.arises_per_1000 for one in network.causes)) / 1000.0 * run_bales
    told = min(1.0, len(known) / expected) if expected > 0.0 else 0.0
    bales = run_bales * told
    by_cause: dict[str, list[ClosedCase]] = {}
    for one in known:
        by_cause.setdefault(str(one.cause), []).append(one)
    rates = tuple(
        RateCount(cause.key, tuple(one.key for one in by_cause.get(cause.key, ())), bales)
        for cause in network.causes
        if bales > 0.0
    )
    links = tuple(
        count
        for cause, taught in sorted(by_cause.items())
        for link in network.shows[cause]
        if (count := _count(network, link, taught)) is not None
    )
    return Lesson(
        key, profile, (network.key, network.version), rates, links, told,
        tuple(one.key for one in known), _left_out(network, once),
    )  # fmt: skip


def _count(network: Network, link: Link, cases: Sequence[ClosedCase]) -> LinkCount | None:
    one = network.observation_by_key[link.on]
    answered = [
        (case.key, said)
        for case in cases
        if (said := _said(case.evidence, link.on, network)) is not None
    ]
    if not answered:
        return None
    on = 1.0 - (1.0 - one.leak_frac) * (1.0 - link.chance_frac)
    seen = sum(said for _, said in answered)
    shown = seen * link.chance_frac / on
    return LinkCount(link.cause, link.on, shown, seen, tuple(key for key, _ in answered))


def _said(evidence: Mapping[str, Seen], on: str, network: Network) -> bool | None:
    """Whether it was seen to be so; a number says so where it is nine times likelier that way."""
    seen = evidence.get(on)
    if seen is None or seen.answer is Answer.UNKNOWN:
        return None
    weights = weights_of(network.observation_by_key[on], seen)
    if weights is None:
        return None
    if weights[0] >= 9.0 * weights[1]:
        return True
    return False if weights[1] >= 9.0 * weights[0] else None


def _left_out(network: Network, cases: Sequence[ClosedCase]) -> tuple[LeftOutCases, ...]:
    named = [(one.cause if one.cause in network.cause_by_key else "", one) for one in cases]
    every = Counter(str(key) for key, _ in named)
    unproven = Counter(str(key) for key, one in named if not one.proven)
    return tuple(LeftOutCases(key, every[key], unproven[key]) for key in sorted(every))
