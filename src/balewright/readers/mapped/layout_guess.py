"""How a table is laid out, guessed: separator, the row of the headings, one row of them or two."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from balewright.readers.mapped.heads import HEAD_ROWS, SAMPLE_ROWS, Rows, Source, texts
from balewright.readers.mapped.text_rows import SEPARATORS
from balewright.readers.mapped.workbook import Cell

_LOOKED_AT: Final = 60
_LONGEST_VALUE: Final = 64
_VALUE: Final = re.compile(
    r"[+-]?[\d.,:/\s'’-]*\d[\d.,:/\s'’T Z+-]*(?:\s?(?:%|[AaPp][Mm]|[a-z]{1,3}))?"
)
"""What is rather a number, a date or a time than a heading."""
_UNIT_ONLY: Final = re.compile(r"[\[(]?[^\s\d]{1,7}[\])]?")


@dataclass(frozen=True)
class Layout:
    """separator: "" of a spreadsheet; head_row: from 0; head_rows: 1 or 2; width: headings."""

    separator: str
    head_row: int
    head_rows: int
    width: int


def guess_separator(source: Source, encoding: str) -> str | None:
    """The separator that cuts most rows into equally many cells, at least two; None without one."""
    best: tuple[float, int, str] | None = None
    for separator in SEPARATORS:
        rows = source.text_rows(encoding, separator, SAMPLE_ROWS)[:_LOOKED_AT]
        widths = Counter(len(cells) for _, cells in rows if any(texts(cells)))
        widths.pop(1, None)
        if not widths:
            continue
        width, count = max(widths.items(), key=lambda one: (one[1], one[0]))
        score = (count * min(width, 12), width, separator)
        best = score if best is None or score[:2] > best[:2] else best
    return None if best is None else best[2]


def guess_layout(rows: Rows, separator: str) -> Layout | None:
    """Where the headings are; None where no row looks like headings over rows of values."""
    filled = {row: texts(cells) for row, cells in rows[: HEAD_ROWS + _LOOKED_AT]}
    sizes = Counter(_size(cells) for cells in filled.values() if _size(cells) >= 2)
    if not sizes:
        return None
    usual = max(sizes.items(), key=lambda one: (one[1], one[0]))[0]
    typed = dict(rows)
    for row in sorted(filled):
        if row >= HEAD_ROWS:
            break
        below = [filled[at] for at in sorted(filled) if at > row]
        if not _is_head(filled[row], typed[row], usual) or not below:
            continue
        two = row + 1 in filled and _goes_on(filled[row], filled[row + 1], below[1:])
        width = max(_size(filled[row]), _size(filled[row + 1]) if two else 0)
        return Layout(separator, row, 2 if two else 1, width)
    return None


def _size(cells: Sequence[str]) -> int:
    """How many cells up to the last that holds something."""
    return max((place + 1 for place, cell in enumerate(cells) if cell), default=0)


def is_value(cell: str) -> bool:
    """Whether a text is rather a number, a date or a time than a word."""
    return len(cell) <= _LONGEST_VALUE and bool(_VALUE.fullmatch(cell))


def _is_head(cells: list[str], typed: list[Cell], usual: int) -> bool:
    """Words in most of the usual columns, and no value among them."""
    said = [cell for cell in cells if cell]
    if len(said) < 2 or any(is_value(cell) for cell in said):
        return False
    if any(isinstance(cell, int | float | list) for cell in typed):
        return False
    return _size(cells) >= max(2, usual - 2) or len(said) * 2 > usual


def _goes_on(upper: list[str], lower: list[str], below: list[list[str]]) -> bool:
    """Whether a second row of headings stands below: units, or parts of merged headings."""
    said = [cell for cell in lower if cell]
    if not said or any(is_value(cell) for cell in said) or not below:
        return False
    if sum(bool(_UNIT_ONLY.fullmatch(cell)) for cell in said) == len(said) and not all(
        len(cell) > 3 for cell in said
    ):
        return any(is_value(cell) for cell in below[0])
    merged = any(
        not above and low for above, low in zip(upper[1 : len(lower)], lower[1:], strict=False)
    )
    return merged and any(is_value(cell) for cell in below[0])
