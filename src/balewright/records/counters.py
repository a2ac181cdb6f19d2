"""Lifetime bales from what was seen of a machine's counters. They never go down."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.records.bales import BaleTable
from balewright.records.text_codes import code_texts

_UNTOLD: Final = np.iinfo(np.int64).min


@dataclass(frozen=True)
class CounterSpan:
    """Lowest and highest bale number seen under one epoch (None: nobody tells which)."""

    epoch: int | None
    lowest_no: int
    highest_no: int


@dataclass(frozen=True)
class Remarked:
    """A machine's marks as they were read, and as they are to be: a struck number is out."""

    before: tuple[CounterSpan, ...]
    after: tuple[CounterSpan, ...]


def spans_of(bales: BaleTable) -> dict[str, tuple[CounterSpan, ...]]:
    """What these bales show of each machine's counters; rows without machine or number add none."""
    rows = np.flatnonzero(bales.mask("machine") & bales.mask("bale_no"))
    if not len(rows):
        return {}
    machine, names = code_texts(bales.column("machine")[rows])
    epoch = np.where(bales.mask("counter_epoch"), bales.column("counter_epoch"), _UNTOLD)[rows]
    number = bales.column("bale_no")[rows]
    order = np.lexsort((epoch, machine))
    changed = (np.diff(machine[order]) != 0) | (np.diff(epoch[order]) != 0)
    starts = np.concatenate([[0], np.flatnonzero(changed) + 1])
    lows = np.minimum.reduceat(number[order], starts).tolist()
    highs = np.maximum.reduceat(number[order], starts).tolist()
    spans: dict[str, tuple[CounterSpan, ...]] = {}
    found = sorted(zip(order[starts].tolist(), lows, highs, strict=True))  # as they come
    for start, low, high in found:
        name, at = names[machine[start]], int(epoch[start])
        span = CounterSpan(None if at == _UNTOLD else at, low, high)
        spans[name] = (*spans.get(name, ()), span)
    return spans


def widen(spans: Iterable[CounterSpan]) -> tuple[CounterSpan, ...]:
    """One span for each epoch, as wide as all of its spans together; unknown epoch first."""
    widest: dict[int | None, CounterSpan] = {}
    for span in spans:
        other = widest.get(span.epoch, span)
        low, high = min(span.lowest_no, other.lowest_no), max(span.highest_no, other.highest_no)
        widest[span.epoch] = CounterSpan(span.epoch, low, high)
    return tuple(sorted(widest.values(), key=lambda span: -1 if span.epoch is None else span.epoch))


def lifetime_bales(spans: Iterable[CounterSpan]) -> int | None:
    """The lifetime count of one machine, None where it gives no numbers.

    Epochs add up. A new control whose lowest number is above the old one's highest was set to
    carry on and is not added. A number without an epoch may be a task's own: it only says that at
    least as many bales were made. Wider spans never give a lower count: the number is a mark that
    only rises.
    """
    total = at_least = highest = 0
    widest = widen(spans)
    for span in widest:
        if span.epoch is None:
            at_least = span.highest_no
            continue
        carries_on = total > 0 and span.lowest_no > highest
        total += span.highest_no - (highest if carries_on else 0)
        highest = span.highest_no
    return max(total, at_least) if widest else None
