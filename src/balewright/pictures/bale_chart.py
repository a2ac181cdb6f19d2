"""Bale by bale charts as Vega-Lite specs: plain data, drawn in the browser.

One small chart a measure, all over the same bales, each with the band its sheets allow. A bale
whose measure is unknown leaves a gap; it is never drawn at zero.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from balewright.plan.machine import Span
from balewright.records.bales import BaleTable

HEIGHT: Final = 120
_PERCENT: Final = "_frac"


@dataclass(frozen=True)
class Measure:
    """One column to draw. title: its axis; planned: the band for each bale, None where none."""

    column: str
    title: str
    planned: tuple[Span | None, ...]


@dataclass(frozen=True)
class ChartWords:
    """What the charts say. place, when, value, planned: titles; whens: each bale's time."""

    place: str
    when: str
    number: str
    planned: str
    whens: tuple[str, ...]


@dataclass(frozen=True)
class BaleChart:
    """rows: one object a bale, shared by all specs; specs: by column, each over data `bales`."""

    rows: tuple[Mapping[str, Any], ...]
    specs: Mapping[str, Mapping[str, Any]]


def chart_bales(bales: BaleTable, measures: Sequence[Measure], said: ChartWords) -> BaleChart:
    """Specs for those measures. bales: oldest first; whens and planned have one entry a bale."""
    rows = tuple(_row(bales, measures, said, place) for place in range(bales.rows))
    specs = {measure.column: _spec(measure, said, rows) for measure in measures}
    return BaleChart(rows, specs)


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
    across: dict[str, Any] = {"field": "place", "type": "quantitative", "title": said.place}
    across |= {"scale": {"domain": [1, max(len(rows), 2)], "nice": False}}
    across |= {"axis": {"tickMinStep": 1, "format": "d", "grid": False}}
    upward: dict[str, Any] = {"field": column, "type": "quantitative", "title": None}
    upward |= {"scale": {"zero": False}, "axis": {"format": form, "tickCount": 4}}
    tooltip = [
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
