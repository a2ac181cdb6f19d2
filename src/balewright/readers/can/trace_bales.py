"""A trace as bales and events, for the journal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, Final

import numpy as np

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.cycle_rules import rules_for
from balewright.readers.can.diagnostics import CodeEpisode
from balewright.readers.can.samples import HELD_SAMPLES
from balewright.readers.can.trace import Trace, open_trace, signal_pieces
from balewright.readers.reading import Reading
from balewright.records.bales import BaleTable, bale_table, masked_table
from balewright.records.columns import COLUMNS, Kind
from balewright.records.cycles.bale_rows import to_bales
from balewright.records.cycles.cutting import cut_cycles, cut_pieces
from balewright.records.cycles.cycles import Cycles
from balewright.records.events import Event, EventKind
from balewright.records.intake import MAX_BATCH_ROWS, Batch, Doubt, Places, PlaceUnit
from balewright.records.quality import Mark
from balewright.records.signals import Signals

_TIMES: Final = tuple(column.name for column in COLUMNS if column.kind is Kind.TIME)
_NEVER_US: Final = np.iinfo(np.int64).max


def trace_batches(path: Path, reading: Reading) -> Iterator[Batch]:
    """Bales cut from the signals of a trace, and the codes that came and went as events.

    A trace of more samples than are to be held is read twice, its bales cut piece by piece, so that
    memory stays bounded however long it is.

    reading: must say which machine the trace is of. Raises BadInput without it, for a trace that
    does not say when it began, and as `open_trace` does.
    """
    machine = reading.machine
    if machine is None:
        need = "the machine that the trace is of"
        cure = (
            "Name it: in the shell with --machine SERIAL, at the desk under “Say what the files "
            "do not say themselves”."
        )
        raise BadInput(Fault(path.name, need, "none", cure))
    trace = open_trace(path, reading, HELD_SAMPLES)
    if not trace.dated:
        need = "a trace that says when it began"
        cure = "Say it, as in --begins 2031-06-14T09:30:00Z."
        raise BadInput(Fault(path.name, need, "times from 0", cure))
    events = tuple(code_events(machine, trace.diagnostics))
    doubts = (*trace.doubts, *_untold(path, trace))
    yield Batch(bale_table(0, {}), events, trace.refusals, doubts)
    rules = rules_for(reading.profile)
    pieces: Iterable[tuple[Cycles, Signals]]
    if trace.spilled:
        pieces = cut_pieces(signal_pieces(path, reading, trace), rules)
    else:
        pieces = iter([(cut_cycles(trace.signals, rules), trace.signals)])
    for cycles, signals in pieces:
        yield from _batches(cycles, signals, trace)


def _batches(cycles: Cycles, signals: Signals, trace: Trace) -> Iterator[Batch]:
    """The bales of some cycles; none where none of them is over."""
    if not cycles.rows and not cycles.doubts:
        return
    bales, doubts, messages = to_bales(cycles, signals)
    bales = with_codes(bales, trace)
    if doubts:
        yield Batch(bale_table(0, {}), (), (), doubts)
    for start in range(0, bales.rows, MAX_BATCH_ROWS):
        rows = np.arange(start, min(start + MAX_BATCH_ROWS, bales.rows))
        file = np.full(len(rows), "", object)
        yield Batch(bales.take(rows), places=Places(file, messages[rows], PlaceUnit.MESSAGE))


def with_codes(bales: BaleTable, trace: Trace) -> BaleTable:
    """The same bales with the codes that were there during the cycle of each, from its first
    known time to its last; unknown where there were none."""
    first = np.full(bales.rows, _NEVER_US)
    last = np.full(bales.rows, -1)
    for name in _TIMES:
        known, times = bales.mask(name), bales.column(name)
        first[known] = np.minimum(first[known], times[known])
        last[known] = np.maximum(last[known], times[known])
    codes: Any = np.full(bales.rows, "", object)
    for row in range(bales.rows):
        there = trace.diagnostics_between(int(first[row]), int(last[row])) if last[row] >= 0 else ()
        codes[row] = " ".join(dict.fromkeys(one.text for one in there))
    return masked_table(
        bales.rows,
        {**bales.values, "codes": codes},
        {**bales.known, "codes": codes != ""},
    )


def code_events(machine: str, diagnostics: tuple[CodeEpisode, ...]) -> Iterator[Event]:
    """An event for each code that came, and one for each that went."""
    for one in diagnostics:
        if not one.active:
            continue
        value = None if one.occurrence is None else float(one.occurrence)
        note = f"address {one.source:#04x}"
        if one.lamps:
            note += f"; lamps: {', '.join(one.lamps)}"
        if one.old_form:
            note += "; numbered by an old form"
        came = Event(machine, EventKind.CODE_CAME, None, one.came_us, one.text, value, note)
        yield came
        if one.went_us is not None:
            yield Event(machine, EventKind.CODE_WENT, None, one.went_us, one.text, value, note)


def _untold(path: Path, trace: Trace) -> Iterator[Doubt]:
    """Where nothing of the cycle can be seen, that is said."""
    if trace.book is None:
        said = "no signal book for this machine: only the standard messages were understood"
        yield Doubt(path.name, "whole file", Mark.SIGNALS_UNKNOWN, said)
