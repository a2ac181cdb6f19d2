"""When each roll of a day ends: a bar for every roll over the bales, its end with its doubt.

Made as the layer map is: no script, no style attribute, words and lines in the page's own colour.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from balewright.pictures.svg import Attributes, element, text
from balewright.plan.film.roll_ends import RollDay, RollEnd
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

_WIDE: Final = 480.0
_EDGE: Final = 16.0
_LEFT: Final = 72.0
_INNER: Final = _WIDE - _LEFT - _EDGE
_TOP: Final = 62.0
_ROW: Final = 70.0
_BAR: Final = 22.0
_SMALL: Final = "14"
_FILLS: Final = ("#6d9fd6", "#9dbfe6")
_LINE: Final[Attributes] = {"stroke": "currentColor", "stroke-width": "1.5"}
_APART: Final = 34.0
_TICK_APART: Final = 44.0


@dataclass(frozen=True)
class DayDrawn:
    """A day to be drawn: bales planned, dispensers, and what the walk over it found."""

    bales: int
    dispensers: int
    day: RollDay


def draw_roll_day(drawn: DayDrawn, say: Say) -> str:
    """The day of the rolls as an SVG. say: a reason (`rolls.picture.*`) to a sentence."""
    bottom = _TOP + drawn.dispensers * _ROW
    parts = [
        element("title", {}, _said(say, "title", bales=drawn.bales)),
        element("desc", {}, _description(drawn, say)),
        element("text", {"x": _EDGE, "y": 20, "font-weight": "600"}, _said(say, "heading")),
        element("text", {"x": _EDGE, "y": 41}, _verdict(drawn, say)),
        *[part for roll in range(drawn.dispensers) for part in _row(drawn, roll, say)],
        *_axis(drawn.bales, bottom, say),
    ]
    attributes: Attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": "roll-day",
        "viewBox": f"0 0 {_WIDE:g} {bottom + 48.0:.0f}",
        "role": "img",
        "font-family": "system-ui, sans-serif",
        "font-size": "15",
        "fill": "currentColor",
    }
    return element("svg", attributes, "\n", *(part + "\n" for part in parts))


def end_words(end: RollEnd) -> Reason:
    """The reason that says one end in a sentence."""
    key = "replaced" if end.replaced else "stays_out"
    facts: dict[str, ReasonValue] = {
        "roll": end.roll,
        "bale_no": end.bale_no,
        "done_frac": end.done_frac,
    }
    if end.earliest is None or end.latest is None:
        return because(f"rolls.end.{key}", **facts)
    return because(f"rolls.end.{key}_between", earliest=end.earliest, latest=end.latest, **facts)


def _said(say: Say, key: str, **values: ReasonValue) -> str:
    return text(say(because(f"rolls.picture.{key}", **values)))


def _verdict(drawn: DayDrawn, say: Say) -> str:
    if drawn.day.stopped_at is not None:
        return _said(say, "stopped", bale_no=drawn.day.stopped_at)
    return _said(say, "lasts", bales=drawn.bales, rolls=drawn.day.new_rolls)


def _description(drawn: DayDrawn, say: Say) -> str:
    ends = "; ".join(say(end_words(end)) for end in drawn.day.ends)
    return text(ends) if ends else _said(say, "no_end", bales=drawn.bales)


def _x(bales: float, drawn: DayDrawn) -> float:
    return _LEFT + min(max(bales / drawn.bales, 0.0), 1.0) * _INNER


def _row(drawn: DayDrawn, roll: int, say: Say) -> list[str]:
    """The bars of one dispenser, roll after roll, and under each end where it may also fall."""
    y = _TOP + roll * _ROW
    label: Attributes = {"x": _EDGE, "y": y + 16.0}
    parts = [element("text", label, _said(say, "roll", roll=roll + 1))]
    ends = [end for end in drawn.day.ends if end.roll == roll + 1]
    until = float(drawn.bales)
    if drawn.day.stopped_at is not None:
        until = drawn.day.stopped_at - 1.0
    start = 0.0
    for place, end in enumerate(ends):
        stop = end.bale_no - 1 + end.done_frac
        parts += _bar((start, stop), place, y, drawn)
        start = stop
    if not ends or ends[-1].replaced:
        parts += _bar((start, until), len(ends), y, drawn)
    return [*parts, *_ends(drawn, ends, y)]


def _bar(spell: tuple[float, float], place: int, y: float, drawn: DayDrawn) -> list[str]:
    left, right = (_x(bales, drawn) for bales in spell)
    if right <= left:
        return []
    shape: Attributes = {"x": left, "y": y, "width": right - left, "height": _BAR}
    colour: Attributes = {"class": f"roll-day-{place % 2}", "fill": _FILLS[place % 2]}
    return [element("rect", {**shape, **colour})]


def _ends(drawn: DayDrawn, ends: Sequence[RollEnd], y: float) -> list[str]:
    parts: list[str] = []
    last = 0.0
    for end in ends:
        x = _x(end.bale_no - 1 + end.done_frac, drawn)
        parts.append(element("line", {"x1": x, "x2": x, "y1": y - 4, "y2": y + 31, **_LINE}))
        if end.earliest is not None and end.latest is not None:
            low, high = _x(end.earliest - 1, drawn), _x(end.latest, drawn)
            level = y + 31.0
            parts.append(
                element("line", {"x1": low, "x2": high, "y1": level, "y2": level, **_LINE})
            )
            for tip in (low, high):
                parts.append(
                    element("line", {"x1": tip, "x2": tip, "y1": y + 27, "y2": y + 35, **_LINE})
                )
        if x - last >= _APART or not last:
            last = x
            spot: Attributes = {"x": x, "y": y + 49.0, "text-anchor": "middle"}
            parts.append(element("text", {**spot, "font-size": _SMALL}, f"{end.bale_no}"))
    return parts


def _axis(bales: int, y: float, say: Say) -> list[str]:
    step = next(
        step
        for power in range(6)
        for step in (10**power, 2 * 10**power, 5 * 10**power)
        if _INNER * step / bales >= _TICK_APART
    )
    parts = [element("line", {"x1": _LEFT, "x2": _WIDE - _EDGE, "y1": y, "y2": y, **_LINE})]
    for bale in range(0, bales + 1, step):
        x = _LEFT + bale / bales * _INNER
        parts.append(element("line", {"x1": x, "x2": x, "y1": y, "y2": y + 6.0, **_LINE}))
        spot: Attributes = {"x": x, "y": y + 21.0, "text-anchor": "middle", "font-size": _SMALL}
        parts.append(element("text", spot, f"{bale}"))
    caption: Attributes = {"x": _LEFT + _INNER / 2.0, "y": y + 40.0, "text-anchor": "middle"}
    return [*parts, element("text", {**caption, "font-size": _SMALL}, _said(say, "axis"))]
