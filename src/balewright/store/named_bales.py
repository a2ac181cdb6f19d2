"""Every name a machine's bales answer to, and the numbers that corrections struck."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import pyarrow as pa

from balewright.records.bale_keys import row_keys, write_keys
from balewright.records.corrections import Correction
from balewright.records.counters import CounterSpan, spans_of, widen
from balewright.records.identity import TELLING, read_marks
from balewright.store.arrow import bales_from_arrow
from balewright.store.resolve import PROVENANCE, work_out

COUNTING: Final = ("bale_no", "counter_epoch")
"""Columns whose correction may strike a number that made a counter's mark."""

NAMING: Final = (*TELLING, *PROVENANCE)
"""Columns that are enough here."""


@dataclass(frozen=True)
class Named:
    """Names of one machine's bales.

    answers: by key, every key the bale answers to, whatever is taken in or corrected later;
    keys: by any such key, the bale's own now; numbers: by the machine's number, keys of its
    bales in the order they were made.
    """

    answers: Mapping[str, tuple[str, ...]]
    keys: Mapping[str, str]
    numbers: Mapping[int, tuple[str, ...]]


def name_bales(rows: pa.Table, corrections: Sequence[Correction]) -> Named:
    """Names of a machine's bales. rows: all of it, NAMING at least."""
    worked = work_out(rows, corrections)
    marks = worked.corrected.marks
    now = write_keys(marks, marks.epoch, worked.sources, worked.files)
    raw = read_marks(bales_from_arrow(rows.select(list(TELLING))), worked.sources)
    own = row_keys(raw, worked.sources, worked.files)
    group = worked.choice.group.tolist()
    answers: dict[str, dict[str, None]] = {}
    keys: dict[str, str] = {}
    numbers: dict[int, dict[str, None]] = {}
    first: dict[int, str] = {}
    for row in worked.choice.rank.tolist():
        first.setdefault(group[row], now[row])
    for row in worked.order.tolist():
        key = first[group[row]]
        answers.setdefault(key, {key: None})[own[row]] = None
        keys.setdefault(own[row], key)
        if marks.numbered[row]:
            numbers.setdefault(int(marks.number[row]), {})[key] = None
    keys.update((key, key) for key in answers)
    return Named(
        {key: tuple(found) for key, found in answers.items()},
        keys,
        {number: tuple(found) for number, found in numbers.items()},
    )


def mark_anew(
    kept: Sequence[CounterSpan], rows: pa.Table, corrections: Sequence[Correction]
) -> tuple[CounterSpan, ...]:
    """A machine's counter marks once its corrections count.

    A mark that a corrected number made falls back to the rows that are left, one that no row is
    left for goes; every other stays, also above all rows. kept: the marks as they are; rows: the
    machine's, NAMING at least.
    """
    worked = work_out(rows, corrections)
    now = worked.corrected.telling
    before = bales_from_arrow(rows.select(list(TELLING)))
    left = {one.epoch: one for spans in spans_of(now).values() for one in widen(spans)}
    struck = set()
    laid = [one.rows for one in worked.corrected.overlays if one.column in COUNTING]
    for row in np.flatnonzero(np.any(laid, axis=0)).tolist() if laid else ():
        was = (before.cell(row, "counter_epoch"), before.cell(row, "bale_no"))
        if was != (now.cell(row, "counter_epoch"), now.cell(row, "bale_no")):
            struck.add(was)
    found = list(left.values())
    for mark in kept:
        ends = [mark.lowest_no, mark.highest_no]
        other = left.get(mark.epoch)
        inner = [end for end in ends if (mark.epoch, end) not in struck]
        if other is not None:
            inner += [other.lowest_no, other.highest_no]
        if inner:
            found.append(CounterSpan(mark.epoch, min(inner), max(inner)))
    return widen(found)
