"""Counts from rehearsed seasons beside what was judged: a chance of a finding rests on both."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from balewright.cause.knowledge.taking import Entry
from balewright.cause.network import Kind, Network
from balewright.plan.profile.forms import text, whole

JUDGED_SEASONS: Final = 12.0
"""What was judged of a link weighs as much as so many seasons."""
JUDGED_CLEAN: Final = 50.0
"""What was judged of a leak weighs as much as so many seasons without a fault."""
_MOST: Final = 1_000_000
Counts = Mapping[tuple[str, str], tuple[int, int]]


def counts_of(top: Entry) -> Counts:
    """Every [[rehearsed]]: in how many of so many seasons an observation was told, by cause and
    observation; "" for a cause where nothing was wrong.
    """
    found: dict[tuple[str, str], tuple[int, int]] = {}
    for one in top.tables("rehearsed"):
        one.only("cause", "on", "yes", "of")
        key = one.maybe("cause", text(60), ""), one.line("on", "the observation's key")
        yes, of = (one.take(name, whole(0, _MOST), "a number of seasons") for name in ("yes", "of"))
        if yes > of:
            one.fault("yes", f"no more than the {of} seasons", yes, "Count again.")
        if key in found:
            one.fault("on", "each pair once", key[1], "Keep one of the two.")
        found[key] = (yes, of)
    return found


def weigh_in(network: Network, counts: Counts) -> Network:
    """The network with the chances of its findings moved by what rehearsed seasons showed.

    Beta: what was judged counts as JUDGED_SEASONS (a link) or JUDGED_CLEAN (a leak) seasons of its
    own. Reports and checks are as they were judged: seasons say nothing of them.
    """
    links = tuple(
        replace(one, chance_frac=_moved(one.chance_frac, JUDGED_SEASONS, counts[one.cause, one.on]))
        if (one.cause, one.on) in counts
        else one
        for one in network.links
    )
    seen = tuple(
        replace(one, leak_frac=_moved(one.leak_frac, JUDGED_CLEAN, counts["", one.key]))
        if ("", one.key) in counts
        else one
        for one in network.observations
    )
    return replace(network, links=links, observations=seen)


def _moved(judged_frac: float, weight: float, count: tuple[int, int]) -> float:
    yes, of = count
    return (weight * judged_frac + yes) / (weight + of)


def strangers(network: Network, counts: Counts) -> list[tuple[str, str]]:
    """Counts that are of no link and no finding of the network."""
    linked = {(link.cause, link.on) for link in network.links}
    known: Mapping[str, Any] = network.observation_by_key
    return [
        key
        for key in counts
        if (key not in linked if key[0] else key[1] not in known)
        or (key[1] in known and known[key[1]].kind is not Kind.FINDING)
    ]
