"""What one trace holds: who spoke, which codes came and went, and the signals of the machine."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from balewright.readers.can.diagnostics import CodeEpisode
from balewright.readers.can.forms import TraceForm
from balewright.readers.can.listening import Listening
from balewright.readers.can.nodes import Node
from balewright.readers.can.notes import Notes
from balewright.readers.can.open_frames import open_frames
from balewright.readers.can.process_data import ProcessValue
from balewright.readers.can.samples import Origin
from balewright.readers.can.signal_book import SignalBook, read_signal_book, shipped_book
from balewright.readers.reading import Reading
from balewright.records.intake import Doubt, Refusal
from balewright.records.signals import Signals

_Key = TypeVar("_Key")


@dataclass(frozen=True, eq=False)
class Trace:
    """One trace, read to its end.

    form: of the file; book: name of the signal book used, None for none; frames: how many, also
    those with 11-bit identifiers; dated: whether times are UTC, else they count from the start;
    nodes: who spoke; diagnostics: codes that came and went; signals: of the machine; origins:
    where each signal comes from; frames_by_group: frames by parameter group number;
    whole_messages: long messages by group; process_data: values by identifier; left_out: lines
    and frames without a message, by kind; refusals, doubts: up to a limit, the totals count all;
    spilled: whether there were more samples than were to be held: no signals then, `signal_pieces`
    gives them.
    """

    form: TraceForm
    book: str | None
    frames: int
    dated: bool
    nodes: tuple[Node, ...]
    diagnostics: tuple[CodeEpisode, ...]
    signals: Signals
    origins: Mapping[str, Origin]
    frames_by_group: Mapping[int, int]
    whole_messages: Mapping[int, int]
    process_data: tuple[ProcessValue, ...]
    left_out: Mapping[str, int]
    refusals: tuple[Refusal, ...]
    doubts: tuple[Doubt, ...]
    refused_total: int
    doubtful_total: int
    spilled: bool = False

    def diagnostics_at(self, at_us: int) -> tuple[CodeEpisode, ...]:
        """The codes that were there at a moment, UTC microseconds."""
        return self.diagnostics_between(at_us, at_us)

    def diagnostics_between(self, from_us: int, to_us: int) -> tuple[CodeEpisode, ...]:
        """The codes that were there at any time from `from_us` to `to_us`, both included."""
        return tuple(
            one
            for one in self.diagnostics
            if one.active
            and one.came_us <= to_us
            and (one.went_us is None or one.went_us >= from_us)
        )


def open_trace(path: Path, reading: Reading | None = None, most: int | None = None) -> Trace:
    """Read a trace of a CAN bus: candump, ASC, TRC, CSV of python-can, BLF or MF4.

    reading: whose trace it is, its zone, its signal book and when it began, where known; most: so
    many samples are held, of a trace with more none; None holds all, up to MOST_SAMPLES. Raises
    BadInput for what is no trace, for a signal book with faults, and where MF4 needs the extra.
    """
    reading = reading or Reading()
    notes = Notes(path.name)
    book = book_for(reading)
    opened = open_frames(path, notes, _zone(reading), reading.begins_us)
    listening = Listening(path.name, book, notes, most)
    size = path.stat().st_size
    for block in opened.frames:
        listening.hear(block)
        # What is not held is read a second time: half of the way is behind us at the end.
        reading.tell(min(size, notes.bytes_done), 2 * size if listening.samples.spilled else size)
    found = listening.end(opened.dated())
    spilled = found.samples.spilled
    reading.tell(size, 2 * size if spilled else size)
    origins = found.samples.choose([one.address for one in found.nodes if one.is_baler])
    by_name = {} if spilled else found.samples.take(origins)
    return Trace(
        form=opened.form,
        book=None if book is None else book.name,
        frames=listening.frames,
        dated=opened.dated(),
        nodes=found.nodes,
        diagnostics=found.diagnostics,
        signals=Signals(
            path.name,
            reading.machine,
            MappingProxyType(dict(by_name)),
            found.first_us,
            found.last_us,
        ),
        origins=MappingProxyType(dict(origins)),
        frames_by_group=_most_first(found.frames_by_group),
        whole_messages=_most_first(found.whole_messages),
        process_data=found.process_data,
        left_out=_most_first(notes.left_out),
        refusals=tuple(notes.refusals),
        doubts=tuple(notes.doubts),
        refused_total=notes.refused_total,
        doubtful_total=notes.doubtful_total,
        spilled=spilled,
    )


def signal_pieces(path: Path, reading: Reading, trace: Trace) -> Iterator[Signals]:
    """The signals of a trace that was read by `open_trace`, read again, piece by piece.

    What was refused or doubted then is not said again.
    """
    notes = Notes(path.name)
    opened = open_frames(path, notes, _zone(reading), reading.begins_us)
    listening = Listening(path.name, book_for(reading), notes)
    size = path.stat().st_size
    for block in opened.frames:
        listening.hear(block)
        reading.tell(size + min(size, notes.bytes_done), 2 * size)
        by_name = MappingProxyType(dict(listening.samples.take(trace.origins)))
        first_us, last_us = int(block.at_us.min()), int(block.at_us.max())
        yield Signals(path.name, reading.machine, by_name, first_us, last_us)
    reading.tell(2 * size, 2 * size)


def _zone(reading: Reading) -> str | None:
    """Of the recorder's wall clock, for heads that name none."""
    return None if reading.machine is None else reading.zones.get(reading.machine)


def book_for(reading: Reading) -> SignalBook | None:
    """The signal book that is given, or the one beside the machine's profile; None for none."""
    path = reading.signal_book
    if path is not None and path.is_dir() and reading.profile is not None:
        path = path / f"{reading.profile.key}.toml"
    if path is None and reading.profile is not None:
        path = shipped_book(reading.profile.key)
    return None if path is None else read_signal_book(path)


def _most_first(counts: Counter[_Key]) -> Mapping[_Key, int]:
    return MappingProxyType(dict(counts.most_common()))
