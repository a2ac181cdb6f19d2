"""Setting aside with a reason: quiet until taken back, until a time, or until markedly worse."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from balewright.findings.episode import AsideEnd, Episode, EpisodeState, SetAside
from balewright.findings.finding import Finding
from balewright.findings.outbreaks import RANK

MARKEDLY: Final = 1.5
"""Assumed: what was set aside is told again once it is off by so many times what it was."""


def keep_aside(episode: Episode, olds: Sequence[Episode], now_us: int) -> Episode:
    """An episode with its state, once what was set aside has ended where it must.

    olds: the episodes it goes on from; now_us: of the review.
    """
    in_force = [one.set_aside for one in olds if one.set_aside is not None]
    aside = max(in_force, key=lambda one: one.at_us, default=None)
    ended = [one for old in olds for one in old.aside_before]
    ended += [one for one in in_force if one != aside]
    is_gone = episode.closed_us is not None
    if aside is not None and not is_gone:
        why = None
        if aside.until_us is not None and aside.until_us <= now_us:
            why = AsideEnd.TIME
        elif is_markedly_worse(episode.finding, aside):
            why = AsideEnd.WORSE
        if why is not None:
            ended.append(replace(aside, ended_us=now_us, ended_why=why))
            aside = None
    state = EpisodeState.OPEN if aside is None else EpisodeState.SET_ASIDE
    return replace(
        episode,
        state=EpisodeState.CLOSED if is_gone else state,
        set_aside=aside,
        aside_before=tuple(sorted(set(ended), key=lambda one: (one.at_us, repr(one)))),
    )


def how_far_off(finding: Finding) -> float | None:
    """How far it is from what should be, in its unit: by how much it moved, else from the plan."""
    if finding.moved is not None:
        return abs(finding.moved.best)
    if finding.seen is None or finding.planned is None:
        return None
    return abs(finding.seen.best - finding.planned)


def is_markedly_worse(finding: Finding, aside: SetAside) -> bool:
    """Whether it weighs more than when it was set aside, or is off by MARKEDLY times as much."""
    if RANK[finding.weight] < RANK[aside.weight]:
        return True
    off = how_far_off(finding)
    return off is not None and bool(aside.shift) and off >= MARKEDLY * (aside.shift or 0.0)


def set_aside(
    episode: Episode, reason: str, now_us: int, by: str | None, until_us: int | None = None
) -> Episode:
    """Let an episode be quiet for a reason; until_us: told again from then on, None for never.

    One set aside before is set aside anew. A closed one stays closed, and quiet if it comes back.
    """
    weight, off = episode.finding.weight, how_far_off(episode.finding)
    aside = SetAside(now_us, by, reason, until_us, weight, off)
    quiet = take_back(episode, now_us, by)
    closed = quiet.state is EpisodeState.CLOSED
    state = EpisodeState.CLOSED if closed else EpisodeState.SET_ASIDE
    return replace(quiet, set_aside=aside, state=state)


def take_back(episode: Episode, now_us: int, by: str | None) -> Episode:
    """Let an episode that was set aside be told again; what was said stays."""
    aside = episode.set_aside
    if aside is None:
        return episode
    ended = replace(aside, ended_us=now_us, ended_why=AsideEnd.TAKEN_BACK, ended_by=by)
    closed = episode.state is EpisodeState.CLOSED
    return replace(
        episode,
        set_aside=None,
        aside_before=(*episode.aside_before, ended),
        state=EpisodeState.CLOSED if closed else EpisodeState.OPEN,
    )
