"""Dates and times as other programs write them -> clock microseconds, not yet in any zone."""

from __future__ import annotations

import re
from typing import Final

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from balewright.readers.mapped.clock_digits import read_alike
from balewright.readers.mapped.moments import DAY_US, Moments, days_of
from balewright.readers.mapped.numbers import Writing, read_numbers, without_unknown
from balewright.readers.mapped.raw import NOT_A_TIME, RawColumn

CLOCK_FORMS: Final = ("", "date", "clock", "epoch_s", "epoch_ms", "serial")
"""What a column of times may hold: date and time, one of them, seconds or milliseconds since
1970 UTC, days since the last of 1899 as spreadsheets count them."""
DAY_ORDERS: Final = ("ymd", "dmy", "mdy")
_SERIAL_EPOCH_DAYS: Final = 25_569
_ISO_DAY: Final = r"(?P<y>\d{4})[-./](?P<m>\d{1,2})[-./](?P<d>\d{1,2})"
_TIGHT_DAY: Final = r"(?P<y>\d{4})(?P<m>\d{2})(?P<d>\d{2})"
_DAYS: Final = {
    "dmy": r"(?P<d>\d{1,2})[-./](?P<m>\d{1,2})[-./](?P<y>\d{4}|\d{2})",
    "mdy": r"(?P<m>\d{1,2})[-./](?P<d>\d{1,2})[-./](?P<y>\d{4}|\d{2})",
}
_CLOCK: Final = (
    r"(?P<h>\d{1,2})[:.hH](?P<min>\d{2})(?:[:.](?P<s>\d{2})(?:[.,](?P<f>\d{1,9}))?)?"
    r"(?: ?(?P<half>[AaPp])\.?[Mm]\.?)?"
)
_OFFSET: Final = r" ?(?P<zone>Z|(?:UTC|GMT)?[+-]\d{2}:?\d{2}|UTC|GMT)?"
_MONTHS: Final = {
    word: number
    for number, words in enumerate(
        (
            "jan january januar januari janv janvier sty stycznia styczeń",
            "feb february februar februari févr février fevr fevrier lut lutego luty",
            "mar march märz mär maerz mrz maart mrt mars marca marzec",
            "apr april avr avril kwi kwietnia kwiecień",
            "may mai mei maja maj",
            "jun june juni juin cze czerwca czerwiec",
            "jul july juli juil juillet lip lipca lipiec",
            "aug august augustus août aout sie sierpnia sierpień",
            "sep sept september septembre wrz września wrzesień",
            "oct october okt oktober octobre paź października październik",
            "nov november novembre lis listopada listopad",
            "dec december dez dezember déc décembre decembre gru grudnia grudzień",
        ),
        1,
    )
    for word in words.split()
}
_NAMED: Final = (
    re.compile(r"(?P<d>\d{1,2})[.\s-]+(?P<m>[^\W\d]+)\.?[\s-]+(?P<y>\d{4}|\d{2})(?P<rest>.*)"),
    re.compile(r"(?P<m>[^\W\d]+)\.?[\s-]+(?P<d>\d{1,2}),?[\s-]+(?P<y>\d{4}|\d{2})(?P<rest>.*)"),
)


def read_moments(column: RawColumn, form: str, day_order: str, writing: Writing) -> Moments:
    """Times of a column in one of CLOCK_FORMS."""
    if form in ("epoch_s", "epoch_ms", "serial"):
        return _counted(column, form, writing)
    moments = _read_text(column.text, form, day_order, writing.unknown)
    if column.local_us is None or column.numbers is None:
        return moments
    typed = column.local_us != NOT_A_TIME
    given = np.where(typed, column.local_us, 0)
    wrong = np.zeros(len(typed), dtype=np.bool_)
    if form == "clock":
        wrong = typed & (given < 0)
        given = given % DAY_US
    elif form == "date":
        wrong = typed & (given % DAY_US != 0)
    else:
        wrong = typed & (np.abs(given) < DAY_US)
    known = typed & ~wrong
    return Moments(
        np.where(known, given, moments.local_us),
        moments.is_utc & ~typed,
        moments.known | known,
        moments.failed | wrong | ~np.isnan(column.numbers),
    )


def _counted(column: RawColumn, form: str, writing: Writing) -> Moments:
    """Seconds, milliseconds or days since an epoch."""
    numbers = read_numbers(column, writing)
    dated = np.zeros(len(numbers.known), dtype=np.bool_)
    local_us = np.zeros(len(numbers.known), dtype=np.int64)
    ok = numbers.known & (np.abs(numbers.values) < 1e14)
    if form == "serial":
        ok &= np.abs(numbers.values) < 1e6
        # Days in doubles are good to a few microseconds; programs mean milliseconds.
        days = np.where(ok, numbers.values, 0.0) - _SERIAL_EPOCH_DAYS
        local_us = np.rint(days * (DAY_US / 1000)).astype(np.int64) * 1000
        if column.local_us is not None:
            dated = column.local_us != NOT_A_TIME
            local_us = np.where(dated, column.local_us, local_us)
    else:
        each = 1_000_000 if form == "epoch_s" else 1000
        written = np.where(ok, numbers.values, 0.0)
        whole = np.floor(written)
        local_us = whole.astype(np.int64) * each + np.rint((written - whole) * each).astype(
            np.int64
        )
    is_utc = np.full(len(ok), form != "serial")
    failed = (numbers.failed | (numbers.known & ~ok)) & ~dated
    return Moments(local_us, is_utc, ok | dated, failed)


def _read_text(
    cells: pa.StringArray, form: str, day_order: str, unknown: tuple[str, ...]
) -> Moments:
    known, cells = without_unknown(cells, unknown)
    found = _extract(cells, form, day_order)
    again = np.flatnonzero(known & found.failed)
    if len(again) and form != "clock":
        said = cells.take(pa.array(again))
        renamed = pa.array([_numbered(cell) for cell in said.to_pylist()], pa.string())
        more = _extract(renamed, form, day_order)
        for mine, theirs in zip(
            (found.local_us, found.is_utc, found.known, found.failed),
            (more.local_us, more.is_utc, more.known, more.failed),
            strict=True,
        ):
            mine[again] = theirs
    return Moments(found.local_us, found.is_utc, found.known & known, found.failed & known)


def _numbered(cell: str) -> str:
    """A date with the month's name as one with its number; as it stands where there is none."""
    for pattern in _NAMED:
        found = pattern.fullmatch(cell)
        month = _MONTHS.get(found["m"].lower()) if found else None
        if found and month:
            year = found["y"] if len(found["y"]) == 4 else f"20{found['y']}"
            return f"{year}-{month:02d}-{int(found['d']):02d}{found['rest']}"
    return cell


def _extract(cells: pa.StringArray, form: str, day_order: str) -> Moments:
    """Every cell by the patterns of its form; failed where none fits."""
    rows = len(cells)
    result = Moments(
        np.zeros(rows, dtype=np.int64),
        np.zeros(rows, dtype=np.bool_),
        np.zeros(rows, dtype=np.bool_),
        np.ones(rows, dtype=np.bool_),
    )
    patterns = _patterns(form, day_order)
    read_alike(cells, patterns, result)
    for pattern in patterns:
        left = np.flatnonzero(result.failed)
        if not len(left):
            break
        parts = pc.extract_regex(cells.take(pa.array(left)), pattern)
        fits = np.array(parts.is_valid())
        if not fits.any():
            continue
        places = left[fits]
        local_us, is_utc, good = _moments_of(parts.filter(pa.array(fits)), pattern)
        places = places[good]
        result.local_us[places], result.is_utc[places] = local_us[good], is_utc[good]
        result.known[places], result.failed[places] = True, False
    return result


def _patterns(form: str, day_order: str) -> tuple[str, ...]:
    if form == "clock":
        return (f"^{_CLOCK}$",)
    days = [_ISO_DAY] + ([_DAYS[day_order]] if day_order in _DAYS else [])
    if form == "date":
        return tuple(f"^{day}(?:[T ]00:00(?::00)?)?$" for day in [*days, _TIGHT_DAY])
    tight = f"^{_TIGHT_DAY}[T ]?(?P<h>\\d{{2}})(?P<min>\\d{{2}})(?P<s>\\d{{2}}){_OFFSET}$"
    return (*(f"^{day}[T ,]+{_CLOCK}{_OFFSET}$" for day in days), tight)


def _moments_of(
    parts: pa.StructArray, pattern: str
) -> tuple[NDArray[np.int64], NDArray[np.bool_], NDArray[np.bool_]]:
    """Microseconds, where they are UTC, and where day and clock exist."""
    names = set(re.findall(r"\?P<(\w+)>", pattern))
    rows = len(parts)
    good = np.ones(rows, dtype=np.bool_)
    local_us = np.zeros(rows, dtype=np.int64)
    is_utc = np.zeros(rows, dtype=np.bool_)
    if "y" in names:
        days, good = days_of(*(_whole(parts, name) for name in ("y", "m", "d")))
        local_us += days * DAY_US
    if "h" in names:
        clock_us, told = _clock(parts, names)
        local_us, good = local_us + clock_us, good & told
    if "zone" in names:
        zones = pc.struct_field(parts, "zone")
        is_utc = np.array(pc.not_equal(zones, ""))
        local_us -= _offsets(zones)
    return local_us, is_utc, good


def _whole(parts: pa.StructArray, name: str) -> NDArray[np.int64]:
    text = pc.struct_field(parts, name)
    return np.array(pc.if_else(pc.equal(text, ""), "0", text).cast(pa.int64()))


def _clock(parts: pa.StructArray, names: set[str]) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    hour, minute, second = (_whole(parts, name) for name in ("h", "min", "s"))
    good = (hour <= 23) & (minute <= 59) & (second <= 59)
    if "half" in names:
        half = pc.utf8_lower(pc.struct_field(parts, "half"))
        halved, late = np.array(pc.not_equal(half, "")), np.array(pc.equal(half, "p"))
        good &= ~halved | ((hour >= 1) & (hour <= 12))
        hour = np.where(halved, hour % 12 + 12 * late, hour)
    clock_us = ((hour * 60 + minute) * 60 + second) * 1_000_000
    if "f" in names:
        padded = pc.utf8_slice_codeunits(
            pc.binary_join_element_wise(pc.struct_field(parts, "f"), "000000", ""), 0, 6
        )
        clock_us = clock_us + np.array(padded.cast(pa.int64()))
    return clock_us, np.asarray(good, dtype=np.bool_)


def _offsets(zones: pa.StringArray) -> NDArray[np.int64]:
    """Microseconds east of UTC; 0 for Z and for none."""
    coded = zones.dictionary_encode()
    offsets = np.array([_offset(word) for word in coded.dictionary.to_pylist()], dtype=np.int64)
    return offsets[np.array(coded.indices)] if len(offsets) else np.zeros(len(zones), np.int64)


def _offset(word: str) -> int:
    digits = word.removeprefix("UTC").removeprefix("GMT").replace(":", "")
    if len(digits) != 5:
        return 0
    size = (int(digits[1:3]) * 60 + int(digits[3:5])) * 60_000_000
    return -size if digits[0] == "-" else size
