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
    """One chart, drawn for a phone and, where asked for, for a wide page. title: what is drawn."""

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


def show_chart(
    readings: Readings, told: Told, rows: tuple[int, int], also_wide: bool = True
) -> ChartShown:
    """Rows from the first to before the last of the readings, in the reader's unit."""
    unit = unit_of(readings.name, reader_of(reading()).units)
    title = title_of(readings.name).capitalize()
    sign, drawn = sign_of(readings.name), readings
    if unit is not None and not readings.is_rate:
        drawn = readings.printed(unit.printed)
    first, last = rows

    def draw(width: float) -> SafeString:
        view = View(first, last, width, title, sign)
        # every word in it is escaped where it is drawn
        return mark_safe(draw_readings(drawn, told, view, say_here))  # noqa: S308

    return ChartShown(title, draw(NARROW), draw(WIDE) if also_wide else SafeString(""))
