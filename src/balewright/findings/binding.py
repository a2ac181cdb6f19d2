"""Turns of net or film that bind the bale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import supported_runs
from balewright.findings.sure import level_interval
from balewright.findings.watched import Bools, Floats, Found, Watched
from balewright.plan.machine import BindingKind
from balewright.quantities.reason import because

ROOM_TURNS: Final = 0.2
"""How far a counted bale may stay below the planned turns: one step of a counter that shows
tenths, and the scatter of the cut: `assumed`."""
METRES_ROOM_SHARE: Final = 0.08
"""The same where turns come from metres: net gives way and the bale's girth is not known to the
centimetre: `assumed`."""
DANGER_SHARE: Final = 0.6
"""Below this share of the planned turns a bale may burst when it is handled: `assumed`."""


def find_binding(watched: Watched) -> Iterator[Found]:
    """Runs of bales bound with fewer turns than planned."""
    for plan, rows in watched.by_plan():
        planned = plan.sheet.number("binding_turns")
        if planned is None or planned <= 0:
            continue
        turns, counted = _turns(watched, plan, rows)
        judged = rows & watched.whole & np.isfinite(turns)
        room = np.where(counted, ROOM_TURNS, np.maximum(METRES_ROOM_SHARE * planned, ROOM_TURNS))
        for run in supported_runs(judged & (turns < planned - room), judged):
            error = 0.05 if counted[run.rows].all() else METRES_ROOM_SHARE * planned
            seen = level_interval(turns[run.rows], error)
            weight = Weight.HARM if seen.best < DANGER_SHARE * planned else Weight.COST
            by_count = bool(counted[run.rows].all())
            words = because(
                "findings.binding.turns" if by_count else "findings.binding.metres",
                turns=round(seen.best, 2),
                planned_turns=planned,
                **watched.facts(run),
            )
            evidence = ("binding_turns",) if by_count else ("binding_m",)
            yield Found(
                FindingKind.BINDING_SHORT, weight, run, planned, seen, "turns", evidence, words
            )


def _turns(watched: Watched, plan: PlannedBale, rows: Bools) -> tuple[Floats, Bools]:
    """Binding turns, counted or else from metres (net only: film stretches), and which."""
    counted = watched.floats("binding_turns")
    diameter = watched.floats("diameter_m")
    diameter = np.where(np.isfinite(diameter), diameter, plan.bale.diameter_m)
    planned = plan.binding
    unsaid = watched.says("binding", "")
    as_planned = watched.says("binding", "", str(planned)) | (planned is None)
    net = watched.says("binding", "net") | (unsaid & (planned is BindingKind.NET))
    from_metres = np.where(net, watched.floats("binding_m") / (np.pi * diameter), np.nan)
    turns = np.where(np.isfinite(counted), counted, from_metres)
    return np.where(rows & as_planned, turns, np.nan), np.isfinite(counted)
