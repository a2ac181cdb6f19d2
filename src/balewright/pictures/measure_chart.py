"""What was watched, bale by bale: readings, what was expected, the limits, where it moved.

Drawn once for a phone and once for a wide page. Up to 1,500 bales each is a dot; of more,
neighbours are gathered to bars from the lowest to the highest reading with a dot in the middle,
and it says so. A reading far outside is held at the edge and counted. Of a rate the events stand
as marks, with the rate before and since.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from balewright.pictures.field import Field
from balewright.pictures.plot import BLUE, GREEN, ORANGE, PURPLE, Axis, words
from balewright.pictures.readings import Bars, Floats, Readings, gather_bars
from balewright.pictures.svg import element, text
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

NARROW: Final = 360.0
WIDE: Final = 1_000.0
_HEIGHT: Final = 250.0
_LINE: Final = 16.0
_NEAR: Final = (1.0, 99.0)
_FAR: Final = 0.6
"""Single readings farther out than this share of what the others span are held at the edge."""
_BANDS: Final = 60
"""More jobs or rolls than this in the picture are not shaded: nobody could tell them apart."""


@dataclass(frozen=True)
class Told:
    """What is marked, as rows of the readings; None where it is not known.

    start: earliest and latest row that may have been the first; since: the likeliest; told: the
    row at which it was told; until: the first row after it. rate_since: events in 100 bales since.
    """

    start: tuple[int, int] | None = None
    since: int | None = None
    told: int | None = None
    until: int | None = None
    rate_since: Interval | None = None


@dataclass(frozen=True)
class View:
    """What to draw: rows first..last (excluded), at a width; unit: what stands at the readings."""

    first: int
    last: int
    width: float
    title: str
    unit: str


def draw_readings(readings: Readings, told: Told, view: View, say: Say) -> str:
    """The picture as SVG. readings: in the reader's unit (`Readings.printed`)."""
    inside, entries, height = (_rate if readings.is_rate else _level)(readings, told, view, say)
    return element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {view.width:g} {height:g}",
            "role": "img",
            "font-family": "'Source Sans 3', 'Source Sans Pro', system-ui, sans-serif",
        },
        element("title", {}, text(view.title)),
        element("desc", {}, text(" ".join(said for _, said, _ in entries))),
        inside,
    )


_Entry = tuple[str, str, float]
"""Colour, words, and how strong the colour is."""
_Drawn = tuple[str, list[_Entry], float]


def _level(readings: Readings, told: Told, view: View, say: Say) -> _Drawn:
    bars = gather_bars(readings.values, view.first, view.last)
    low, high = _reach(readings, bars, view)
    field = Field(_rows(view, say), Axis(low, high, view.unit), view.width, _HEIGHT)
    beyond = int(np.count_nonzero((bars.low < low) | (bars.high > high)))
    parts, entries = _ground(field, readings, told, view, say)
    limits, said = _limits(field, readings, view, say)
    parts += limits
    entries += said
    if bars.bales > 1:
        parts.append(field.bars(bars.places, bars.low, bars.high, BLUE))  # type: ignore[arg-type]
        entries.append((BLUE, _said(say, "gathered", bales=bars.bales), 1.0))
    else:
        entries.append((BLUE, _said(say, "reading"), 1.0))
    size = 3.4 if len(bars.places) < view.width / 2.5 else 2.4
    parts.append(field.dots(list(zip(bars.places, bars.middle, strict=True)), BLUE, size))
    middles, middle_said = _middles(field, readings, view, say)
    parts += middles
    entries += middle_said
    if beyond:
        entries.append(("", _said(say, "beyond", count=beyond), 1.0))
    parts += _uprights(field, told, view, say)
    return _with_legend(parts, entries, view)


def _rate(readings: Readings, told: Told, view: View, say: Say) -> _Drawn:
    """Events as marks along the top, and the rates before and since as lines."""
    happened = np.flatnonzero(np.nan_to_num(readings.values[view.first : view.last]) > 0)
    rows = view.first + happened
    before = 100.0 * float(np.nan_to_num(readings.expected[0])) if readings.bales else 0.0
    since = told.rate_since
    top = max(before * 1.6, 0.0 if since is None else since.high * 1.05, 1.0)
    field = Field(_rows(view, say), Axis(0.0, top * 1.18, _said(say, "hundred")), view.width,
                  _HEIGHT)  # fmt: skip
    parts, entries = _ground(field, readings, told, view, say)
    begun = view.last if told.since is None else told.since
    parts.append(field.line([(view.first, before), (min(begun, view.last), before)], ORANGE))
    usual_said = _said(
        say, "rate_usual" if since is None else "rate_before", hundred=_figure(before)
    )
    entries.append((ORANGE, usual_said, 1.0))
    if since is not None and told.since is not None:
        end = view.last if told.until is None else min(told.until, view.last)
        places = [float(max(begun, view.first)), float(end)]
        parts.append(field.band(places, [since.low] * 2, [since.high] * 2, PURPLE))
        parts.append(field.line([(place, since.best) for place in places], PURPLE))
        rates = {"hundred": since.best, "low_hundred": since.low, "high_hundred": since.high}
        told_said = _said(say, "rate_since", **{key: _figure(r) for key, r in rates.items()})
        entries.append((PURPLE, told_said, 1.0))
    marks = [(float(row), top * 1.12) for row in rows.tolist()]
    parts.append(field.dots(marks, BLUE, 4.0 if len(marks) < 200 else 2.4))
    happened_said = _said(say, "event", count=len(marks), bales=view.last - view.first)
    entries.append((BLUE, happened_said, 1.0))
    parts += _uprights(field, told, view, say)
    return _with_legend(parts, entries, view)


def _rows(view: View, say: Say) -> Axis:
    return Axis(view.first - 0.5, max(view.last - 0.5, view.first + 0.5), _said(say, "bale"))


def _reach(readings: Readings, bars: Bars, view: View) -> tuple[float, float]:
    """The ends of the y axis: all that is expected and wanted, and readings not absurdly far."""
    part = slice(view.first, view.last)
    lines = [readings.expected, readings.low, readings.high]
    lines += [readings.wanted_low, readings.wanted_high]
    known = np.concatenate([line[part] for line in lines])
    known = known[np.isfinite(known)]
    least, most = _ends(np.concatenate([known, bars.low, bars.high]))
    if len(bars.middle):
        near = _ends(np.concatenate([known, np.percentile(bars.middle, _NEAR)]))
        room = _FAR * (near[1] - near[0])
        least, most = max(least, near[0] - room), min(most, near[1] + room)
    if not least < most:
        half = max(abs(least) * 0.05, 0.5)
        return least - half, least + half
    pad = 0.04 * (most - least)
    return least - pad, most + pad


def _ends(values: Floats) -> tuple[float, float]:
    return (float(values.min()), float(values.max())) if len(values) else (0.0, 0.0)


def _ground(
    field: Field, readings: Readings, told: Told, view: View, say: Say
) -> tuple[list[str], list[_Entry]]:
    """Bands of jobs or rolls, the interval of the start, the frame."""
    parts, entries = [], []
    begins = view.first + np.flatnonzero(readings.begins[view.first : view.last])
    if 0 < len(begins) <= _BANDS:
        edges = [view.first, *begins.tolist(), view.last]
        for place in range(1, len(edges) - 1, 2):
            parts.append(
                field.stretch(edges[place] - 0.5, edges[place + 1] - 0.5, "currentColor", 0.06)
            )
        group = say(because(f"watched.group.{readings.group}"))
        entries.append(("currentColor", _said(say, "groups", group_said=group), 0.15))
    if told.start is not None:
        first, last = told.start
        parts.append(field.stretch(first - 0.5, last + 0.5, PURPLE, 0.28))
        numbers = {"first_said": _number(readings, first), "last_said": _number(readings, last)}
        key = "start" if last > first else "start.at"
        entries.append((PURPLE, _said(say, key, **numbers), 0.35))
    parts.append(field.frame(_ticks(readings, view)))
    return parts, entries


def _middles(
    field: Field, readings: Readings, view: View, say: Say
) -> tuple[list[str], list[_Entry]]:
    """The middle reading of each job or roll: what whole jobs say, single bales hide."""
    begins = view.first + np.flatnonzero(readings.begins[view.first : view.last])
    edges = sorted({view.first, *begins.tolist(), view.last})
    drawn = []
    if 2 < len(edges) <= _BANDS:
        for first, last in pairwise(edges):
            values = readings.values[first:last]
            values = values[np.isfinite(values)]
            if len(values):
                middle = float(np.median(values))
                drawn.append(field.line([(first, middle), (last - 1.0, middle)], "currentColor"))
    if not drawn:
        return [], []
    group = say(because(f"watched.group.{readings.group}"))
    return drawn, [("currentColor", _said(say, "middles", group_said=group), 1.0)]


def _limits(
    field: Field, readings: Readings, view: View, say: Say
) -> tuple[list[str], list[_Entry]]:
    """What was expected, the limits of a single bale, and what the sheet wants."""
    parts, entries = [], []
    rows = np.arange(view.first, view.last)
    step = max(1, len(rows) // int(view.width / 3))
    places = rows[::step]
    known = places[np.isfinite(readings.expected[places])]
    if len(known):
        limited = known[np.isfinite(readings.low[known])]
        if len(limited):
            parts.append(
                field.band(limited.tolist(), readings.low[limited].tolist(),
                           readings.high[limited].tolist(), ORANGE)
            )  # fmt: skip
            entries.append((ORANGE, _said(say, "limits"), 0.3))
        path = list(zip(known.tolist(), readings.expected[known].tolist(), strict=True))
        parts.append(field.line(path, ORANGE))
        entries.append((ORANGE, _said(say, "expected"), 1.0))
    wanted = False
    for line in (readings.wanted_low, readings.wanted_high):
        told = places[np.isfinite(line[places])]
        if len(told):
            wanted = True
            points = list(zip(told.tolist(), line[told].tolist(), strict=True))
            parts.append(field.line(points, GREEN, dashed=True))
    if wanted:
        entries.append((GREEN, _said(say, "sheet"), 1.0))
    return parts, entries


def _uprights(field: Field, told: Told, view: View, say: Say) -> list[str]:
    begun = told.since if told.start is None and told.told is None else None
    marks = [(begun, "since"), (told.told, "told"), (told.until, "over")]
    return [
        field.upright(row, _said(say, key))
        for row, key in marks
        if row is not None and view.first <= row < view.last
    ]


def _ticks(readings: Readings, view: View) -> list[tuple[float, str]]:
    """Some five bales by their numbers, or by their place where they have none."""
    count = view.last - view.first
    most = 4 if view.width < 500 else 9
    step = max(1, math.ceil(count / most))
    magnitude = 10 ** int(math.log10(step))
    step = next(m * magnitude for m in (1, 2, 5, 10) if m * magnitude >= step)
    rows = range(view.first, view.last, step)
    return [(float(row), _number(readings, row)) for row in rows]


def _number(readings: Readings, row: int) -> str:
    held = min(max(row, 0), readings.bales - 1)
    number = int(readings.numbers[held]) if readings.bales else -1
    return str(number) if number >= 0 else f"#{row + 1}"


def _figure(value: float) -> str:
    return f"{value:.1f}" if value >= 0.95 else f"{value:.2f}"


def _with_legend(parts: Sequence[str], entries: list[_Entry], view: View) -> _Drawn:
    """The legend below the field: one column on a phone, two on a wide page."""
    columns = 1 if view.width < 500 else 2
    lines = -(-len(entries) // columns)
    drawn = list(parts)
    for place, (colour, said, strength) in enumerate(entries):
        x = 4.0 + (place // lines) * view.width / columns
        y = _HEIGHT + 20.0 + _LINE * (place % lines)
        if colour:
            look: dict[str, str | float] = {"x": x, "y": y - 9, "width": 16, "height": 9}
            drawn.append(
                element("rect", look | {"rx": 2, "fill": colour, "fill-opacity": f"{strength:g}"})
            )
        drawn.append(words(x + 22, y, said, size=12))
    return "".join(drawn), entries, _HEIGHT + 10.0 + _LINE * lines


def _said(say: Say, key: str, **values: ReasonValue) -> str:
    return say(because(f"finding.picture.{key}", **values))
