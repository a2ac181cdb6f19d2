"""Counters and loads against the clock: times that are impossible, and times that are too long.

A ring makes no more turns than its speed allows in the time it had; a chamber takes no crop faster
than any machine feeds; net runs no faster than the bale's surface. Where a record says otherwise
the counter, the clock or the sign that began the phase is wrong. Single odd times are let pass.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.findings.film import path_share
from balewright.findings.finding import FindingKind, Weight
from balewright.findings.metres import too_long_share
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import Run, supported_runs
from balewright.findings.sure import level_interval
from balewright.findings.watched import Bools, Floats, Found, Watched
from balewright.plan.machine import BindingKind
from balewright.quantities.reason import because
from balewright.quantities.si import MICROSECONDS_PER_S

S_PER_MIN: Final = 60.0

FAST_SHARE: Final = 1.15
"""Turns beyond speed times time by more than this are not possible: reading of the speed and the
turn begun and ended: `assumed`."""
SLOW_SHARE: Final = 1.35
SLOW_S: Final = 8.0
"""Wrapping that takes this much longer than its turns need at its speed stops, or turns are not
counted: starting and slowing down take some seconds: `assumed`."""
FEED_KG_S: Final = 55.0
"""Crop faster than this (200 t/h) goes into no round baler; the strongest take about a third of
it: `assumed`."""
NET_M_S: Final = 6.0
"""Binding runs with the bale's surface, 2 to 4 m/s: faster than this is no binding: `assumed`."""
BIND_LONG_S: Final = 30.0
"""So much more than its turns need, and net did not catch at once or slips: `assumed`."""
SURFACE_M_S: Final = 2.0
"""Speed of the bale's surface in the chamber where it is slow: `assumed`."""
WITNESS_SHARE: Final = 1.3
"""Film that is enough for this many times the counted turns bears the clock out."""


def resolution_s(watched: Watched, column: str) -> float:
    """How exact a column of times can be: whole minutes, whole seconds, or tenths."""
    return watched.keep("resolution", column, lambda: _resolution_s(watched, column))


def _resolution_s(watched: Watched, column: str) -> float:
    times = watched.bales.column(column)[watched.bales.mask(column)]
    for step_s in (S_PER_MIN, 1.0):
        if not (times % round(step_s * MICROSECONDS_PER_S)).any():
            return float(step_s)
    return 0.1


def lasted_s(watched: Watched, begins: str, ends: str) -> tuple[Floats, float]:
    """Seconds between two phases of each bale, NaN unknown, and how far they may be wrong, s."""
    seconds = (watched.floats(ends) - watched.floats(begins)) / MICROSECONDS_PER_S
    return seconds, resolution_s(watched, begins) + resolution_s(watched, ends)


def find_times(watched: Watched) -> Iterator[Found]:
    """Runs of bales whose phases are too short to be true, or far longer than they need."""
    has = watched.bales.has
    wraps = has("wrap_start_at") and has("wrap_end_at") and has("wrap_turns")
    fills = has("closed_at") and has("full_at")
    binds = has("bind_start_at") and has("bind_end_at")
    for plan, rows in watched.by_plan():
        usable = rows & watched.whole
        if wraps and plan.machine.wrapper is not None:
            yield from _wrapping(watched, plan, usable)
        if fills:
            yield from _filling(watched, plan, usable)
        if binds:
            yield from _binding(watched, plan, usable)


def _wrapping(watched: Watched, plan: PlannedBale, usable: Bools) -> Iterator[Found]:
    seconds, error_s = lasted_s(watched, "wrap_start_at", "wrap_end_at")
    wrapper = plan.machine.wrapper
    turns, rpm = watched.floats("wrap_turns"), watched.floats("wrap_rpm")
    fastest = np.where(rpm > 0, rpm, np.inf if wrapper is None else wrapper.rpm.high)
    judged = usable & np.isfinite(seconds) & (seconds >= 0) & (turns >= 2)
    least_s = turns / (FAST_SHARE * fastest) * S_PER_MIN - error_s
    for run in supported_runs(seconds < least_s, judged):
        values = {"turns": float(np.median(turns[run.rows])),
                  "fastest_rpm": round(float(np.median(fastest[run.rows])), 1)}  # fmt: skip
        yield _tell(watched, run, _Odd("wrap_fast", seconds, least_s, "turn counter", values))
    needed_s = _needed_s(watched, plan)
    slow = seconds > SLOW_SHARE * needed_s + SLOW_S + error_s
    if not slow.any():
        return
    by_film = turns_by_film(watched, plan)
    judged = judged & np.isfinite(needed_s) & _undisturbed(watched)
    for run in supported_runs(slow, judged):
        counted, enough = float(np.median(turns[run.rows])), _middle(by_film[run.rows])
        lost = enough > WITNESS_SHARE * counted
        values = {"turns": counted, "film_turns": round(enough, 1) if lost else 0.0}
        key, part = ("turns_lost", "turn counter") if lost else ("wrap_slow", "wrapper")
        yield _tell(watched, run, _Odd(key, seconds, needed_s, part, values))


def _needed_s(watched: Watched, plan: PlannedBale) -> Floats:
    """Seconds that each bale's wrap turns take at its speed, or at the sheet's."""
    rpm = watched.floats("wrap_rpm")
    asked_rpm = np.where(rpm > 0, rpm, plan.sheet.number("wrap_rpm") or np.nan)
    return np.asarray(watched.floats("wrap_turns") / asked_rpm * S_PER_MIN)


def turns_denied(watched: Watched, plan: PlannedBale) -> Bools:
    """Bales whose turns film and clock both deny: more film was drawn than their way is long, and
    wrapping took far longer than they need. They got more turns than were counted."""
    has, use_m, longest = watched.bales.has, plan.metres_a_turn, too_long_share(plan)
    timed = has("wrap_start_at") and has("wrap_end_at") and has("wrap_turns")
    if not timed or use_m is None or longest is None:
        return np.zeros(watched.bales.rows, dtype=np.bool_)
    seconds, error_s = lasted_s(watched, "wrap_start_at", "wrap_end_at")
    slow = seconds > SLOW_SHARE * _needed_s(watched, plan) + SLOW_S + error_s
    most = longest * plan.film_path_m / use_m * watched.floats("wrap_turns")
    return np.asarray(slow & (turns_by_film(watched, plan) > most))


def _middle(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if len(known) else 0.0


def _undisturbed(watched: Watched) -> Bools:
    """Bales wrapped without a stop that the record tells of."""
    calm = ~watched.says("mode", "by hand", "wrapper off")
    for name in ("film1_breaks", "film2_breaks", "film_breaks"):
        if watched.bales.has(name):
            calm = calm & ~(watched.floats(name) > 0)
    if watched.bales.has("film_start_tries"):
        calm = calm & ~(watched.floats("film_start_tries") > 1)
    return calm & ~watched.bales.mask("roll_lost")


def turns_by_film(watched: Watched, plan: PlannedBale) -> Floats:
    """Wrap turns that the film drawn is enough for at the planned stretch; NaN where unknown."""
    wrapper, use_m = plan.wrapper, plan.metres_a_turn
    if wrapper is None or use_m is None:
        return np.full(watched.bales.rows, np.nan)
    each = [watched.floats(f"film{n + 1}_m") for n in range(wrapper.dispensers)]
    total = watched.floats("film_m")
    drawn = np.where(np.isnan(total), np.sum(each, axis=0), total)
    return np.asarray(drawn / (use_m * path_share(watched, plan) * wrapper.dispensers))


def _filling(watched: Watched, plan: PlannedBale, usable: Bools) -> Iterator[Found]:
    seconds, error_s = lasted_s(watched, "closed_at", "full_at")
    mass = watched.floats("mass_kg")
    mass = np.where(np.isfinite(mass), mass, plan.sheet.expected.mass_kg.best)
    judged = usable & np.isfinite(seconds) & (seconds >= 0)
    least_s = mass / FEED_KG_S - error_s
    for run in supported_runs(seconds < least_s, judged):
        values = {"mass_kg": round(float(np.median(mass[run.rows])), 0)}
        yield _tell(watched, run, _Odd("fill_fast", seconds, least_s, "full sign", values))


def _binding(watched: Watched, plan: PlannedBale, usable: Bools) -> Iterator[Found]:
    seconds, error_s = lasted_s(watched, "bind_start_at", "bind_end_at")
    planned = plan.sheet.number("binding_turns")
    turns = watched.floats("binding_turns")
    turns = np.where(np.isfinite(turns), turns, np.nan if planned is None else planned)
    metres = turns * np.pi * plan.bale.diameter_m
    least_s, most_s = metres / NET_M_S - error_s, metres / SURFACE_M_S + BIND_LONG_S + error_s
    if not ((seconds < least_s) | (seconds > most_s)).any():
        return
    twine = (BindingKind.TWINE.value, "none")
    twined = watched.says("binding", *twine, "" if plan.binding is BindingKind.TWINE else "none")
    judged = usable & np.isfinite(seconds) & (seconds >= 0) & np.isfinite(metres) & ~twined
    at_once = judged & ~(watched.floats("binding_tries") > 1)
    for key, out, could, limit_s in (
        ("bind_fast", seconds < least_s, judged, least_s),
        ("bind_slow", seconds > most_s, at_once, most_s),
    ):
        for run in supported_runs(out, could):
            values = {"turns": round(_middle(turns[run.rows]), 2)}
            yield _tell(watched, run, _Odd(key, seconds, limit_s, "binding", values))


@dataclass(frozen=True, eq=False)
class _Odd:
    """What is odd. key: of the sentence; lasted, limit: seconds a bale, (bales,); part: of the
    machine; values: what else the sentence says."""

    key: str
    lasted: Floats
    limit: Floats
    part: str
    values: Mapping[str, float]


_COLUMNS: Final = {
    "wrap": ("wrap_start_at", "wrap_end_at", "wrap_turns"),
    "turns": ("wrap_start_at", "wrap_end_at", "wrap_turns"),
    "fill": ("closed_at", "full_at"),
    "bind": ("bind_start_at", "bind_end_at"),
}


def _tell(watched: Watched, run: Run, odd: _Odd) -> Found:
    seen = level_interval(odd.lasted[run.rows], 0.5)
    limit = max(float(np.median(odd.limit[run.rows])), 0.0)
    is_slow = odd.key.endswith("slow")
    words = because(
        f"findings.clock.{odd.key}",
        lasted_s=round(seen.best, 1),
        limit_s=round(limit, 1),
        **odd.values,
        **watched.facts(run),
    )
    of_phase = is_slow or odd.key == "fill_fast"
    kind = FindingKind.PHASE_TIME_MOVED if of_phase else FindingKind.SENSOR_MOVED
    weight = Weight.COST if is_slow else Weight.NOTE
    columns = _COLUMNS[odd.key.split("_")[0]]
    return Found(kind, weight, run, limit, seen, "s", columns, words, odd.part)
