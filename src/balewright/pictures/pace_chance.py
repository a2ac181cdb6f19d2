"""Pace under chance as pictures: when a job is done, and what chance costs a matched machine."""

from __future__ import annotations

from typing import Final

from balewright.pictures.plot import BLUE, GREY, ORANGE, Axis, Plot, legend, picture, words
from balewright.plan.pace.answer import PaceAnswer
from balewright.plan.pace.chances import SHARES_FRAC
from balewright.plan.pace.match import AtMatch

_HIGH: Final = 200.0


def draw_finish(answer: PaceAnswer) -> str:
    """The share of the runs that is done within so many hours, as one SVG of phone width.

    The stretch from 5 to 95 % is shaded, the steady pace's hours are a dashed line. A screen reader
    hears the three quantiles.
    """
    chance = answer.chance
    done = chance.finish_h
    steady_h = chance.bales / answer.steady.pace_bales_h
    ends = (min(chance.finish_by_h[0], steady_h), max(chance.finish_by_h[-1], steady_h))
    room = max(0.15 * (ends[1] - ends[0]), 0.01 * ends[1])
    plot = Plot(
        Axis(max(ends[0] - room, 0.0), ends[1] + room, "hours of work"),
        Axis(0.0, 100.0, "% of the runs done"),
        f"{chance.bales} bales: done within",
        _HIGH,
    )
    points = [
        (hours, 100.0 * share) for hours, share in zip(chance.finish_by_h, SHARES_FRAC, strict=True)
    ]
    parts = [
        plot.frame(),
        plot.stretch(done.low, done.high, BLUE),
        plot.upright(steady_h),
        plot.line(points, BLUE),
        plot.mark(done.best, 50.0, BLUE),
        legend(
            _HIGH + 14.0,
            [
                (BLUE, f"runs with times that vary; 9 of 10 take {done.low:.2f} to "
                       f"{done.high:.2f} h"),
            ],
        ),
        words(4, _HIGH + 30.0, f"dashed: {steady_h:.2f} h at the steady pace of long work"),
    ]  # fmt: skip
    told = (
        f"Of {chance.runs} runs 5 % are done within {done.low:.2f} h, half within "
        f"{done.best:.2f} h, 95 % within {done.high:.2f} h. At the steady pace it would be "
        f"{steady_h:.2f} h."
    )
    return picture(_HIGH + 38.0, f"Hours for {chance.bales} bales", told, *parts)


def draw_match(points: tuple[AtMatch, ...]) -> str:
    """Bales an hour as the wrapper gets slower, steady and with times that vary, as one SVG."""
    steady = [(100.0 * at.ratio, at.steady_bales_h) for at in points]
    chance = [(100.0 * at.ratio, at.chance_bales_h) for at in points]
    low = min(pace for _, pace in chance)
    high = max(pace for _, pace in steady)
    room = 0.12 * (high - low)
    plot = Plot(
        Axis(steady[0][0], steady[-1][0], "the wrapper's time, % of the chamber's"),
        Axis(low - room, high + room, "bales an hour"),
        "What chance costs, by how well both match",
        _HIGH,
    )
    worst = max(points, key=lambda at: at.steady_bales_h - at.chance_bales_h)
    lost = 100.0 * (1.0 - worst.chance_bales_h / worst.steady_bales_h)
    at = 100.0 * worst.ratio
    parts = [
        plot.frame(),
        plot.band(chance, steady, ORANGE),
        plot.line(steady, GREY, dashed=True),
        plot.line(chance, BLUE),
        legend(_HIGH + 14.0, [(GREY, "every bale the same"), (BLUE, "times that vary")]),
    ]
    across, up = plot.at(at, worst.chance_bales_h)
    parts.append(words(across - 10.0, up + 22.0, f"{lost:.0f} % lost", anchor="end", weight="600"))
    told = (
        f"Where wrapper and chamber take {at:.0f} % of each other's time, times that vary cost "
        f"{lost:.1f} % of the bales; at {points[0].ratio * 100:.0f} % and "
        f"{points[-1].ratio * 100:.0f} % next to nothing."
    )
    return picture(_HIGH + 38.0, "What chance costs", told, *parts)
