"""The pace as a picture: some bales in the chamber and on the wrapper, and the pace over speed.

The upper part is two lanes of time. Colours differ in lightness as well as hue, waiting is hatched,
and every span has its words, so nothing rests on colour alone.
"""

from __future__ import annotations

from typing import Final

from balewright.pictures.plot import (
    BLUE,
    GREEN,
    GREY,
    ORANGE,
    PURPLE,
    WIDTH,
    Axis,
    Look,
    Plot,
    picture,
    rule,
    shift,
    words,
)
from balewright.pictures.svg import element, text
from balewright.plan.pace.answer import PaceAnswer
from balewright.plan.pace.cycle import HeldBack
from balewright.plan.pace.timeline import Doing, Span
from balewright.quantities.si import KM_H_PER_M_S

_COLOURS: Final = {
    Doing.FILLING: BLUE,
    Doing.TURNING: GREY,
    Doing.BINDING: PURPLE,
    Doing.OPEN: "#5b4a78",
    Doing.STOPPED: "#2f3237",
    Doing.WAITING: ORANGE,
    Doing.WRAPPING: GREEN,
    Doing.TIPPING: "#235a3d",
}
_SAID: Final = {
    Doing.FILLING: "filling",
    Doing.TURNING: "turning at the row's end",
    Doing.BINDING: "binding",
    Doing.OPEN: "gate open",
    Doing.STOPPED: "stopped: roll, grease, break",
    Doing.WAITING: "waiting for the wrapper",
    Doing.WRAPPING: "taking over and wrapping",
    Doing.TIPPING: "cutting and tipping",
}
_HELD: Final = {
    HeldBack.FILLING: "Filling holds it back",
    HeldBack.STANDING: "Binding and opening hold it back",
    HeldBack.WRAPPER: "The wrapper holds it back",
}
_LEFT, _RIGHT = 4.0, 4.0
_CHAMBER_Y, _WRAPPER_Y, _HIGH = 62.0, 116.0, 30.0
_AXIS_Y: Final = 156.0
_LEGEND_Y: Final = 192.0
_ROW: Final = 17.0
_STRIPE: Final = 7.0
_IDLE: Final[Look] = {"fill": "currentColor", "fill-opacity": "0.12"}


def draw_pace(answer: PaceAnswer) -> str:
    """Two lanes of the first bales above the pace over forward speed, as one SVG of phone width.

    Where only bare times are known there is no speed to draw over, and with a buffer no lanes.
    A screen reader hears the pace, what holds it back and the waits.
    """
    parts, high = [], 4.0
    if answer.spans:
        lanes, high = _lanes(answer.spans)
        parts.append(lanes)
    if answer.by_speed:
        parts.append(shift(0.0, high, _over_speed(answer)))
        high += _PLOT_HIGH + 8.0
    said = f"{_rate(answer.steady.pace_bales_h)} bales an hour"
    return picture(high, f"Pace: {said}", _told(answer), *parts)


def _told(answer: PaceAnswer) -> str:
    steady, chance = answer.steady, answer.chance
    sentences = [
        f"In steady work {_rate(steady.pace_bales_h)} bales an hour. {_HELD[steady.held_back_by]}.",
        f"The driver waits {steady.driver_waits_s:.0f} s a bale for the wrapper, the wrapper "
        f"{steady.wrapper_waits_s:.0f} s for the chamber.",
        f"With times that vary, 9 of 10 jobs make {_rate(chance.pace_bales_h.low)} to "
        f"{_rate(chance.pace_bales_h.high)} bales an hour.",
    ]
    kink = answer.turning_speed_m_s
    if kink is not None:
        sentences.append(f"Above {kink * KM_H_PER_M_S:.1f} km/h the wrapper sets the pace.")
    return " ".join(sentences)


def _hatched(x: float, top: float, wide: float, high: float) -> str:
    """Slanted white stripes within a rectangle, without a pattern that would need an id."""
    strokes = []
    for step in range(int((wide + high) // _STRIPE) + 1):
        foot = step * _STRIPE  # where the stripe meets the lower edge, or would beyond it
        left, right = max(foot - high, 0.0), min(foot, wide)
        if left < right:
            strokes.append(f"M{x + left:.1f} {top + foot - left:.1f}")
            strokes.append(f"L{x + right:.1f} {top + foot - right:.1f}")
    look: Look = {"d": " ".join(strokes), "stroke": "#ffffff", "stroke-width": 1.75}
    return element("path", {**look, "stroke-opacity": "0.8"}) if strokes else ""


def _lanes(spans: tuple[Span, ...]) -> tuple[str, float]:
    """The lanes with their legend, and how high they are."""
    end_s = max(span.end_s for span in spans)
    per_s = (WIDTH - _LEFT - _RIGHT) / end_s
    last = max(span.bale for span in spans)
    parts = [
        words(4, 14, f"The first {last} bales", size=13, weight="600"),
        words(4, 32, "example of times that vary as given", size=11),
        words(_LEFT, _CHAMBER_Y - 5, "chamber"),
        words(_LEFT, _WRAPPER_Y - 5, "wrapper"),
    ]
    wrapped = any(not span.in_chamber for span in spans)
    if not wrapped:
        parts.pop()
    if wrapped:
        at: Look = {"x": _LEFT, "y": _WRAPPER_Y, "width": end_s * per_s}
        parts.append(element("rect", {**at, "height": _HIGH, **_IDLE}))
    parts += [_bar(span, per_s) for span in spans]
    parts += [_number(span, per_s) for span in spans if span.doing in _NUMBERED]
    axis_y = _AXIS_Y if wrapped else _WRAPPER_Y - 12.0
    parts.append(rule((_LEFT, axis_y), (WIDTH - _RIGHT, axis_y)))
    for minute in range(int(end_s // 60.0) + 1):
        across = _LEFT + minute * 60.0 * per_s
        parts.append(rule((across, axis_y), (across, axis_y + 4)))
        last_one = minute == int(end_s // 60.0)
        said = f"{minute} min" if last_one and minute else f"{minute}"
        anchor = "start" if minute == 0 else "middle"
        across = min(across, WIDTH - 18.0)
        parts.append(words(across, axis_y + 16, said, anchor=anchor))
    shown = [doing for doing in Doing if any(span.doing is doing for span in spans)]
    legend_y = axis_y + _LEGEND_Y - _AXIS_Y
    parts += [_entry(doing, legend_y, place) for place, doing in enumerate(shown)]
    if wrapped:
        parts.append(_swatch(len(shown), legend_y, "wrapper waits for a bale", _IDLE))
    rows = (len(shown) + 2) // 2 if wrapped else (len(shown) + 1) // 2
    return "".join(parts), legend_y + rows * _ROW + 8.0


_NUMBERED: Final = (Doing.FILLING, Doing.WRAPPING)
_SMALLEST_NUMBER: Final = 14.0


def _bar(span: Span, per_s: float) -> str:
    top = _CHAMBER_Y if span.in_chamber else _WRAPPER_Y
    lasts_s = span.end_s - span.start_s
    told = element("title", {}, text(f"bale {span.bale}: {_SAID[span.doing]}, {lasts_s:.0f} s"))
    x, wide = _LEFT + span.start_s * per_s, max(lasts_s * per_s, 0.4)
    look: Look = {"x": x, "y": top, "width": wide, "height": _HIGH, "fill": _COLOURS[span.doing]}
    stripes = _hatched(x, top, wide, _HIGH) if span.doing is Doing.WAITING else ""
    return element("rect", look, told) + stripes


def _number(span: Span, per_s: float) -> str:
    """The bale's number on its longest span, where there is room."""
    if (span.end_s - span.start_s) * per_s < _SMALLEST_NUMBER:
        return ""
    top = _CHAMBER_Y if span.in_chamber else _WRAPPER_Y
    look: Look = {
        "x": _LEFT + (span.start_s + span.end_s) / 2.0 * per_s,
        "y": top + 20.0,
        "font-size": 13,
        "text-anchor": "middle",
        "fill": "#ffffff",
        "font-weight": "600",
    }
    return element("text", look, text(f"{span.bale}"))


def _entry(doing: Doing, y: float, place: int) -> str:
    drawn = _swatch(place, y, _SAID[doing], {"fill": _COLOURS[doing]})
    if doing is not Doing.WAITING:
        return drawn
    x, line = 4.0 + (place % 2) * (WIDTH / 2.0), y + (place // 2) * _ROW
    return drawn + _hatched(x, line - 10.0, 14.0, 11.0)


def _swatch(place: int, y: float, said: str, paint: Look) -> str:
    """One line of the legend, two to a row."""
    x = 4.0 + (place % 2) * (WIDTH / 2.0)
    line = y + (place // 2) * _ROW
    look: Look = {"x": x, "y": line - 10, "width": 14, "height": 11, "rx": 2}
    return element("rect", {**look, **paint}) + words(x + 19, line, said)


_PLOT_HIGH: Final = 210.0


def _over_speed(answer: PaceAnswer) -> str:
    """The steady pace over forward speed, with the speed that is driven and the kink."""
    points = [(at.speed_m_s * KM_H_PER_M_S, at.pace_bales_h) for at in answer.by_speed]
    most = max(pace for _, pace in points)
    plot = Plot(
        Axis(points[0][0], points[-1][0], "forward speed, km/h"),
        Axis(0.0, most * 1.18, "bales an hour, stops and turns in it"),
        "Pace over speed",
        _PLOT_HIGH,
    )
    parts = [plot.frame(), plot.line(points, BLUE)]
    kink = answer.turning_speed_m_s
    if kink is not None and points[0][0] < kink * KM_H_PER_M_S < points[-1][0]:
        at = kink * KM_H_PER_M_S
        parts.append(plot.stretch(at, points[-1][0], ORANGE))
        there, up = plot.at(at, most * 1.16)
        near_end = there > WIDTH * 0.5
        said = f"above {at:.1f} km/h the driver waits"
        anchor = "end" if near_end else "start"
        parts.append(words(there + (-5 if near_end else 5), up + 8, said, anchor=anchor))
    settings = answer.settings
    if settings is not None:
        now = settings.row.speed_m_s * KM_H_PER_M_S
        pace = answer.steady.pace_bales_h
        parts.append(plot.mark(now, pace, BLUE))
        across, up = plot.at(now, pace)
        said = f"{_rate(pace)} at {now:.1f} km/h"
        late = across > WIDTH * 0.6
        beside = across + (-8.0 if late else 8.0)
        parts.append(words(beside, up + 22, said, anchor="end" if late else "start", weight="600"))
    return "".join(parts)


def _rate(pace_bales_h: float) -> str:
    return f"{pace_bales_h:.1f}" if pace_bales_h < 100.0 else f"{pace_bales_h:.0f}"
