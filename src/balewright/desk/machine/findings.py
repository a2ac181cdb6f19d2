"""A machine's findings as its page shows them: what lasts first, the others folded away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from balewright.desk.finding.chart import ChartShown, show_chart, title_of
from balewright.desk.finding.shown import certain_said, state_of
from balewright.desk.wording import words
from balewright.findings.episode import Episode
from balewright.findings.finding import Weight
from balewright.flows.machine_readings import MachineReadings

_RANK = {weight: place for place, weight in enumerate(Weight)}
_FOLDED = ("waiting", "set aside", "folded", "closed")
_WORDS = {"set aside": "aside"}


@dataclass(frozen=True)
class Line:
    """One finding; sure: how sure it is, "" where it is settled."""

    episode: Episode
    sure: str


@dataclass(frozen=True)
class MachineFindings:
    """open: told and lasting, worst and newest first; folded: heading and lines of the others."""

    open: list[Line]
    folded: list[tuple[str, list[Line]]]


def findings_shown(episodes: Sequence[Episode]) -> MachineFindings:
    """By where each stands. What was withdrawn, or is part of another, is left out."""
    by_state: dict[str, list[Line]] = {}
    for one in sorted(episodes, key=_urgency):
        state = state_of(one)
        if state == "closed" and not one.may_be_shown:
            continue
        by_state.setdefault(state, []).append(_line(one))
    folded = [
        (words(f"machine.findings.{_WORDS.get(state, state)}", count=len(lines)), lines)
        for state in _FOLDED
        if (lines := by_state.get(state))
    ]
    return MachineFindings(by_state.get("open", []), folded)


def _line(episode: Episode) -> Line:
    sure_frac = episode.finding.certain_frac
    said = "" if sure_frac is None else words("today.sure", certain_said=certain_said(sure_frac))
    return Line(episode, said)


def _urgency(episode: Episode) -> tuple[int, int, str]:
    finding = episode.finding
    return (_RANK[finding.weight], -(finding.since_us or 0), episode.key)


def charts_shown(readings: MachineReadings) -> list[ChartShown]:
    """The charts, drawn."""
    return [
        show_chart(one, told, (readings.first_of(one), one.bales), also_wide=False)
        for one, told in readings.charts
    ]


def choices(readings: MachineReadings) -> list[tuple[str, str, bool]]:
    """Every measure that can be looked at: key, words, and whether it is the one asked for."""
    named = [(key, title_of(key).capitalize(), key == readings.asked) for key in readings.known]
    return sorted(named, key=lambda one: one[1])
