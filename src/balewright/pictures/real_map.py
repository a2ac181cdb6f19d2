"""The map of a real bale: its round side unrolled, its outline, and both flat sides, as SVG.

Made for a strict content policy and for light and dark pages, as the layer map is: no script, no
style attribute; classes with presentation attributes behind them; lines and words take the page's
own colour.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from balewright.pictures.film_colours import MOST_ABOVE
from balewright.pictures.film_frame import CRISP, EDGE, INNER, LINE, SMALL, WIDE, layer_boxes, paint
from balewright.pictures.real_outline import Frame, outline, outline_words
from balewright.pictures.real_shapes import (
    Disc,
    band_paths,
    commonest,
    painted,
    ring_paths,
)
from balewright.pictures.svg import Attributes, element, text
from balewright.plan.film.course import Course
from balewright.plan.film.laying import Laying
from balewright.plan.film.real_count import RealCount, Side, SideCount
from balewright.plan.film.real_rows import Row, Rows, layer_rows
from balewright.plan.film.real_words import place_words
from balewright.plan.film.shape import Shape
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.quantities.si import M_PER_MM

Say = Callable[[Reason], str]

_TOP: Final = 88.0
_DISC: Final = 84.0
_OUTLINE: Final = 172.0
_LABEL: Final = 72.0
_ROWS: Final = 48
_RINGS: Final = 20


@dataclass(frozen=True)
class RealBale:
    """What is drawn: a bale, how it was wrapped, and its count."""

    shape: Shape
    laying: Laying
    course: Course
    count: RealCount


@dataclass(frozen=True)
class _Map:
    bale: RealBale
    say: Say

    @cached_property
    def rows(self) -> Rows:
        bale = self.bale
        return layer_rows(bale.shape, bale.laying, bale.course, _ROWS, _RINGS)

    @property
    def need(self) -> int:
        return self.bale.count.need_layers

    @property
    def ends_m(self) -> tuple[float, float]:
        """The way from the middle to both flat sides, the left one negative."""
        return self.rows.round_side[0].low_m, self.rows.round_side[-1].high_m

    @property
    def high(self) -> float:
        left_m, right_m = self.ends_m
        girth_m = math.pi * self.bale.shape.middle_m
        return min(max((right_m - left_m) / girth_m * INNER, 100.0), 200.0)

    def down(self, way_m: float) -> float:
        left_m, right_m = self.ends_m
        return _TOP + (way_m - left_m) / (right_m - left_m) * self.high

    def on(self, side: Side) -> SideCount:
        count = self.bale.count.wrap.on(side)
        if count is None:
            raise AssertionError(f"a bale has no {side}")
        return count

    def said(self, key: str, **values: ReasonValue) -> str:
        return text(self.say(because(f"real.map.{key}", **values)))


def draw_real_map(bale: RealBale, say: Say) -> str:
    """The map of one real bale as an SVG, to stand alone or inside a page.

    say: a reason (`real.map.*`, `real.place.*`) to a sentence in the reader's language. A screen
    reader hears the title and the description, which hold the numbers of the picture.
    """
    drawn = _Map(bale, say)
    outline_at = _TOP + drawn.high + 76.0
    discs_at = outline_at + _OUTLINE + 107.0 + _DISC
    legend_at = discs_at + _DISC + 92.0
    frame = Frame(WIDE / 2.0, outline_at + 16.0 + _OUTLINE / 2.0, _OUTLINE, 300.0)
    parts = [
        element("title", {}, drawn.said("title", thinnest=bale.count.wrap.thinnest,
                                        layers=drawn.need)),
        element("desc", {}, _description(drawn)),
        *_heading(drawn),
        *_round_side(drawn),
        element("text", {"x": EDGE, "y": outline_at, "font-weight": "600"},
                drawn.said("outline")),
        *outline(drawn.rows.round_side, bale.shape, bale.laying, drawn.need, frame),
        *outline_words(drawn.rows.round_side, bale.shape, drawn.need, frame, drawn.said),
        *_flat(drawn, 0, (WIDE / 4.0, discs_at)),
        *_flat(drawn, 1, (WIDE * 3.0 / 4.0, discs_at)),
        *_legend(drawn, legend_at),
    ]  # fmt: skip
    attributes: Attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": "layer-map",
        "viewBox": f"0 0 {WIDE:g} {legend_at + 46.0:.0f}",
        "role": "img",
        "font-family": "system-ui, sans-serif",
        "font-size": "15",
        "fill": "currentColor",
    }
    return element("svg", attributes, "\n", *(part + "\n" for part in parts))


def _description(drawn: _Map) -> str:
    cover = drawn.bale.count.wrap
    return drawn.said(
        "desc",
        thinnest=cover.thinnest,
        place_said=drawn.say(place_words(drawn.bale.shape, cover.spot)),
        layers=drawn.need,
        share_frac=cover.short_frac,
        round_frac=drawn.on(Side.ROUND).short_frac,
        left_frac=drawn.on(Side.LEFT_FLAT).short_frac,
        right_frac=drawn.on(Side.RIGHT_FLAT).short_frac,
    )


def _heading(drawn: _Map) -> list[str]:
    side = drawn.on(Side.ROUND)
    said = drawn.said("round_enough", layers=drawn.need)
    if side.short_m2 > 0.0:
        said = drawn.said(
            "round_short",
            short_frac=side.short_frac,
            layers=drawn.need,
            sliver_mm=side.sliver_m / M_PER_MM,
        )
    name: Attributes = {"x": EDGE, "y": 20, "font-weight": "600"}
    return [
        element("text", name, drawn.said("round")),
        element("text", {"x": EDGE, "y": 41}, said),
    ]


def _round_side(drawn: _Map) -> list[str]:
    rows, high = drawn.rows.round_side, drawn.high
    ground = commonest(rows, drawn.need)
    box: Attributes = {"x": EDGE, "y": _TOP, "width": INNER, "height": high}
    paths = band_paths(rows, drawn.need, lambda turn: EDGE + turn * INNER, drawn.down)
    parts = [element("rect", {**box, **paint(ground)})]
    parts.append(element("g", CRISP, *painted(paths, ground)))
    half_m = drawn.bale.shape.half_body_m
    if drawn.bale.shape.shoulder_m > 0.0:
        for row in (_first_beyond(rows, -half_m), _first_beyond(rows, half_m)):
            y = drawn.down(row.low_m)
            line: Attributes = {"x1": EDGE, "x2": WIDE - EDGE, "y1": y, "y2": y}
            dashes: Attributes = {"stroke": "#1f1b24", "stroke-dasharray": "5 4"}
            parts.append(element("line", {**line, **dashes}))
    parts.append(element("rect", {**box, **LINE}))
    return [*parts, *_thin_mark(drawn), *_axis(drawn, _TOP + high)]


def _first_beyond(rows: tuple[Row, ...], along_m: float) -> Row:
    return next(row for row in rows if row.along_m > along_m)


def _thin_mark(drawn: _Map) -> list[str]:
    """A ring round the thinnest spot of the round side, and its number of layers over it."""
    names = (Side.ROUND, Side.LEFT_SHOULDER, Side.RIGHT_SHOULDER)
    spots = [one.spot for one in drawn.bale.count.wrap.sides if one.side in names]
    spot = min(spots, key=lambda spot: (spot.layers, -spot.wide_m))
    row = min(drawn.rows.round_side, key=lambda row: abs(row.along_m - spot.along_m))
    x, y = EDGE + spot.place_turn * INNER, drawn.down((row.low_m + row.high_m) / 2.0)
    anchor = "start" if x < 90 else "end" if x > WIDE - 90 else "middle"
    shift = {"start": -6.0, "end": 6.0, "middle": 0.0}[anchor]
    tip = f"{x:.2f},{_TOP - 2:.2f} {x - 6:.2f},{_TOP - 12:.2f} {x + 6:.2f},{_TOP - 12:.2f}"
    words: Attributes = {"x": x + shift, "y": _TOP - 18.0, "text-anchor": anchor}
    left = x > WIDE / 2.0
    end: Attributes = {"x": EDGE if left else WIDE - EDGE, "y": _TOP - 6.0}
    side: Attributes = {"text-anchor": "start" if left else "end", "font-size": SMALL}
    return [
        element("polygon", {"points": tip}),
        element("text", words, drawn.said("thinnest", thinnest=spot.layers)),
        element("text", {**end, **side}, drawn.said("left")),
        *_ring_mark(x, y),
    ]


def _ring_mark(x: float, y: float) -> list[str]:
    """A white ring inside a dark one: seen on every colour."""
    spot: Attributes = {"cx": x, "cy": y, "fill": "none"}
    return [
        element("circle", {**spot, "r": 7, "stroke": "#1f1b24", "stroke-width": "4.5"}),
        element("circle", {**spot, "r": 7, "stroke": "#ffffff", "stroke-width": "2"}),
    ]


def _axis(drawn: _Map, bottom: float) -> list[str]:
    """Ticks at whole metres round the middle of the bale."""
    girth_m = math.pi * drawn.bale.shape.middle_m
    parts = []
    for metre in range(math.floor(girth_m) + 1):
        x = EDGE + metre / girth_m * INNER
        tick: Attributes = {"x1": x, "x2": x, "y1": bottom, "y2": bottom + 6.0}
        parts.append(element("line", {**tick, **LINE}))
        if x < WIDE - EDGE - _LABEL:  # the words "right end" stand there
            label: Attributes = {"x": x, "y": bottom + 21.0, "text-anchor": "middle"}
            parts.append(element("text", {**label, "font-size": SMALL}, f"{metre}"))
    end: Attributes = {"x": WIDE - EDGE, "y": bottom + 21.0, "text-anchor": "end"}
    parts.append(element("text", {**end, "font-size": SMALL}, drawn.said("right")))
    caption: Attributes = {"x": WIDE / 2.0, "y": bottom + 41.0, "text-anchor": "middle"}
    return [*parts, element("text", {**caption, "font-size": SMALL}, drawn.said("axis"))]


def _flat(drawn: _Map, side: int, middle: tuple[float, float]) -> list[str]:
    """One flat side, as it is seen from outside, and the words under it."""
    rows, count = drawn.rows.flats[side], drawn.on((Side.LEFT_FLAT, Side.RIGHT_FLAT)[side])
    ground = commonest(rows, drawn.need)
    disc = Disc(*middle, _DISC, mirrored=side == 1)
    shape: Attributes = {"cx": middle[0], "cy": middle[1], "r": _DISC}
    parts = [element("circle", {**shape, **paint(ground)})]
    parts += painted(ring_paths(rows, drawn.need, disc), ground)
    parts.append(element("circle", {**shape, **LINE}))
    reach = count.spot.radius_m / drawn.bale.shape.flat_radius_m(side)
    parts += _ring_mark(*disc.place(count.spot.place_turn, min(reach, 1.0)))
    lines = [
        (drawn.said("flat", side=side + 1), "600"),
        (drawn.said("flat_thin", thinnest=count.thinnest), "400"),
    ]
    if count.short_m2 > 0.0:
        lines.append((drawn.said("flat_short", short_frac=count.short_frac), "400"))
    for row, (line, weight) in enumerate(lines):
        place: Attributes = {"x": middle[0], "y": middle[1] + _DISC + 27.0 + 19.0 * row}
        style: Attributes = {"text-anchor": "middle", "font-weight": weight}
        parts.append(element("text", {**place, **style}, line))
    return parts


def _legend(drawn: _Map, y: float) -> list[str]:
    """A box for each number of layers that the picture shows."""
    cover, need = drawn.bale.count.wrap, drawn.need
    most = max(len(one.layers_m2) for one in cover.sides) - 1
    last = min(most, need + MOST_ABOVE)
    shown = range(min(cover.thinnest, last), last + 1)
    return layer_boxes(shown, most, need, y, drawn.said)
