"""Invented exports of many makers, made in code: the same bales, written every way there is."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import openpyxl

START = datetime(2031, 6, 14, 7, 30, 5, tzinfo=UTC)
KINDS = ("net", "film", "net", "twine", "net", "net")


def bales() -> list[dict[str, Any]]:
    """Six bales as they really were: SI values that every unit used here can write."""
    return [
        {
            "machine": "MG-1001" if row < 4 else "MG-1002",
            "bale_no": 4711 + row,
            "at": START + timedelta(days=row // 3, minutes=3 * row),
            "binding": KINDS[row],
            "mass_kg": 600.5 + 130 * row,
            "moisture_frac": 0.145 + 0.05 * row,
            "diameter_m": 1.25 + 0.01 * row,
            "film_m": 1069.5 + 2 * row,
            "chamber_bar": 165.5 + row,
            "wrap_turns": 16 + row % 2,
            "oil_c": 41.5 + row,
            "speed_m_s": 2.5 + 0.25 * row,
            "additive_l": 1.5 + row,
        }
        for row in range(6)
    ]


PER = {  # one held unit in the written one, each from its definition
    "kg": 1, "lb": 1 / 0.45359237, "us_ton": 1 / 907.18474, "t": 0.001, "dt": 0.01,
    "m": 1, "ft": 1 / 0.3048, "yd": 1 / 0.9144, "in": 1 / 0.0254, "cm": 100, "mm": 1000,
    "frac": 1, "%": 100, "bar": 1, "psi": 1e5 * 0.0254**2 / 4.4482216152605, "kpa": 100,
    "m_s": 1, "km_h": 3.6, "mph": 3600 / 1609.344, "l": 1, "us_gal": 1 / 3.785411784, "ml": 1000,
}  # fmt: skip


def written(value: float, unit: str) -> float:
    """A held value in the unit of the export."""
    if unit == "f":
        return value * 1.8 + 32
    if unit == "%_dry_matter":
        return 100 - 100 * value
    return value if unit in ("", "c") else value * PER[unit]


@dataclass(frozen=True)
class Maker:
    """How one maker exports. columns: (heading, key of a bale, unit or format of a time)."""

    name: str
    columns: tuple[tuple[str, str, str], ...]
    zone: str = "UTC"
    separator: str = ","
    decimal: str = "."
    thousands: str = ""
    encoding: str = "utf-8"
    words: dict[str, str] = field(default_factory=dict)
    titles: tuple[tuple[str, ...], ...] = ()
    upper: tuple[str, ...] = ()
    totals: str = ""
    quoting: int = csv.QUOTE_MINIMAL
    places: int = 6
    end: str = "\r\n"
    with_unit: bool = False


def number_text(maker: Maker, number: float) -> str:
    """A number as the maker writes it."""
    text = f"{Decimal(repr(number)):,.{maker.places}f}".rstrip("0").rstrip(".")
    signs = {",": maker.thousands, ".": maker.decimal}
    return "".join(signs.get(sign, sign) for sign in text)


def time_text(maker: Maker, value: datetime, form: str) -> str:
    """A time as the maker writes it: by format, ISO, or counted from an epoch."""
    local = value.astimezone(ZoneInfo(maker.zone))
    gone = local.replace(tzinfo=None) - datetime(1899, 12, 30)  # noqa: DTZ001
    counted = {
        "epoch_s": str(int(value.timestamp())),
        "epoch_ms": str(int(value.timestamp()) * 1000),
        "serial": number_text(maker, round(gone / timedelta(days=1), 9)),
        "iso": local.isoformat(),
    }
    return counted.get(form) or local.strftime(form)


def cell(maker: Maker, bale: dict[str, Any], key: str, form: str) -> str:
    """One cell as text; a note says its form itself."""
    value = bale.get(key, form)
    if isinstance(value, datetime):
        return time_text(maker, value, form)
    if isinstance(value, str):
        return maker.words.get(value, value)
    text = number_text(maker, written(value, form))
    return f"{text} {form}" if maker.with_unit and form == "kg" else text


def rows_of(maker: Maker) -> list[list[str]]:
    """The whole table as texts."""
    rows = [list(title) for title in maker.titles]
    if maker.upper:
        rows.append(list(maker.upper))
    rows.append([heading for heading, _, _ in maker.columns])
    rows += [[cell(maker, bale, key, form) for _, key, form in maker.columns] for bale in bales()]
    if maker.totals:
        sums = [number_text(maker, 3500.5) if key == "mass_kg" else "" for _, key, _ in
                maker.columns]  # fmt: skip
        rows.append([maker.totals, *sums[1:]])
    return rows


def write_text(maker: Maker, folder: Path) -> Path:
    """The export as a text file, by Python's own csv."""
    stream = io.StringIO(newline="")
    out = csv.writer(
        stream, delimiter=maker.separator, quoting=maker.quoting, lineterminator=maker.end
    )
    out.writerows(rows_of(maker))
    path = folder / f"{maker.name}.csv"
    path.write_bytes(stream.getvalue().encode(maker.encoding))
    return path


def write_sheet(maker: Maker, folder: Path, change: Callable[[Any], None] = lambda _: None) -> Path:
    """The export as XLSX, by openpyxl: numbers as numbers, times as dates."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Report"
    for title in (*maker.titles, *((maker.upper,) if maker.upper else ())):
        sheet.append(title)
    sheet.append([heading for heading, _, _ in maker.columns])
    for bale in bales():
        cells: list[Any] = []
        for _, key, form in maker.columns:
            value = bale.get(key, form)
            if isinstance(value, datetime):
                local = value.astimezone(ZoneInfo(maker.zone)).replace(tzinfo=None)
                typed = {"date": local.date(), "clock": local.time()}.get(form, local)
                cells.append(cell(maker, bale, key, form) if "%" in form else typed)
            elif isinstance(value, int | float):
                cells.append(written(value, form))
            else:
                cells.append(maker.words.get(value, value))
        sheet.append(cells)
    if maker.totals:
        sheet.append([maker.totals, None, None, 3500.5])
    change(book)
    path = folder / f"{maker.name}.xlsx"
    book.save(path)
    return path


DE = {"net": "Netz", "film": "Folie", "twine": "Garn"}
FR = {"net": "Filet", "film": "Film", "twine": "Ficelle"}
PL = {"net": "siatka", "film": "folia", "twine": "sznurek"}
NL = {"net": "net", "film": "folie", "twine": "touw"}
_GERMAN = (
    *(("Maschine", "machine", ""), ("Ballen-Nr.", "bale_no", "")),
    *(("Datum", "at", "%d.%m.%Y"), ("Uhrzeit", "at", "%H:%M:%S"), ("Bindung", "binding", "")),
    *(("Gewicht [kg]", "mass_kg", "kg"), ("Feuchte [%]", "moisture_frac", "%")),
    *(("Folienverbrauch [m]", "film_m", "m"), ("Pressdruck [bar]", "chamber_bar", "bar")),
    ("Bemerkung", "note", "schön; trocken"),
)
_US = (
    *(("Serial Number", "machine", ""), ("Bale #", "bale_no", "")),
    *(("Date/Time", "at", "%m/%d/%Y %I:%M:%S %p"), ("Weight (lb)", "mass_kg", "lb")),
    *(("Moisture %", "moisture_frac", "%"), ("Bale Diameter (in)", "diameter_m", "in")),
    *(("Film Used (ft)", "film_m", "ft"), ("Chamber Pressure (psi)", "chamber_bar", "psi")),
    *(("Oil Temp (°F)", "oil_c", "f"), ("Ground Speed (mph)", "speed_m_s", "mph")),
    ("Preservative (gal)", "additive_l", "us_gal"),
)
_FRENCH = (
    *(("N° de série", "machine", ""), ("N° balle", "bale_no", "")),
    *(("Date et heure", "at", "%d/%m/%Y %H:%M:%S"), ("Liage", "binding", "")),
    *(("Poids (kg)", "mass_kg", "kg"), ("Humidité (%)", "moisture_frac", "%")),
    *(("Longueur film (m)", "film_m", "m"), ("Tours", "wrap_turns", "")),
)
_POLISH = (
    *(("Nr maszyny", "machine", ""), ("Nr beli", "bale_no", "")),
    *(("Data", "at", "%Y-%m-%d"), ("Godzina", "at", "%H:%M:%S"), ("Wiązanie", "binding", "")),
    *(("Masa [kg]", "mass_kg", "kg"), ("Wilgotność [%]", "moisture_frac", "%")),
    ("Średnica [cm]", "diameter_m", "cm"),
)
_DUTCH = (
    *(("Serienummer", "machine", ""), ("Baalnummer", "bale_no", "")),
    *(("Tijdstip", "at", "%d-%m-%Y %H:%M:%S"), ("Binding", "binding", "")),
    *(("Gewicht (kg)", "mass_kg", "kg"), ("Droge stof (%)", "moisture_frac", "%_dry_matter")),
    *(("Persdruk (bar)", "chamber_bar", "bar"), ("Wikkelingen", "wrap_turns", "")),
)


def _plain(time: tuple[str, str, str], *more: tuple[str, str, str]) -> tuple[Any, ...]:
    return (("Machine", "machine", ""), ("Bale No", "bale_no", ""), time, *more)


_TIME = ("Time", "at", "%Y-%m-%d %H:%M:%S")
_MASS = ("Weight kg", "mass_kg", "kg")
TEXTS = (
    Maker("german", _GERMAN, "Europe/Berlin", ";", ",", ".", "cp1252", DE),
    Maker("german-utf8", _GERMAN, "Europe/Vienna", ";", ",", "", "utf-8-sig", DE, end="\n"),
    Maker("german-quoted", _GERMAN, "Europe/Berlin", ";", ",", ".", "cp1252", DE,
          quoting=csv.QUOTE_ALL),
    Maker("german-titles", _GERMAN, "Europe/Berlin", ";", ",", ".", "cp1252", DE,
          titles=(("Ballenbericht",), ("Hof Nebelbach", "", "2031"), ())),
    Maker("german-totals", _GERMAN, "Europe/Berlin", ";", ",", ".", "cp1252", DE, totals="Summe"),
    Maker("german-utf16", _GERMAN, "Europe/Berlin", "\t", ",", ".", "utf-16", DE),
    Maker("german-short-year", tuple(
        (h, k, "%d.%m.%y" if h == "Datum" else f) for h, k, f in _GERMAN
    ), "Europe/Berlin", ";", ",", "", "latin-1", DE),
    Maker("us", _US, "America/Chicago", totals="Total"),
    Maker("us-thousands", _US, "America/Denver", thousands=",", quoting=csv.QUOTE_NONNUMERIC),
    Maker("us-tons", (*_US[:3], ("Weight (short tons)", "mass_kg", "us_ton")), "America/Chicago",
          places=9),
    Maker("us-pipe", _US, "America/Chicago", "|"),
    Maker("french", _FRENCH, "Europe/Paris", ";", ",", " ", "cp1252", FR),
    Maker("french-narrow", _FRENCH, "Europe/Paris", ";", ",", "\u202f", "utf-8", FR,
          totals="Total"),
    Maker("french-utf16be", _FRENCH, "Europe/Paris", ";", ",", "", "utf-16-be", FR),
    Maker("polish", _POLISH, "Europe/Warsaw", ";", ",", " ", "utf-8", PL, totals="Razem"),
    Maker("polish-tab", _POLISH, "Europe/Warsaw", "\t", ",", "", "utf-8-sig", PL),
    Maker("dutch", _DUTCH, "Europe/Amsterdam", ";", ",", ".", "cp1252", NL, totals="Totaal"),
    Maker("swiss", _GERMAN, "Europe/Zurich", ";", ".", "’", "utf-8", DE),
    Maker("iso", _plain(("Timestamp", "at", "iso"), _MASS), "Europe/London"),
    Maker("epoch", _plain(("UTC time", "at", "epoch_s"), _MASS)),
    Maker("epoch-ms", _plain(("timestamp", "at", "epoch_ms"), _MASS)),
    Maker("serial", _plain(("Date Time", "at", "serial"), _MASS), "Europe/Dublin", places=9),
    Maker("serial-comma", _plain(("Date Time", "at", "serial"), _MASS), "Europe/Dublin", ";", ",",
          places=9),
    Maker("units-in-cells", _plain(_TIME, ("Weight", "mass_kg", "kg")),
          with_unit=True),
    Maker("two-rows", _plain(_TIME, ("(lb)", "mass_kg", "lb"),
                             ("(%)", "moisture_frac", "%")),
          upper=("", "", "", "Weight", "Moisture")),
    Maker("merged", _plain(("Ende", "at", "%d.%m.%Y %H:%M:%S"), ("Gewicht [kg]", "mass_kg", "kg"),
                           ("Umdrehungen", "wrap_turns", ""), ("Folie [m]", "film_m", "m")),
          "Europe/Berlin", ";", ",", upper=("Ballen", "", "", "", "Wickler", "")),
    Maker("doubled", _plain(_TIME, _MASS, ("Weight kg", "mass_kg", "kg"))),
    Maker("kpa", _plain(("Time", "at", "%Y-%m-%dT%H:%M:%SZ"),
                        ("Pressure kPa", "chamber_bar", "kpa"),
                        ("Speed km/h", "speed_m_s", "km_h"),
                        ("Additive ml", "additive_l", "ml"))),
    Maker("month-names", _plain(("Time", "at", "%d %b %Y %H:%M:%S"), _MASS)),
    Maker("compact", _plain(("Time", "at", "%Y%m%d%H%M%S"), _MASS)),
    Maker("no-units", _plain(_TIME, ("Moisture", "moisture_frac", "%"),
                             ("Diameter", "diameter_m", "cm"), ("Film", "film_m", "m"))),
    Maker("metric-tonnes", _plain(_TIME, ("Weight t", "mass_kg", "t"),
                                  ("Plastic (yd)", "film_m", "yd")), places=9),
)  # fmt: skip
SHEETS = (
    Maker("sheet-german", tuple(
        (h, k, {"Datum": "date", "Uhrzeit": "clock"}.get(h, f)) for h, k, f in _GERMAN
    ), "Europe/Berlin", ";", ",", ".", words=DE, totals="Summe",
          titles=(("Ballenbericht",), ("Erstellt", "heute"))),
    Maker("sheet-us", tuple((h, k, "" if k == "at" else f) for h, k, f in _US),
          "America/Chicago"),
    Maker("sheet-text-dates", _DUTCH, "Europe/Amsterdam", ";", ",", words=NL),
    Maker("sheet-merged", _plain(("Ende", "at", ""), ("Gewicht [kg]", "mass_kg", "kg"),
                                 ("Umdrehungen", "wrap_turns", ""), ("Folie [m]", "film_m", "m")),
          "Europe/Berlin", upper=("Ballen", "", "", "", "Wickler", "")),
)  # fmt: skip
