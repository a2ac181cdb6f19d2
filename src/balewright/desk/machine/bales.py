"""A machine's last bales as charts and as rows: what is known of them, never more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from zoneinfo import ZoneInfo

from balewright.desk.wording import words
from balewright.flows.review_machine import MachineReview
from balewright.pictures.bale_chart import (
    LAYERS,
    BaleChart,
    ChartWords,
    Layers,
    Measure,
    chart_bales,
)
from balewright.plan.machine import Span
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable
from balewright.records.identity import bale_times
from balewright.words.say import say_value
from balewright.words.times import say_time

DRAWN: Final = (
    *("wrap_turns", "film_m", "film1_m", "film2_m", "binding_turns", "gate_opening_mm"),
    *("diameter_m", "chamber_bar", "mass_kg", "moisture_frac", "binding_m"),
)
"""What can be drawn, the most telling first."""
MOST_CHARTS: Final = 6


@dataclass(frozen=True)
class BaleRow:
    """One bale in words. cells: one for each column shown."""

    number: str
    when: str
    job: str
    status: str
    cells: tuple[str, ...]


def known_columns(bales: BaleTable) -> tuple[str, ...]:
    """The columns worth showing of these bales."""
    return tuple(name for name in DRAWN if bales.has(name))[:MOST_CHARTS]


def say_times(bales: BaleTable, zone: ZoneInfo) -> tuple[str, ...]:
    """Each bale's local time, unknown where no phase of it is known."""
    times, known = bale_times(bales)
    return tuple(
        say_time(int(at) if ok else None, zone) for at, ok in zip(times, known, strict=True)
    )


def chart(review: MachineReview, zone: ZoneInfo) -> BaleChart:
    """Layers at the thinnest spot, then a small chart for each known column with the band its
    sheets allow.
    """
    bales, sheets, film = review.bales, review.sheets, review.film
    measures = [
        Measure(column, words(f"column.{column}"), _planned(bales, sheets, column))
        for column in known_columns(bales)
    ]
    said = ChartWords(
        place=words("machine.chart.place"),
        when=words("machine.chart.when"),
        number=words("machine.chart.number"),
        planned=words("machine.chart.planned"),
        whens=say_times(bales, zone),
        layers=words("column.layers"),
        wanted=words("machine.chart.wanted"),
        short=words("machine.chart.short"),
    )
    layers = Layers(
        film.thinnest.tolist(), film.wanted.tolist(), film.short_frac.tolist(), film.short.tolist()
    )
    return chart_bales(bales, measures, said, layers)


def rows_newest_first(bales: BaleTable, drawn: BaleChart) -> list[BaleRow]:
    """The same bales as rows, with one cell for each of the charts."""
    return [_row(bales, place, drawn) for place in reversed(range(bales.rows))]


def _row(bales: BaleTable, place: int, drawn: BaleChart) -> BaleRow:
    told = drawn.rows[place]
    number = bales.cell(place, "bale_no")
    return BaleRow(
        number="–" if number is None else str(number),
        when=told["when"],
        job=bales.cell(place, "job") or "–",
        status=bales.cell(place, "status") or "–",
        cells=tuple(
            _layers(told) if column == LAYERS else _said(column, bales.cell(place, column))
            for column in drawn.specs
        ),
    )


def _layers(told: Mapping[str, Any]) -> str:
    if LAYERS not in told:
        return "–"
    return words("machine.layers", thinnest=told[LAYERS], need=told["layers_wanted"])


def _said(column: str, value: float | None) -> str:
    return "–" if value is None else say_value(column, value)


def _planned(bales: BaleTable, sheets: Mapping[str, Sheet], column: str) -> tuple[Span | None, ...]:
    bands = {key: _band(sheet, column) for key, sheet in sheets.items()}
    return tuple(bands.get(bales.cell(place, "sheet")) for place in range(bales.rows))


def _band(sheet: Sheet, column: str) -> Span | None:
    """What the sheet allows for that column, None where it says nothing about it."""
    expected = {"diameter_m": sheet.expected.diameter_m, "mass_kg": sheet.expected.mass_kg}
    if column in expected:
        return Span(expected[column].low, expected[column].high)
    line = sheet.line(column)
    if line is None or line.low is None or line.high is None:
        return None
    return Span(line.low, line.high)
