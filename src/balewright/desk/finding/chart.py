"""Readings as a picture for a phone and one for a wide page; a page shows the one that fits."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.utils.safestring import SafeString, mark_safe

from balewright.desk.reading import reading, say_here
from balewright.pictures.measure_chart import NARROW, WIDE, Told, View, draw_readings
from balewright.pictures.readings import Readings
from balewright.quantities.reason import because
from balewright.words.languages import tongue
from balewright.words.reader import reader_of
from balewright.words.say import catalogue
from balewright.words.units import unit_of


@dataclass(frozen=True)
class ChartShown:
    """One chart, drawn twice. title: what is drawn."""

    title: str
    narrow: SafeString
    wide: SafeString


def title_of(name: str) -> str:
    """A measure, a column or what is counted from them, in trade words."""
    known = catalogue(reading())
    return known.get(f"watched.{name}") or known.get(f"column.{name}") or name


def sign_of(name: str) -> str:
    """What stands after values of this name, "" for counts."""
    unit = unit_of(name, reader_of(reading()).units)
    sign = "" if unit is None else unit.sign
    if not sign.startswith("unit."):
        return sign
    return tongue(reader_of(reading()).language).form(Decimal(2), say_here(because(sign)))


def show_chart(readings: Readings, told: Told, first: int, last: int) -> ChartShown:
    """Rows first..last (excluded) of the readings, in the reader's unit."""
    unit = unit_of(readings.name, reader_of(reading()).units)
    title = title_of(readings.name).capitalize()
    sign, drawn = sign_of(readings.name), readings
    if unit is not None and not readings.is_rate:
        drawn = readings.printed(unit.printed)
    pictures = [
        # every word in it is escaped where it is drawn
        mark_safe(draw_readings(drawn, told, View(first, last, width, title, sign), say_here))  # noqa: S308
        for width in (NARROW, WIDE)
    ]
    return ChartShown(title, *pictures)
