"""The first bales of a run laid out in time, one lane for the chamber and one for the wrapper."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from balewright.plan.pace.chance import Runs


class Doing(StrEnum):
    """What a station does."""

    TURNING = "turning"
    FILLING = "filling"
    BINDING = "binding"
    WAITING = "waiting"
    OPEN = "gate open"
    STOPPED = "stopped"
    WRAPPING = "wrapping"
    TIPPING = "tipping"


@dataclass(frozen=True)
class Span:
    """bale: counted from 1; in_chamber: which lane; start_s, end_s: from the first crop."""

    bale: int
    in_chamber: bool
    doing: Doing
    start_s: float
    end_s: float


class _Bale(NamedTuple):
    """Seconds of one bale of one run."""

    turning_s: float
    chamber_stop_s: float
    fill_s: float
    bind_s: float
    gate_s: float
    away_s: float
    wrapper_stop_s: float
    wrap_s: float
    tip_s: float


def lay_out(runs: Runs, run: int, bales: int) -> tuple[Span, ...]:
    """Every span of the first `bales` bales of one run, without a buffer, in the order of lanes
    and time; spans of no length are left out. The wrapper waits where it has no span.
    """
    spans: list[Span] = []
    starts_s = free_s = 0.0
    for place in range(min(bales, runs.finish_s.shape[1])):
        bale = _seconds(runs, run, place)
        number = place + 1
        bound_s = _chain(
            spans,
            (number, True, starts_s),
            [
                (Doing.TURNING, bale.turning_s),
                (Doing.STOPPED, bale.chamber_stop_s),
                (Doing.FILLING, bale.fill_s),
                (Doing.BINDING, bale.bind_s),
            ],
        )
        opens_s = max(bound_s, free_s)
        _chain(spans, (number, True, bound_s), [(Doing.WAITING, opens_s - bound_s)])
        starts_s = _chain(
            spans,
            (number, True, opens_s),
            [(Doing.STOPPED, bale.away_s), (Doing.OPEN, bale.gate_s)],
        )
        free_s = _chain(
            spans,
            (number, False, opens_s),
            [
                (Doing.STOPPED, bale.away_s + bale.wrapper_stop_s),
                (Doing.WRAPPING, bale.wrap_s),
                (Doing.TIPPING, bale.tip_s),
            ],
        )
    return tuple(sorted(spans, key=lambda span: (not span.in_chamber, span.start_s)))


def _chain(
    spans: list[Span], at: tuple[int, bool, float], parts: list[tuple[Doing, float]]
) -> float:
    """Add parts one after the other; when the last one ends."""
    bale, in_chamber, now_s = at
    for doing, lasts_s in parts:
        if lasts_s > 0.0:
            spans.append(Span(bale, in_chamber, doing, now_s, now_s + lasts_s))
        now_s += lasts_s
    return now_s


def _seconds(runs: Runs, run: int, place: int) -> _Bale:
    times = runs.times
    turning_s = float(times.turning_s[place])
    return _Bale(
        turning_s=turning_s,
        chamber_stop_s=float(times.chamber_stop_s[place]) - turning_s,
        fill_s=float(times.fill_s[run, place]),
        bind_s=float(times.bind_s[run, place]),
        gate_s=float(times.gate_s[run, place]),
        away_s=float(times.machine_stop_s[place] + times.lost_s[run, place]),
        wrapper_stop_s=float(times.wrapper_stop_s[place]),
        wrap_s=float(times.wrap_s[run, place]),
        tip_s=float(times.tip_s[run, place]),
    )
