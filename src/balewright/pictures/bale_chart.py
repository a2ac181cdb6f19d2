"""Bale by bale charts as Vega-Lite specs: plain data, drawn in the browser.

One small chart a measure, all over the same bales, each with the band its sheets allow. A bale
whose measure is unknown leaves a gap; it is never drawn at zero.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from balewright.plan.machine import Span
from balewright.records.bales import BaleTable

HEIGHT: Final = 120
LAYERS: Final = "layers"
"""The name of the chart of layers, and of their field in a row."""
_PERCENT: Final = "_frac"


@dataclass(frozen=True)
class Measure:
    """One column to draw. title: its axis; planned: the band for each bale, None where none."""

    column: str
    title: str
    planned: tuple[Span | None, ...]


@dataclass(frozen=True)
class Layers:
    """Layers at the thinnest spot, one entry a bale each: NaN where it cannot be told.

    wanted: by the sheet in force; short_frac: share of the round side short of it; short: whether
    that is more than a sliver.
    """

    thinnest: Sequence[float]
    wanted: Sequence[float]
    short_frac: Sequence[float]
    short: Sequence[bool]


@dataclass(frozen=True)
class ChartWords:
    """What the charts say. place, when, planned, layers, wanted, short: titles; whens: each
    bale's time.
    """

    place: str
    when: str
    number: str
    planned: str
    whens: tuple[str, ...]
    layers: str = ""
    wanted: str = ""
    short: str = ""


@dataclass(frozen=True)
class BaleChart:
    """rows: one object a bale, shared by all specs; specs: by column, each over data `bales`."""

    rows: tuple[Mapping[str, Any], ...]
    specs: Mapping[str, Mapping[str, Any]]


def chart_bales(
    bales: BaleTable, measures: Sequence[Measure], said: ChartWords, layers: Layers | None = None
) -> BaleChart:
    """Specs for those measures. bales: oldest first; whens and planned have one entry a bale.

    layers: drawn first, where they can be told of any bale; left out otherwise.
    """
    rows = [_row(bales, measures, said, place) for place in range(bales.rows)]
    specs: dict[str, Mapping[str, Any]] = {}
    if layers is not None and any(math.isfinite(thinnest) for thinnest in layers.thinnest):
        rows = [row | _layers_of(layers, place) for place, row in enumerate(rows)]
        specs[LAYERS] = _layer_spec(said, rows)
    specs |= {measure.column: _spec(measure, said, rows) for measure in measures}
    return BaleChart(tuple(rows), specs)


def _layers_of(layers: Layers, place: int) -> dict[str, Any]:
    """Layers of one bale as fields of its row; what cannot be told is left out."""
    told: dict[str, Any] = {}
    if math.isfinite(layers.wanted[place]):
        told["layers_wanted"] = round(layers.wanted[place])
    if math.isfinite(layers.thinnest[place]):
        told[LAYERS] = round(layers.thinnest[place])
        told["layers_short_frac"] = round(layers.short_frac[place], 4)
        if layers.short[place]:
            told["layers_short"] = told[LAYERS]
    return told


def _layer_spec(said: ChartWords, rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Dots at the thinnest spot, diamonds where a bale is short, a line at what is wanted."""
    across = _across(said, rows)
    most = max(max(row.get(LAYERS, 0), row.get("layers_wanted", 0)) for row in rows)
    upward: dict[str, Any] = {"field": LAYERS, "type": "quantitative", "title": None}
    upward |= {"scale": {"domain": [0, most + 1], "nice": False}}
    upward |= {"axis": {"format": "d", "tickMinStep": 1, "tickCount": 5}}
    tooltip: list[dict[str, Any]] = [
        {"field": "number", "type": "nominal", "title": said.number},
        {"field": "when", "type": "nominal", "title": said.when},
        {"field": LAYERS, "type": "quantitative", "title": said.layers},
        {"field": "layers_wanted", "type": "quantitative", "title": said.wanted},
        {
            "field": "layers_short_frac",
            "type": "quantitative",
            "title": said.short,
            "format": ".1%",
        },
    ]
    wanted: dict[str, Any] = {
        "mark": {"type": "line", "interpolate": "step", "style": "wanted"},
        "encoding": {"x": across, "y": {**upward, "field": "layers_wanted"}},
    }
    shapes: dict[str, dict[str, Any]] = {
        LAYERS: {"size": 26, "style": "bale"},
        "layers_short": {"size": 70, "style": "short", "shape": "diamond"},
    }
    points: list[dict[str, Any]] = [
        {
            "mark": {"type": "point", "filled": True, **shape},
            "transform": [{"filter": {"field": field, "valid": True}}],
            "encoding": {"x": across, "y": {**upward, "field": field}, "tooltip": tooltip},
        }
        for field, shape in shapes.items()
    ]
    return _chart([wanted, *points])


def _row(
    bales: BaleTable, measures: Sequence[Measure], said: ChartWords, place: int
) -> dict[str, Any]:
    row: dict[str, Any] = {"place": place + 1, "when": said.whens[place]}
    number = bales.cell(place, "bale_no")
    row["number"] = "–" if number is None else str(number)
    for measure in measures:
        value, band = bales.cell(place, measure.column), measure.planned[place]
        if value is not None:
            row[measure.column] = round(value, 4)
        if band is not None:
            row[f"{measure.column}_low"] = round(band.low, 4)
            row[f"{measure.column}_high"] = round(band.high, 4)
    return row


def _spec(measure: Measure, said: ChartWords, rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    column = measure.column
    form = ".1%" if column.endswith(_PERCENT) else ",.4~r"
    across = _across(said, rows)
    upward: dict[str, Any] = {"field": column, "type": "quantitative", "title": None}
    upward |= {"scale": {"zero": False}, "axis": {"format": form, "tickCount": 4}}
    tooltip: list[dict[str, Any]] = [
        {"field": "number", "type": "nominal", "title": said.number},
        {"field": "when", "type": "nominal", "title": said.when},
        {"field": column, "type": "quantitative", "title": measure.title, "format": form},
    ]
    points: dict[str, Any] = {
        "mark": {"type": "point", "filled": True, "size": 26, "style": "bale"},
        "transform": [{"filter": {"field": column, "valid": True}}],
        "encoding": {"x": across, "y": upward, "tooltip": tooltip},
    }
    layers = [points]
    if any(f"{column}_low" in row for row in rows):
        layers.insert(0, _band(measure, said, across, upward))
    return _chart(layers)


def _across(said: ChartWords, rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    across: dict[str, Any] = {"field": "place", "type": "quantitative", "title": said.place}
    across |= {"scale": {"domain": [1, max(len(rows), 2)], "nice": False}}
    axis = {"tickMinStep": 1, "format": "d", "grid": False}
    return across | {"axis": axis | {"labelOverlap": "greedy", "labelSeparation": 8}}


def _chart(layers: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "width": "container",
        "height": HEIGHT,
        "autosize": {"type": "fit-x", "contains": "padding"},
        "data": {"name": "bales"},
        "layer": layers,
    }


def _band(
    measure: Measure, said: ChartWords, across: Mapping[str, Any], upward: Mapping[str, Any]
) -> dict[str, Any]:
    """What the sheet in force allowed; bales without one leave a gap."""
    low, high = f"{measure.column}_low", f"{measure.column}_high"
    return {
        "mark": {"type": "area", "interpolate": "step", "style": "planned"},
        "description": said.planned,
        "encoding": {
            "x": dict(across),
            "y": {**upward, "field": low},
            "y2": {"field": high},
        },
    }
