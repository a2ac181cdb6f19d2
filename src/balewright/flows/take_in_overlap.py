"""Which bales of a file are new, which earlier files had, and which it gives again.

Which rows are one bale is what `records.identity` says, here as in the journal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.records.bales import BaleTable, concatenate, masked_table
from balewright.records.counters import CounterSpan
from balewright.records.identity import (
    BALE_TIMES,
    REWRAPPED,
    Sources,
    bale_times,
    tell_bales_apart,
)
from balewright.store.journal import Journal

Spans = Sequence[CounterSpan]

_TELLING: Final = ("bale_no", "counter_epoch", "status")


@dataclass(frozen=True)
class Overlap:
    """Bales that are new, that earlier files had, rows given again; None where not told."""

    new: int | None = None
    known: int | None = None
    again: int | None = None


def kept_for_overlap(bales: BaleTable) -> BaleTable:
    """As little of some bales as tells those of one machine apart: number, epoch, their time, and
    the status where one of them is a further pass.
    """
    passes = bales.mask("status") & (bales.column("status") == REWRAPPED)
    names = _TELLING if passes.any() else _TELLING[:2]
    values = {name: bales.column(name) for name in names}
    known = {name: bales.mask(name) for name in names}
    values["gate_open_at"], known["gate_open_at"] = bale_times(bales)
    return masked_table(bales.rows, values, known)


def tell_overlap(
    journal: Journal, serial: str, tables: Sequence[BaleTable], spans: tuple[Spans, Spans]
) -> Overlap:
    """How the rows of one machine meet what the journal has of it.

    tables: from `kept_for_overlap`; spans: of this file, and of all earlier ones. The journal is
    read only where they may meet: the next day's bales cost nothing.
    """
    if not tables:
        return Overlap(0, 0, 0)
    given = concatenate(tables)
    if not _may_meet(given, spans):
        return _alone(given)
    kept = journal.read_bales(serial, (*_TELLING, *BALE_TIMES))
    if not kept.rows:
        return _alone(given)
    both = concatenate([kept_for_overlap(kept), given])
    is_given = np.arange(both.rows) >= kept.rows
    group = tell_bales_apart(_named(both), _sources(is_given)).group
    had, has = np.unique(group[~is_given]), np.unique(group[is_given])
    known = int(np.isin(has, had).sum())
    return Overlap(len(has) - known, known, given.rows - len(has))


def _may_meet(given: BaleTable, spans: tuple[Spans, Spans]) -> bool:
    if not given.mask("bale_no").all():
        return True
    own, earlier = spans
    return any(
        one.lowest_no <= other.highest_no and other.lowest_no <= one.highest_no
        for one in own
        for other in earlier
    )


def _alone(given: BaleTable) -> Overlap:
    """Rows that meet nothing of the journal. Numbers told once each are each a bale."""
    passes = given.mask("status") & (given.column("status") == REWRAPPED)
    numbered = given.mask("bale_no").all() and not passes.any()
    if numbered and len(np.unique(given.column("bale_no"))) == given.rows:
        return Overlap(given.rows, 0, 0)
    nobody = np.ones(given.rows, dtype=np.bool_)
    bales = int(tell_bales_apart(_named(given), _sources(nobody)).group.max(initial=-1)) + 1
    return Overlap(bales, 0, given.rows - bales)


def _named(bales: BaleTable) -> BaleTable:
    """The same bales, with a machine: which it is does not matter where there is one."""
    values = {**bales.values, "machine": np.full(bales.rows, "one", dtype=object)}
    known = {**bales.known, "machine": np.ones(bales.rows, dtype=np.bool_)}
    return masked_table(bales.rows, values, known)


def _sources(is_given: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> Sources:
    rows = np.arange(len(is_given), dtype=np.int64)
    return Sources(is_given.astype(np.int64), rows, np.zeros(len(rows), dtype=np.int64))
