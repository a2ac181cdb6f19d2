"""What to take along when somebody is sent."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from balewright.cause.network import Hands, Network
from balewright.cause.next_check.bill import HANDS
from balewright.cause.next_check.step import Kit

LEAST_FRAC: Final = 0.03
"""A cause less likely than this is not packed for; a judgement."""
ENOUGH_FRAC: Final = 0.95
"""Of the chance that any cause is behind it; beyond that nothing more is packed."""


def kit_for(
    network: Network, likely: Iterable[tuple[str, float]], checks: Iterable[str], who: Hands
) -> Kit:
    """Parts and tools for the likely causes, and tools for the checks worth making.

    likely: (key of a cause, chance to be behind the trouble), the likeliest first; checks: keys;
    who: goes. What somebody with more means would have to do is not packed for.
    """
    given = tuple(likely)
    every = min(1.0, sum(chance for _, chance in given))
    parts: dict[str, None] = {}
    tools: dict[str, None] = {}
    named: list[str] = []
    covers_frac = 0.0
    for key, chance in given:
        if chance < LEAST_FRAC or covers_frac >= ENOUGH_FRAC * every:
            break
        repair = network.cause_by_key[key].repair
        if HANDS.index(repair.by) > HANDS.index(who):
            continue
        named.append(key)
        covers_frac += chance
        parts.update(dict.fromkeys(repair.parts))
        tools.update(dict.fromkeys(repair.tools))
    for key in checks:
        check = network.observation_by_key[key].check
        if check is not None:
            tools.update(dict.fromkeys(check.tools))
    return Kit(tuple(parts), tuple(tools), tuple(named), min(1.0, covers_frac))
