"""The layer map: the round side unrolled and both flat sides, as SVG.

Made for a strict content policy and for both light and dark pages: no script, no style attribute;
classes with presentation attributes behind them; lines and words take the page's own colour.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from balewright.pictures.film_colours import MOST_ABOVE, film_colour
from balewright.pictures.film_frame import CRISP, EDGE, INNER, LINE, SMALL, WIDE, layer_boxes, paint
from balewright.pictures.flat_map import draw_flat
from balewright.pictures.svg import Attributes, element, text
from balewright.plan.film.layers import Bale, LayerCount
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.quantities.si import M_PER_MM

Say = Callable[[Reason], str]

_TOP: Final = 88.0
_DISC: Final = INNER / (2.0 * math.pi)
"""Radius of a flat side: the same scale as the unrolled side, whatever the diameter."""
_BAR: Final = 7.0
"""Height of the bar beside a stretch that is short."""
_LEAST_BAR: Final = 2.5
_MOST_CELLS: Final = 600
_SMALLEST_NUMBER: Final = 15.0


@dataclass(frozen=True)
class _Map:
    """What is drawn, and for whom."""

    bale: Bale
    count: LayerCount
    need: int
    say: Say

    @property
    def girth_m(self) -> float:
        return math.pi * self.bale.diameter_m

    def said(self, key: str, **values: ReasonValue) -> str:
        return text(self.say(because(f"film.map.{key}", **values)))


def draw_layer_map(bale: Bale, count: LayerCount, need: int, say: Say) -> str:
    """The layer map of one bale as an SVG, to stand alone or inside a page.

    need: layers wanted; say: a reason (`film.map.*`) to a sentence in the reader's language. A
    screen reader hears the title and the description, which hold every number of the picture.
    """
    drawn = _Map(bale, count, need, say)
    side_high = min(max(bale.length_m / drawn.girth_m * INNER, 90.0), 190.0)
    discs_at = _TOP + side_high + 78.0 + _DISC
    legend_at = discs_at + _DISC + 100.0
    parts = [
        element("title", {}, drawn.said("title", thinnest=count.thinnest, layers=need)),
        element("desc", {}, _description(drawn)),
        *_heading(drawn),
        *_round_side(drawn, side_high),
        *_flat(drawn, 1, (WIDE / 4.0, discs_at)),
        *_flat(drawn, 2, (WIDE * 3.0 / 4.0, discs_at)),
        *_legend(drawn, legend_at),
    ]
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
    count, flat = drawn.count, drawn.count.flat
    return drawn.said(
        "desc",
        thinnest=count.thinnest,
        thin_at_m=count.thin_at_frac * drawn.girth_m,
        round_mean=count.round_mean,
        layers=drawn.need,
        short_frac=count.short_frac,
        sliver_mm=count.sliver_m / M_PER_MM,
        flat_thinnest=flat.thinnest,
        flat_mean=flat.mean,
        flat_frac=flat.short_frac,
    )


def _heading(drawn: _Map) -> list[str]:
    count = drawn.count
    name: Attributes = {"x": EDGE, "y": 20, "font-weight": "600"}
    verdict: Attributes = {"x": EDGE, "y": 41}
    if count.short_frac > 0.0:
        widest_mm = count.sliver_m / M_PER_MM
        said = drawn.said("round_short", short_frac=count.short_frac, sliver_mm=widest_mm)
    else:
        said = drawn.said("round_enough", layers=drawn.need)
    return [element("text", name, drawn.said("round")), element("text", verdict, said)]


def _cells(count: LayerCount) -> list[tuple[float, float, int]]:
    """(start, end, layers) from 0 to 1. Too many to see are drawn as the thinnest of each step."""
    arcs = count.arcs
    if len(arcs.starts) > _MOST_CELLS:
        thin = [max(arcs.layers)] * _MOST_CELLS
        for start, length, layers in zip(arcs.starts, arcs.lengths(), arcs.layers, strict=True):
            for step in range(int(start * _MOST_CELLS), int((start + length) * _MOST_CELLS) + 1):
                thin[step % _MOST_CELLS] = min(thin[step % _MOST_CELLS], layers)
        changes = [i for i in range(_MOST_CELLS) if i == 0 or thin[i] != thin[i - 1]]
        pairs = pairwise([*changes, _MOST_CELLS])
        return [(i / _MOST_CELLS, end / _MOST_CELLS, thin[i]) for i, end in pairs]
    edges = [0.0, *(start for start in arcs.starts if 0.0 < start < 1.0), 1.0]
    return [(start, end, arcs.at((start + end) / 2.0)) for start, end in pairwise(edges)]


def _round_side(drawn: _Map, high: float) -> list[str]:
    parts = []
    for start, end, layers in _cells(drawn.count):
        colour = film_colour(layers, drawn.need)
        x, wide = EDGE + start * INNER, (end - start) * INNER
        ends_m = {"from_m": start * drawn.girth_m, "to_m": end * drawn.girth_m}
        told = element("title", {}, drawn.said("stretch", layers=layers, **ends_m))
        parts.append(
            element(
                "rect",
                {"x": x, "y": _TOP, "width": wide, "height": high, **CRISP, **paint(colour)},
                told,
            )
        )
        if wide >= _SMALLEST_NUMBER:
            middle: Attributes = {"x": x + wide / 2.0, "y": _TOP + high / 2.0 + 5.0}
            ink: Attributes = {"fill": colour.ink, "text-anchor": "middle"}
            parts.append(element("text", {**middle, **ink}, f"{layers}"))
    frame: Attributes = {"x": EDGE, "y": _TOP, "width": INNER, "height": high}
    parts.append(element("rect", {**frame, **LINE}))
    bottom = _TOP + high
    return [*parts, *_bars(drawn, bottom + 3.0), *_pointer(drawn), *_axis(drawn, bottom)]


def _bars(drawn: _Map, y: float) -> list[str]:
    """A bar under every stretch that is short, wide enough to be seen."""
    pieces = []
    for start, length in drawn.count.arcs.slivers(drawn.need):
        if start + length <= 1.0:
            pieces.append((start, length))
        else:
            pieces += [(start, 1.0 - start), (0.0, start + length - 1.0)]
    bars = []
    for start, length in pieces:
        wide = max(length * INNER, _LEAST_BAR)
        x = EDGE + (start + length / 2.0) * INNER - wide / 2.0
        bar: Attributes = {"x": x, "y": y, "width": wide, "height": _BAR}
        bars.append(element("rect", {**bar, "class": "layer-map-short"}))
    return bars


def _pointer(drawn: _Map) -> list[str]:
    """A triangle over the thinnest spot, with its number of layers."""
    x = EDGE + drawn.count.thin_at_frac * INNER
    anchor = "start" if x < 90 else "end" if x > WIDE - 90 else "middle"
    shift = {"start": -6.0, "end": 6.0, "middle": 0.0}[anchor]
    tip = f"{x:.2f},{_TOP - 2:.2f} {x - 6:.2f},{_TOP - 12:.2f} {x + 6:.2f},{_TOP - 12:.2f}"
    place: Attributes = {"x": x + shift, "y": _TOP - 18.0, "text-anchor": anchor}
    words = drawn.said("thinnest", thinnest=drawn.count.thinnest)
    return [element("polygon", {"points": tip}), element("text", place, words)]


def _axis(drawn: _Map, bottom: float) -> list[str]:
    """Ticks at whole metres round the bale."""
    parts = []
    for metre in range(math.floor(drawn.girth_m) + 1):
        x = EDGE + metre / drawn.girth_m * INNER
        tick: Attributes = {"x1": x, "x2": x, "y1": bottom + 13.0, "y2": bottom + 19.0}
        parts.append(element("line", {**tick, **LINE}))
        label: Attributes = {"x": x, "y": bottom + 34.0, "text-anchor": "middle"}
        parts.append(element("text", {**label, "font-size": SMALL}, f"{metre}"))
    caption: Attributes = {"x": WIDE / 2.0, "y": bottom + 53.0, "text-anchor": "middle"}
    return [*parts, element("text", {**caption, "font-size": SMALL}, drawn.said("axis"))]


def _flat(drawn: _Map, side: int, middle: tuple[float, float]) -> list[str]:
    """One flat side and the words under it."""
    flat = drawn.count.flats[side - 1]
    lines = [
        (drawn.said("flat", side=side), "600"),
        (drawn.said("flat_thin", thinnest=flat.thinnest), "400"),
    ]
    if flat.short_frac > 0.0:
        lines.append((drawn.said("flat_short", depth_mm=flat.depth_m / M_PER_MM), "400"))
    parts = draw_flat(flat, drawn.bale.diameter_m, drawn.need, side).at(middle, _DISC)
    for row, (line, weight) in enumerate(lines):
        place: Attributes = {"x": middle[0], "y": middle[1] + _DISC + 30.0 + 19.0 * row}
        shape: Attributes = {"text-anchor": "middle", "font-weight": weight}
        parts.append(element("text", {**place, **shape}, line))
    return parts


def _legend(drawn: _Map, y: float) -> list[str]:
    """A box for each number of layers that the picture shows, and what the bars mean."""
    count, need = drawn.count, drawn.need
    most = max(*count.arcs.layers, *(flat.crossings for flat in count.flats))
    last = min(most, need + MOST_ABOVE)
    shown = range(min(count.thinnest_anywhere, last), last + 1)
    parts = layer_boxes(shown, most, need, y, drawn.said)
    short = drawn.said("short", layers=need)
    bar: Attributes = {"x": WIDE - EDGE - 108.0, "y": y - 9.0, "width": 20.0, "height": _BAR}
    label: Attributes = {"x": WIDE - EDGE - 80.0, "y": y, "font-size": SMALL}
    parts.append(element("rect", {**bar, "class": "layer-map-short"}))
    return [*parts, element("text", label, short)]
