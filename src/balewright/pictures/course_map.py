"""What the rolls did over the wrap turns, and under it the layer map of what that left.

Made as the layer map is: no script, no style attribute, words and lines in the page's own colour.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

from balewright.pictures.layer_map import draw_layer_map
from balewright.pictures.svg import Attributes, element, text
from balewright.plan.film.course import Leg
from balewright.plan.film.events import Happening, Story, What
from balewright.plan.film.layers import Bale, LayerCount
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

_WIDE: Final = 480.0
_EDGE: Final = 16.0
_LEFT: Final = 72.0
_INNER: Final = _WIDE - _LEFT - _EDGE
_TOP: Final = 62.0
_ROW: Final = 34.0
_BAR: Final = 20.0
_SMALL: Final = "14"
_RAN: Final = "#6d9fd6"
_APART: Final = 74.0
"""Labels nearer than this would run into each other; the description has them all."""
_MOST_TICKS: Final = 12


@dataclass(frozen=True)
class Told:
    """A bale's wrapping to be drawn: what happened, the course it made, what that left.

    need: layers wanted; it colours the map.
    """

    bale: Bale
    events: tuple[Happening, ...]
    story: Story
    count: LayerCount
    need: int


def draw_course(told: Told, say: Say) -> str:
    """The rolls over the wrap turns above the layer map, as one SVG.

    say: a reason (`course.*`, `film.map.*`) to a sentence. A screen reader hears every event.
    """
    dispensers = told.story.course.dispensers
    axis_y = _TOP + dispensers * _ROW
    map_y = axis_y + 66.0
    inner = draw_layer_map(told.bale, told.count, told.need, say)
    head, _, rest = inner.partition(">")
    map_high = float(head.split('viewBox="')[1].split('"')[0].split()[3])
    place = f' x="0" y="{map_y:g}" width="{_WIDE:g}" height="{map_high:g}"'
    parts = [
        element("title", {}, _said(say, "title")),
        element("desc", {}, _description(told, say)),
        element("text", {"x": _EDGE, "y": 20, "font-weight": "600"}, _said(say, "heading")),
        *[part for roll in range(dispensers) for part in _row(told, roll, say)],
        *_marks(told, axis_y, say),
        *_axis(told.story.course.turns, axis_y, say),
        f"{head}{place}>{rest}",
    ]
    attributes: Attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": "course-map",
        "viewBox": f"0 0 {_WIDE:g} {map_y + map_high:.0f}",
        "role": "img",
        "font-family": "system-ui, sans-serif",
        "font-size": "15",
        "fill": "currentColor",
    }
    return element("svg", attributes, "\n", *(part + "\n" for part in parts))


def event_words(event: Happening) -> Reason:
    """The reason that says one event in a sentence."""
    key, facts = event.what.value, {"turns": event.at_turn}
    if event.what is What.STOP:
        if event.rolled_turn:
            return because("course.event.stop_rolled", rolled_turns=event.rolled_turn, **facts)
        return because("course.event.stop", **facts)
    if event.roll is None:
        return because("course.event.cut_all", **facts)
    return because(f"course.event.{key}", roll=event.roll, **facts)


def _said(say: Say, key: str, **values: ReasonValue) -> str:
    return text(say(because(f"course.picture.{key}", **values)))


def _description(told: Told, say: Say) -> str:
    turns = told.story.course.turns
    if not told.events:
        return _said(say, "desc_none", turns=turns)
    events = "; ".join(say(event_words(event)) for event in told.events)
    return _said(say, "desc", turns=turns, events_said=events)


def _x(turn: float, turns: float) -> float:
    return _LEFT + turn / turns * _INNER


def _spells(legs: Sequence[Leg], roll: int) -> list[tuple[float, float, bool]]:
    """(start, end, running) of one roll; legs that only a stop parts are one spell."""
    ends = list(accumulate(leg.turns for leg in legs))
    spells: list[tuple[float, float, bool]] = []
    for start, end, leg in zip([0.0, *ends[:-1]], ends, legs, strict=True):
        running = leg.running[roll]
        if spells and spells[-1][2] is running:
            spells[-1] = (spells[-1][0], end, running)
        else:
            spells.append((start, end, running))
    return spells


def _row(told: Told, roll: int, say: Say) -> list[str]:
    turns = told.story.course.turns
    y = _TOP + roll * _ROW
    label: Attributes = {"x": _EDGE, "y": y + 15.0}
    parts = [element("text", label, _said(say, "roll", roll=roll + 1))]
    for start, end, running in _spells(told.story.course.legs, roll):
        x, wide = _x(start, turns), (end - start) / turns * _INNER
        box: Attributes = {"x": x, "y": y, "width": wide, "height": _BAR}
        if running:
            parts.append(element("rect", {**box, "class": "course-map-ran", "fill": _RAN}))
            continue
        line: Attributes = {"fill": "none", "stroke": "currentColor", "stroke-dasharray": "4 3"}
        parts.append(element("rect", {**box, **line}))
        if wide > _APART:
            words: Attributes = {"x": x + wide / 2.0, "y": y + 15.0, "text-anchor": "middle"}
            parts.append(element("text", {**words, "font-size": _SMALL}, _said(say, "lost")))
    return parts


def _marks(told: Told, axis_y: float, say: Say) -> list[str]:
    """A line through the rows at every stop and cut, with its word where there is room."""
    turns = told.story.course.turns
    parts: list[str] = []
    last = -math.inf
    for event in sorted(told.events, key=lambda one: one.at_turn):
        if event.what not in (What.STOP, What.CUT):
            continue
        x = _x(event.at_turn, turns)
        rows = range(told.story.course.dispensers) if event.roll is None else [event.roll - 1]
        top = _TOP + min(rows) * _ROW - 6.0
        bottom = _TOP + max(rows) * _ROW + _BAR + 6.0
        line: Attributes = {"x1": x, "x2": x, "y1": top, "y2": min(bottom, axis_y)}
        dash = "1 0" if event.what is What.CUT else "2 3"
        stroke: Attributes = {"stroke": "currentColor", "stroke-width": "2"}
        parts.append(element("line", {**line, **stroke, "stroke-dasharray": dash}))
        if x - last < _APART:
            continue
        last = x
        if event.what is What.STOP and event.rolled_turn:
            words = _said(say, "rolled", rolled_turns=event.rolled_turn)
        else:
            words = _said(say, event.what.value)
        anchor = "end" if x > _WIDE - 90.0 else "start" if x < 110.0 else "middle"
        spot: Attributes = {"x": x, "y": _TOP - 12.0, "text-anchor": anchor, "font-size": _SMALL}
        parts.append(element("text", spot, words))
    return parts


def _axis(turns: float, y: float, say: Say) -> list[str]:
    step = next(
        step
        for power in range(6)
        for step in (10**power, 2 * 10**power, 5 * 10**power)
        if turns / step <= _MOST_TICKS
    )
    parts = []
    for turn in range(0, math.floor(turns) + 1, step):
        x = _x(turn, turns)
        tick: Attributes = {"x1": x, "x2": x, "y1": y - 6.0, "y2": y}
        parts.append(element("line", {**tick, "stroke": "currentColor", "stroke-width": "1"}))
        label: Attributes = {"x": x, "y": y + 15.0, "text-anchor": "middle", "font-size": _SMALL}
        parts.append(element("text", label, f"{turn}"))
    caption: Attributes = {"x": _LEFT + _INNER / 2.0, "y": y + 34.0, "text-anchor": "middle"}
    return [*parts, element("text", {**caption, "font-size": _SMALL}, _said(say, "axis"))]
