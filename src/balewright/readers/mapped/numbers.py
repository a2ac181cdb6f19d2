"""Numbers as other programs write them: decimal and thousands signs, units in the cell."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from balewright.readers.mapped.raw import RawColumn

DECIMALS: Final = (".", ",")
THOUSANDS: Final = ("", ".", ",", " ", "'")
_MINUS: Final = "[-−–]"
_BLANKS: Final = "[ \u00a0\u202f\u2009]"
_SIGN_CLASSES: Final = {"": "", ".": r"\.", ",": ",", " ": _BLANKS, "'": "['’]"}
_THOUSANDS_SAID: Final = {".": "points", ",": "commas", " ": "blanks", "'": "apostrophes"}


@dataclass(frozen=True)
class Writing:
    """How numbers are written. unknown: words that mean "not known", stripped, lower case."""

    decimal: str
    thousands: str
    unknown: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """As a need: `a decimal comma, thousands with points`."""
        with_sign = "a decimal comma" if self.decimal == "," else "a decimal point"
        more = _THOUSANDS_SAID.get(self.thousands)
        return f"{with_sign}, thousands {f'with {more}' if more else 'without a sign'}"


@dataclass(frozen=True)
class Numbers:
    """values: as written, not yet converted, shape (rows,); known, failed: masks."""

    values: NDArray[np.float64]
    known: NDArray[np.bool_]
    failed: NDArray[np.bool_]


def read_numbers(column: RawColumn, writing: Writing, signs: tuple[str, ...] = ()) -> Numbers:
    """Numbers of a column. signs: how the column's own unit may stand behind one.

    A cell that is a date, or no number in this writing, is failed; blanks and words of `unknown`
    are not known.
    """
    numbers = _read_text(column.text, writing, signs)
    if column.numbers is None or column.local_us is None:
        return numbers
    typed = ~np.isnan(column.numbers)
    values = np.where(typed, column.numbers, numbers.values)
    dates = column.filled & ~typed & np.array(column.text.is_null())
    return Numbers(values + 0.0, numbers.known | typed, numbers.failed | dates)


def _read_text(cells: pa.StringArray, writing: Writing, signs: tuple[str, ...]) -> Numbers:
    at_once = _cast_all(cells, writing)
    if at_once is not None:
        return at_once
    known, cells = without_unknown(cells, writing.unknown)
    pattern = _pattern(writing, signs)
    fits = pc.match_substring_regex(cells, pattern.pattern, ignore_case=True).fill_null(False)
    good = np.array(fits)
    plain = _plain(cells.filter(fits), pattern, writing)
    values = np.zeros(len(cells))
    values[good] = np.array(plain.cast(pa.float64()))
    return Numbers(values + 0.0, known & good, known & ~good)


def _cast_all(cells: pa.StringArray, writing: Writing) -> Numbers | None:
    """All cells at once; None where one needs a closer look."""
    if any(word and word[0] in "0123456789+-." for word in writing.unknown):
        return None
    text = cells
    if writing.decimal == ",":
        if pc.any(pc.match_substring(cells, ".")).as_py():
            return None
        text = pc.replace_substring(cells, ",", ".")
    try:
        numbers = text.cast(pa.float64())
    except pa.ArrowInvalid:
        return None
    known = np.array(cells.is_valid())
    values = np.array(numbers.fill_null(0.0)) + 0.0
    failed = ~np.isfinite(values)
    return Numbers(np.where(failed, 0.0, values), known & ~failed, failed)


def without_unknown(
    cells: pa.StringArray, unknown: tuple[str, ...]
) -> tuple[NDArray[np.bool_], pa.StringArray]:
    """Where something is known, and the cells without blanks round them, null elsewhere."""
    text = pc.utf8_trim_whitespace(cells)
    words = pa.array([*{"", *unknown}], pa.string())
    nothing = pc.is_in(pc.utf8_lower(text), value_set=words)
    known = pc.and_(text.is_valid(), pc.invert(nothing)).fill_null(False)
    return np.array(known), pc.if_else(known, text, pa.scalar(None, pa.string()))


def _pattern(writing: Writing, signs: tuple[str, ...]) -> re.Pattern[str]:
    """A number in this writing; the same for RE2 and for `re`."""
    mark = re.escape(writing.decimal)
    whole = r"\d+"
    if writing.thousands:
        whole = rf"(?:\d{{1,3}}(?:{_SIGN_CLASSES[writing.thousands]}\d{{3}})+|\d+)"
    unit = "|".join(re.escape(sign) for sign in sorted(signs, key=len, reverse=True))
    behind = rf"(?:{_BLANKS}*(?:{unit}))?" if unit else ""
    number = rf"(?:{whole}(?:{mark}\d*)?|{mark}\d+)(?:e[+-]?\d{{1,3}})?"
    return re.compile(rf"^(?P<minus>[+]|{_MINUS})?{_BLANKS}?(?P<number>{number}){behind}$")


def _plain(cells: pa.StringArray, pattern: re.Pattern[str], writing: Writing) -> pa.StringArray:
    """Cells that fit -> numbers as Arrow reads them."""
    if not len(cells):
        return pa.array([], pa.string())
    parts = pc.extract_regex(cells, f"(?i){pattern.pattern}")
    number = pc.struct_field(parts, "number")
    if writing.thousands:
        number = pc.replace_substring_regex(number, _SIGN_CLASSES[writing.thousands], "")
    number = pc.replace_substring(number, writing.decimal, ".")
    minus = pc.match_substring_regex(pc.struct_field(parts, "minus"), f"^{_MINUS}$")
    return pc.binary_join_element_wise(pc.if_else(minus, "-", ""), number, "")
