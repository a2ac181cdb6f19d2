"""Set a finding aside with a reason that is kept, and take that back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Final

from balewright.findings.episode import Episode
from balewright.findings.episodes import set_aside, take_back
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import MICROSECONDS_PER_S

LONGEST_REASON: Final = 500


def set_aside_finding(
    workplace: Workplace, key: str, reason: str, by: str | None, until: datetime | None = None
) -> Episode:
    """Let an episode be quiet: until somebody takes it back, `until`, or it is markedly worse.

    key: of the episode; reason: kept for ever, 1 to LONGEST_REASON characters; by: who, None for
    the command line. Raises BadInput for a key nobody knows, no reason, or a time that is past.
    """
    said = reason.strip()
    if not 0 < len(said) <= LONGEST_REASON:
        given = "nothing" if not said else f"{len(said)} characters"
        cure = "Say why it may stay as it is: whoever meets it next will ask."
        raise BadInput(Fault("reason", f"1 to {LONGEST_REASON} characters", given, cure))
    if until is not None and until <= workplace.clock():
        cure = "Give a later day, or leave it out."
        raise BadInput(Fault("until", "a time to come", f"{until:%Y-%m-%d}", cure))
    now_us = _us(workplace.clock())
    until_us = None if until is None else _us(until)
    return _change(workplace, key, lambda one: set_aside(one, said, now_us, by, until_us))


def take_back_aside(workplace: Workplace, key: str, by: str | None) -> Episode:
    """Let an episode be told again; what was said stays. Raises BadInput for an unknown key."""
    now_us = _us(workplace.clock())
    return _change(workplace, key, lambda one: take_back(one, now_us, by))


def load_episode(workplace: Workplace, key: str) -> Episode:
    """The episode of that key. Raises BadInput when there is none."""
    episode = workplace.register.load_episode(key)
    if episode is None:
        cure = "Take the key from the list of findings."
        raise BadInput(Fault("finding", "the key of a finding", repr(key), cure))
    return episode


def _change(workplace: Workplace, key: str, change: Callable[[Episode], Episode]) -> Episode:
    machine = load_episode(workplace, key).finding.machine
    workplace.register.revise_episodes(
        machine, lambda episodes: [change(one) if one.key == key else one for one in episodes]
    )
    return load_episode(workplace, key)


def _us(at: datetime) -> int:
    return round(at.timestamp() * MICROSECONDS_PER_S)
