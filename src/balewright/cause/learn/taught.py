"""A network with lessons taken in, and what they change in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from balewright.cause.learn.lesson import Lesson, LinkChange, RateChange
from balewright.cause.learn.weights import (
    rate_interval,
    share_interval,
    strength_bales,
    strength_cases,
)
from balewright.cause.network import Network
from balewright.quantities.errors import BadInput, Fault

LEAST_FRAC: Final = 0.001
"""A link stays between this and its counterpart, as in the network's files."""


def taught(network: Network, lessons: Sequence[Lesson]) -> Network:
    """The network as accepted lessons move it.

    network: as it stands without lessons; lessons: accepted ones for one profile, in any order.
    The same lessons always give the same network, and leaving one out gives the network as it
    would be without it. Base rates: a Gamma prior worth `strength_bales`; links: a Beta prior
    worth `strength_cases`. Raises BadInput where a lesson was made for another network, where two
    are of different profiles, and where two rest on the same case.
    """
    _check(network, lessons)
    rates = {one.cause: one.after_per_1000.best for one in rate_changes(network, lessons)}
    links = {(one.cause, one.on): one.after_frac.best for one in link_changes(network, lessons)}
    return replace(
        network,
        causes=tuple(
            replace(one, arises_per_1000=rates.get(one.key, one.arises_per_1000))
            for one in network.causes
        ),
        links=tuple(
            replace(one, chance_frac=links.get((one.cause, one.on), one.chance_frac))
            for one in network.links
        ),
    )


def apply(network: Network, lesson: Lesson) -> Network:
    """The same for one lesson: what it would change by itself."""
    return taught(network, (lesson,))


def rate_changes(network: Network, lessons: Sequence[Lesson]) -> tuple[RateChange, ...]:
    """How lessons move base rates, the largest move first."""
    found = []
    for cause in network.causes:
        counts = [one for lesson in lessons for one in lesson.rates if one.cause == cause.key]
        if not counts:
            continue
        worth = strength_bales(cause)
        events = worth * cause.arises_per_1000 / 1000.0
        cases = tuple(sorted(key for one in counts for key in one.cases))
        bales = sum(sorted(one.run_bales for one in counts))
        found.append(
            RateChange(
                cause.key, rate_interval(events, worth),
                rate_interval(events + len(cases), worth + bales), worth, bales, cases,
            )
        )  # fmt: skip
    return tuple(sorted(found, key=lambda one: (-_times(one), one.cause)))


def link_changes(network: Network, lessons: Sequence[Lesson]) -> tuple[LinkChange, ...]:
    """How lessons move links, the largest move first."""
    found = []
    for link in network.links:
        counts = [
            one
            for lesson in lessons
            for one in lesson.links
            if one.cause == link.cause and one.on == link.on
        ]
        if not counts:
            continue
        worth = strength_cases(link)
        shown = worth * link.chance_frac
        cases = tuple(sorted(key for one in counts for key in one.cases))
        after = share_interval(
            shown + sum(sorted(one.shown_share for one in counts)), worth + len(cases)
        )
        kept = min(max(after.best, LEAST_FRAC), 1.0 - LEAST_FRAC)
        after = replace(after, low=min(after.low, kept), best=kept, high=max(after.high, kept))
        before = share_interval(shown, worth)
        seen = sum(one.seen for one in counts)
        found.append(LinkChange(link.cause, link.on, before, after, worth, seen, cases))
    return tuple(sorted(found, key=lambda one: (-_moved(one), one.cause, one.on)))


def _times(one: RateChange) -> float:
    ratio = one.after_per_1000.best / one.before_per_1000.best
    return max(ratio, 1.0 / ratio)


def _moved(one: LinkChange) -> float:
    return abs(one.after_frac.best - one.before_frac.best)


def _check(network: Network, lessons: Sequence[Lesson]) -> None:
    faults = []
    for lesson in lessons:
        if lesson.network != (network.key, network.version):
            need = f"a lesson for {network.key}, version {network.version}"
            given = f"one for {lesson.network[0]}, version {lesson.network[1]}"
            cure = "Review the closed cases anew with this network."
            faults.append(Fault(f"lesson {lesson.key}", need, given, cure))
    profiles = sorted({lesson.profile for lesson in lessons})
    if len(profiles) > 1:
        cure = "Take in the lessons of one profile at a time."
        faults.append(Fault("lessons", "one profile", ", ".join(profiles), cure))
    seen: dict[str, str] = {}
    for lesson in lessons:
        for case in lesson.cases:
            if case in seen:
                given = f"in {seen[case]} and in {lesson.key}"
                cure = "Take one of the two lessons back."
                faults.append(Fault(f"case {case}", "each case to count once", given, cure))
            seen[case] = lesson.key
    if faults:
        raise BadInput(*faults)
