"""What the cells of a column say of themselves: numbers, dates, their signs and their order."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from statistics import median
from typing import Final

from balewright.readers.mapped.clocks import read_moments
from balewright.readers.mapped.numbers import Writing
from balewright.readers.mapped.terms import UNKNOWN_WORDS
from balewright.readers.mapped.workbook import Cell, cell_text, typed_column

_NUMBER: Final = re.compile(
    r"[+\-−–]?\d[\d.,'’ \u00a0\u202f]*(?:[eE][+-]?\d+)?\s?[^\d\s]{0,5}|[.,]\d+"
)
_BODY: Final = re.compile(r"\d[\d.,'’ \u00a0\u202f]*|[.,]\d+")
_DAY: Final = re.compile(r"(\d{1,2})([-./])(\d{1,2})\2(\d{4}|\d{2})\b")
SAMPLES: Final = 5
LONGEST: Final = 80
"""Signs of a cell that are looked at: longer ones are texts."""


class Holds(StrEnum):
    """What most cells of a column are."""

    NOTHING = "nothing"
    NUMBERS = "numbers"
    MOMENTS = "moments"
    DATES = "dates"
    CLOCKS = "clocks"
    TEXTS = "texts"


@dataclass(frozen=True)
class Signs:
    """Votes of a column's numbers: for a decimal sign, and for a thousands sign.

    open: cells such as 1.234 that could be either.
    """

    decimal: Counter[str] = field(default_factory=Counter)
    thousands: Counter[str] = field(default_factory=Counter)
    open: Counter[str] = field(default_factory=Counter)


@dataclass(frozen=True)
class Evidence:
    """One column. samples: its first different cells; middle: median of its numbers as they would
    be read with either decimal sign, None without; orders: for which orders of day and month its
    dates decide; has_local: whether it has clock times without zone; unknown: words of it that
    commonly mean "not known"; distinct: its different texts, at most 60.
    """

    holds: Holds
    samples: tuple[str, ...]
    middle: float | None
    signs: Signs
    orders: frozenset[str]
    is_slashed: bool
    has_local: bool
    unknown: tuple[str, ...]
    distinct: tuple[str, ...]


def look_at_column(cells: Sequence[Cell]) -> Evidence:
    """What a column's cells say. cells: as they stand, None where empty."""
    filled = [cell for cell in cells if cell is not None and cell_text(cell).strip()]
    said = [cell_text(cell).strip()[:LONGEST] for cell in filled]
    unknown = tuple(dict.fromkeys(one for one in said if one.lower() in UNKNOWN_WORDS))
    plain = [one for one in said if one.lower() not in UNKNOWN_WORDS]
    signs, numbers = Signs(), []
    for cell, text in zip(filled, said, strict=True):
        if isinstance(cell, int | float):
            numbers.append(float(cell))
        elif isinstance(cell, str) and _NUMBER.fullmatch(text) and not _DAY.match(text):
            numbers.append(_vote(text, signs))
    holds, has_local = _holds(cells, len(plain), len(numbers))
    return Evidence(
        holds,
        tuple(dict.fromkeys(said))[:SAMPLES],
        median(numbers) if numbers else None,
        signs,
        _orders(said),
        any("/" in found[2] for one in said if (found := _DAY.match(one))),
        has_local,
        unknown,
        tuple(dict.fromkeys(plain))[:60],
    )


def _vote(text: str, signs: Signs) -> float:
    """Count what a number says of its signs; its size, with the likelier reading."""
    found = _BODY.search(text)
    body = (found[0] if found else "0").strip()
    marks = [sign for sign in body if not sign.isdigit()]
    if not marks:
        return float(body)
    last, kinds = marks[-1], set(marks)
    if len(kinds) > 1 and marks.count(last) > 1:  # no way of writing has both: it votes for none
        return float("".join(sign for sign in body if sign.isdigit()) or 0)
    decimal = ""
    if last in ".,":
        several = len(kinds) > 1
        grouped = re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", body) is not None
        if several:
            decimal = last
            signs.decimal[last] += 1
        elif len(marks) > 1:
            signs.thousands[last] += 1
        elif grouped and body[0] != "0":
            signs.open[last] += 1
            decimal = last
        else:
            decimal = last
            signs.decimal[last] += 1
    for sign in kinds - {decimal}:
        signs.thousands[" " if sign in " \u00a0\u202f" else "'" if sign in "'’" else sign] += 1
    kept = [sign for sign in body if sign.isdigit() or sign == decimal]
    return float("".join(kept).replace(decimal or ".", ".") or 0)


def _orders(said: Sequence[str]) -> frozenset[str]:
    """A 13 decides which of two numbers is no month."""
    orders = set()
    for one in said:
        if found := _DAY.match(one):
            first, second = int(found[1]), int(found[3])
            if first > 12 >= second:
                orders.add("dmy")
            elif second > 12 >= first:
                orders.add("mdy")
    return frozenset(orders)


def _holds(cells: Sequence[Cell], plain: int, numbers: int) -> tuple[Holds, bool]:
    """What most cells are, and whether clocks without zone are among them."""
    if not plain:
        return Holds.NOTHING, False
    if numbers == plain and not any(isinstance(one, str) and len(one) in (8, 14) for one in cells):
        return Holds.NUMBERS, False  # but for dates without any sign between
    raw = typed_column(list(cells))
    best, has_local = (Holds.TEXTS, 0), False
    for holds, form in ((Holds.DATES, "date"), (Holds.MOMENTS, ""), (Holds.CLOCKS, "clock")):
        for order in ("dmy", "mdy"):
            moments = read_moments(raw, form, order, Writing(".", "", UNKNOWN_WORDS))
            count = int(moments.known.sum())
            if count > best[1]:
                best = (holds, count)
                has_local = form == "" and bool((moments.known & ~moments.is_utc).any())
    if best[1] * 10 >= plain * 6:
        return best[0], has_local
    return (Holds.NUMBERS if numbers * 10 >= plain * 6 else Holds.TEXTS), False


def agreed_signs(columns: Sequence[Evidence]) -> tuple[str, str, bool]:
    """Decimal sign, thousands sign, and whether the cells decide them."""
    decimal, thousands, either = Counter[str](), Counter[str](), Counter[str]()
    for one in columns:
        if one.holds is Holds.NUMBERS:
            decimal += one.signs.decimal
            thousands += one.signs.thousands
            either += one.signs.open
    sign = decimal.most_common(1)[0][0] if decimal else ""
    group = next((one for one, _ in thousands.most_common() if one != sign), "")
    if not sign and group in (".", ","):
        sign = "," if group == "." else "."
    if not sign and either:
        # 1.234 alone is a thousand or a bit more than one: nobody can tell.
        return either.most_common(1)[0][0], "", False
    if sign and not group and (other := "," if sign == "." else ".") in either:
        group = other
    is_sure = not (len(decimal) > 1 and min(decimal.values()) * 10 > sum(decimal.values()))
    return sign or ".", group, is_sure


def agreed_order(columns: Sequence[Evidence]) -> tuple[str, bool]:
    """Order of day and month in dates, and whether a cell decides it."""
    orders = frozenset[str]().union(*(one.orders for one in columns))
    if len(orders) == 1:
        return next(iter(orders)), True
    dated = [one for one in columns if one.holds in (Holds.MOMENTS, Holds.DATES)]
    needed = any(_DAY.match(sample) for one in dated for sample in one.samples)
    if not needed:
        return "ymd", True
    return ("mdy" if any(one.is_slashed for one in dated) else "dmy"), False
