"""What is in a trace of a machine's bus: who spoke, codes, signals. Nothing is kept."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from balewright.plan.machine import Machine
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.diagnostics import CodeEpisode
from balewright.readers.can.forms import tell_form
from balewright.readers.can.nodes import Node
from balewright.readers.can.trace import Trace, open_trace
from balewright.readers.lines import read_head
from balewright.readers.reading import Reading
from balewright.readers.task_data.dictionary import words_for
from balewright.readers.times import TIME_NEED, explain_time, format_time, parse_time
from balewright.records.intake import Doubt, Refusal
from balewright.records.signals import SIGNAL_BY_NAME

_GROUPS: Final = 40


@dataclass(frozen=True)
class NodeSeen:
    """Who spoke from an address. device_class 9 of industry 2 is a forage machine; maker and
    identity are numbers of the standard and the maker; all None where no claim was heard."""

    address: int
    frames: int
    baler: bool
    device_class: int | None
    industry: int | None
    maker: int | None
    identity: int | None


@dataclass(frozen=True)
class CodeSeen:
    """A code from coming to going; came, went: ISO 8601 in UTC, or seconds since the start of an
    undated trace; ended: `said`, `silent` or `still there`."""

    source: int
    spn: int
    fmi: int
    active: bool
    came: str
    went: str | None
    ended: str
    occurrence: int | None
    lamps: tuple[str, ...]
    old_form: bool
    messages: int


@dataclass(frozen=True)
class SignalSeen:
    """A signal that becomes part of the record: samples, how many are known and how many said
    error, smallest and largest known value in the unit of its name, and where it comes from."""

    name: str
    meaning: str
    samples: int
    known: int
    errors: int
    low: float | None
    high: float | None
    origin: str


@dataclass(frozen=True)
class ProcessSeen:
    """What a device said under an identifier of the data dictionary; last_raw: as it stood."""

    identifier: int
    what: str
    element: int
    source: int
    messages: int
    last_raw: int


@dataclass(frozen=True)
class TraceSeen:
    """The whole answer. form: `can trace`; trace_form: candump, asc, trc, blf, csv or mf4; book:
    of the signals, None for none; dated: whether first and last are UTC; groups: frames by
    parameter group number, the most frequent; left_out: lines and frames without a message."""

    form: str
    trace_form: str
    name: str
    book: str | None
    dated: bool
    first: str | None
    last: str | None
    frames: int
    nodes: tuple[NodeSeen, ...]
    codes: tuple[CodeSeen, ...]
    signals: tuple[SignalSeen, ...]
    process_data: tuple[ProcessSeen, ...]
    groups: dict[int, int]
    left_out: dict[str, int]
    refused: tuple[Refusal, ...]
    doubtful: tuple[Doubt, ...]
    refused_total: int
    doubtful_total: int


def is_trace(path: Path) -> bool:
    """Whether the file begins like a trace of a CAN bus; False for what cannot be opened."""
    try:
        return path.is_file() and tell_form(read_head(path)) is not None
    except (BadInput, OSError, ValueError):
        return False


def told_of_recording(
    reading: Reading, begins: str | None = None, signals: Path | None = None
) -> Reading:
    """The same context with what a person tells of a recording.

    begins: when it began, ISO 8601 with Z or an offset; signals: TOML of the machine's signals.
    Raises BadInput for a time that is none.
    """
    begins_us = None if begins is None else parse_time(begins)
    if begins is not None and begins_us is None:
        raise BadInput(Fault("--begins", TIME_NEED, repr(begins), explain_time(begins)))
    return replace(reading, begins_us=begins_us, signal_book=signals)


def read_trace(
    path: Path,
    machine: Machine | None = None,
    begins: str | None = None,
    signals: Path | None = None,
) -> TraceSeen:
    """Read a trace and keep nothing.

    machine: the profile of the machine, whose signal book is used; begins, signals: see
    `told_of_recording`. Raises BadInput as `open_trace` does.
    """
    reading = told_of_recording(Reading(profile=machine), begins, signals)
    return _seen(open_trace(path, reading))


def _seen(trace: Trace) -> TraceSeen:
    signals = trace.signals
    return TraceSeen(
        form="can trace",
        trace_form=trace.form.value,
        name=signals.file,
        book=trace.book,
        dated=trace.dated,
        first=_time(trace, signals.first_us),
        last=_time(trace, signals.last_us),
        frames=trace.frames,
        nodes=tuple(_node(one) for one in trace.nodes),
        codes=tuple(_code(trace, one) for one in trace.diagnostics),
        signals=tuple(_signal(trace, name) for name in signals.by_name),
        process_data=tuple(
            ProcessSeen(
                one.identifier,
                words_for(one.identifier),
                one.element,
                one.source,
                one.messages,
                one.last_raw,
            )
            for one in trace.process_data
        ),
        groups=dict(list(trace.frames_by_group.items())[:_GROUPS]),
        left_out=dict(trace.left_out),
        refused=trace.refusals,
        doubtful=trace.doubts,
        refused_total=trace.refused_total,
        doubtful_total=trace.doubtful_total,
    )


def _node(node: Node) -> NodeSeen:
    name = node.name
    if name is None:
        return NodeSeen(node.address, node.frames, False, None, None, None, None)
    return NodeSeen(
        node.address,
        node.frames,
        node.is_baler,
        name.device_class,
        name.industry,
        name.maker,
        name.identity,
    )


def _code(trace: Trace, one: CodeEpisode) -> CodeSeen:
    return CodeSeen(
        one.source,
        one.spn,
        one.fmi,
        one.active,
        _time(trace, one.came_us) or "",
        _time(trace, one.went_us),
        one.ended.value,
        one.occurrence,
        one.lamps,
        one.old_form,
        one.messages,
    )


def _signal(trace: Trace, name: str) -> SignalSeen:
    signal = trace.signals.by_name[name]
    known = signal.values[signal.known]
    return SignalSeen(
        name,
        SIGNAL_BY_NAME[name].meaning,
        signal.samples,
        len(known),
        int(np.count_nonzero(signal.error)),
        float(known.min()) if len(known) else None,
        float(known.max()) if len(known) else None,
        trace.origins[name].text,
    )


def _time(trace: Trace, at_us: int | None) -> str | None:
    if at_us is None:
        return None
    return format_time(at_us) if trace.dated else f"{at_us / 1e6:.3f} s"
