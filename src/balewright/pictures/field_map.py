"""A field from above: its outlines, and bales by job in colour and shape. No tiles from outside.

No script, no style attribute, words and lines in the page's own colour. Jobs are told apart by
shape as well as by colour, and bales astray are ringed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.pictures.svg import Attributes, element, text
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.records.fields.inside import Floats, flat_m
from balewright.records.outlines import Outline

Say = Callable[[Reason], str]

_WIDE: Final = 480.0
_EDGE: Final = 18.0
_LOWEST: Final = 150.0
_TALLEST: Final = 420.0
_ROOM: Final = 30.0
_COLOURS: Final = ("#c2410c", "#3b82c4", "#6b7280")
"""Astray, the job they belong to, all others; each keeps three to one on light and dark."""
_STEPS: Final = (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)
_ASTRAY, _THEIRS, _OTHERS = range(3)
_NAMED: Final = 3
MOST: Final = 4_000
"""Bales drawn at most, evenly taken."""


@dataclass(frozen=True)
class BaleDot:
    """One bale: latitude and longitude in degrees, the job it stands under, whether astray."""

    lat: float
    lon: float
    job: str
    astray: bool


@dataclass(frozen=True)
class FieldDrawn:
    """What to draw: bales, outlines near them, the job of those astray and the one they go to."""

    dots: tuple[BaleDot, ...]
    outlines: tuple[Outline, ...]
    job: str
    belongs_to: str | None


def draw_field(drawn: FieldDrawn, say: Say) -> str:
    """The field as an SVG; "" where no bale has a place. say: `field.picture.*` to words."""
    dots = drawn.dots if len(drawn.dots) <= MOST else drawn.dots[:: len(drawn.dots) // MOST + 1]
    if not dots:
        return ""
    sheet = _Sheet(dots)
    astray = [dot for dot in dots if dot.astray]
    others = [dot for dot in dots if not dot.astray]
    jobs = _legend(drawn, others, say)
    height = sheet.tall + 34.0 + 24.0 * len(jobs)
    said: dict[str, ReasonValue] = {
        "astray": len(astray), "job": drawn.job, "others": len(others)
    }  # fmt: skip
    parts = [
        element("title", {}, text(say(because("field.picture.title")))),
        element("desc", {}, text(say(because("field.picture.desc", **said)))),
        element("rect", {"x": 1, "y": 1, "width": _WIDE - 2, "height": sheet.tall - 2, "rx": 6,
                         "fill": "none", "stroke": "currentColor", "stroke-opacity": "0.3"}),
        *(_outline(one, sheet) for one in drawn.outlines),
        *(_dot(dot, sheet, drawn) for dot in [*others, *astray]),
        *_scale(sheet, say),
        *(_key(place, words, sheet) for place, words in enumerate(jobs)),
    ]  # fmt: skip
    attributes: Attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": "field-map",
        "viewBox": f"0 0 {_WIDE:g} {height:.0f}",
        "role": "img",
        "font-family": "system-ui, sans-serif",
        "font-size": "15",
        "fill": "currentColor",
    }
    return element("svg", attributes, *parts)


class _Sheet:
    """Metres to points of the drawing, north up, the same scale both ways."""

    def __init__(self, dots: Sequence[BaleDot]) -> None:
        self.origin = (dots[0].lat, dots[0].lon)
        east, north = self._metres([dot.lat for dot in dots], [dot.lon for dot in dots])
        wide_m = max(float(np.ptp(east)), 40.0) + 2 * _ROOM
        tall_m = max(float(np.ptp(north)), 20.0) + 2 * _ROOM
        points_per_m = min((_WIDE - 2 * _EDGE) / wide_m, (_TALLEST - 2 * _EDGE) / tall_m)
        self.points_per_m = points_per_m
        self.tall = max(_LOWEST, tall_m * points_per_m + 2 * _EDGE)
        self.middle = (
            (float(east.min()) + float(east.max())) / 2,
            (float(north.min()) + float(north.max())) / 2,
        )

    def _metres(self, lat: Iterable[float], lon: Iterable[float]) -> tuple[Floats, Floats]:
        return flat_m(np.array(list(lat)), np.array(list(lon)), self.origin)

    def points(self, lat: Sequence[float], lon: Sequence[float]) -> list[tuple[float, float]]:
        """Places as points of the drawing."""
        east, north = self._metres(lat, lon)
        x = _WIDE / 2 + (east - self.middle[0]) * self.points_per_m
        y = self.tall / 2 - (north - self.middle[1]) * self.points_per_m
        return list(zip(x.tolist(), y.tolist(), strict=True))


def _outline(outline: Outline, sheet: _Sheet) -> str:
    """A field's border, cut off at the frame, its name where its first bit is in sight."""
    rings = [sheet.points([lat for lat, _ in r], [lon for _, lon in r]) for r in outline.rings]
    path = "".join(
        f"M{_pairs(_clip(ring, sheet.tall))}Z" for ring in rings if _clip(ring, sheet.tall)
    )
    if not path:
        return ""
    shape = element("path", {"d": path, "fill": "currentColor", "fill-opacity": "0.07",
                             "fill-rule": "evenodd", "stroke": "currentColor",
                             "stroke-opacity": "0.65", "stroke-width": "1.5"})  # fmt: skip
    inside = [point for ring in rings for point in _clip(ring, sheet.tall)]
    x = sum(x for x, _ in inside) / len(inside)
    y = min(max(min(y for _, y in inside) + 20.0, 22.0), sheet.tall - 40.0)
    words = element("text", {"x": x, "y": y, "text-anchor": "middle", "font-size": "14",
                             "fill-opacity": "0.85"}, text(outline.field))  # fmt: skip
    return shape + words


def _clip(ring: list[tuple[float, float]], tall: float) -> list[tuple[float, float]]:
    """A ring cut by the frame, side by side (Sutherland and Hodgman)."""
    for axis, limit, keep_below in ((0, 1.0, False), (0, _WIDE - 1, True),
                                    (1, 1.0, False), (1, tall - 1, True)):  # fmt: skip
        ring = _cut(ring, axis, limit, keep_below)
        if not ring:
            break
    return ring


def _cut(
    ring: list[tuple[float, float]], axis: int, limit: float, keep_below: bool
) -> list[tuple[float, float]]:
    kept: list[tuple[float, float]] = []
    for place, one in enumerate(ring):
        before = ring[place - 1]
        here, there = ((point[axis] <= limit) == keep_below for point in (one, before))
        if here != there:
            share = (limit - before[axis]) / (one[axis] - before[axis])
            kept.append((before[0] + share * (one[0] - before[0]),
                         before[1] + share * (one[1] - before[1])))  # fmt: skip
        if here:
            kept.append(one)
    return kept


def _pairs(points: Iterable[tuple[float, float]]) -> str:
    return "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _dot(dot: BaleDot, sheet: _Sheet, drawn: FieldDrawn) -> str:
    ((x, y),) = sheet.points([dot.lat], [dot.lon])
    return _mark(x, y, _kind(dot, drawn))


def _kind(dot: BaleDot, drawn: FieldDrawn) -> int:
    if dot.astray:
        return _ASTRAY
    return _THEIRS if dot.job == drawn.belongs_to else _OTHERS


def _mark(x: float, y: float, kind: int) -> str:
    """Astray: a ringed disc; of the job they belong to: a square; others: a small triangle."""
    fill = _COLOURS[kind]
    if kind == _ASTRAY:
        ring: Attributes = {"cx": x, "cy": y, "r": 5.5, "fill": "none", "stroke": fill,
                            "stroke-width": "1.8"}  # fmt: skip
        return element("circle", ring) + element(
            "circle", {"cx": x, "cy": y, "r": 2.6, "fill": fill}
        )
    if kind == _THEIRS:
        return element("rect", {"x": x - 3.6, "y": y - 3.6, "width": 7.2, "height": 7.2,
                                "fill": fill})  # fmt: skip
    path = f"M{x:.1f} {y - 4.4:.1f}l4.4 7.4h-8.8Z"
    return element("path", {"d": path, "fill": fill})


def _legend(drawn: FieldDrawn, others: Sequence[BaleDot], say: Say) -> list[tuple[int, str]]:
    """What each mark stands for: those astray, the job they go to, every other job."""
    rows = [(_ASTRAY, say(because("field.picture.astray", job=drawn.job)))]
    kinds = {_kind(dot, drawn) for dot in others}
    if _THEIRS in kinds and drawn.belongs_to is not None:
        rows.append((_THEIRS, drawn.belongs_to))
    if _OTHERS in kinds:
        names = sorted({dot.job for dot in others if _kind(dot, drawn) == _OTHERS} - {""})
        more = ", …" if len(names) > _NAMED else ""
        rows.append((_OTHERS, ", ".join(names[:_NAMED]) + more or "–"))
    return rows


def _key(place: int, row: tuple[int, str], sheet: _Sheet) -> str:
    y = sheet.tall + 44.0 + 24.0 * place
    words = element("text", {"x": _EDGE + 18, "y": y + 5}, text(row[1]))
    return _mark(_EDGE + 4, y, row[0]) + words


def _scale(sheet: _Sheet, say: Say) -> list[str]:
    """A bar of a round length, and which way north is."""
    fits = [step for step in _STEPS if step * sheet.points_per_m <= _WIDE / 4]
    length_m = fits[-1] if fits else _STEPS[0]
    y, end = sheet.tall + 14.0, _EDGE + length_m * sheet.points_per_m
    bar = f"M{_EDGE:.1f} {y - 4:.1f}v8m0 -4H{end:.1f}m0 -4v8"
    line: Attributes = {"d": bar, "fill": "none", "stroke": "currentColor", "stroke-width": "1.5"}
    words = text(say(because("field.picture.scale", length_m=length_m)))
    north = text(say(because("field.picture.north")))
    up = f"M{_WIDE - 24:.1f} {y + 6:.1f}v-14m-4 5l4 -5l4 5"
    return [
        element("path", line),
        element("text", {"x": end + 8, "y": y + 5, "font-size": "14"}, words),
        element("path", {**line, "d": up}),
        element("text", {"x": _WIDE - 48, "y": y + 5, "font-size": "14"}, north),
    ]
