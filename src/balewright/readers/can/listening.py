"""Listening to a bus block by block: each message goes to whoever understands it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.readers.can.diagnostics import (
    ACTIVE_CODES,
    PREVIOUS_CODES,
    CodeEpisode,
    Diagnostics,
)
from balewright.readers.can.fields import Values
from balewright.readers.can.frames import Frames
from balewright.readers.can.nodes import ADDRESS_CLAIM, Node, Nodes
from balewright.readers.can.notes import Notes
from balewright.readers.can.own_signals import OwnSignals
from balewright.readers.can.process_data import (
    MEANINGS,
    PROCESS_DATA,
    RANK,
    ProcessCount,
    ProcessValue,
    process_rows,
)
from balewright.readers.can.samples import Origin, Samples, When
from balewright.readers.can.signal_book import SignalBook
from balewright.readers.can.standard import POSITION_LONG, STANDARD, take_standard
from balewright.readers.can.star_time import StarTime
from balewright.readers.can.transport import (
    CONNECTION,
    FAST_PACKETS,
    PACKET,
    FastPackets,
    LongMessage,
    Transport,
)
from balewright.readers.can.wall_clock import GAP_US

_GROUPS: Final = 1 << 18
_CODES: Final = (ACTIVE_CODES, PREVIOUS_CODES)
_STANDARD_GROUPS: Final = frozenset(one.pgn for one in STANDARD)


@dataclass(frozen=True, eq=False)
class Heard:
    """All that was heard: see `trace.Trace`."""

    nodes: tuple[Node, ...]
    diagnostics: tuple[CodeEpisode, ...]
    samples: Samples
    frames_by_group: Counter[int]
    whole_messages: Counter[int]
    process_data: tuple[ProcessValue, ...]
    first_us: int | None
    last_us: int | None


class Listening:
    """Hears the blocks of one trace in their order."""

    def __init__(
        self, file: str, book: SignalBook | None, notes: Notes, most: int | None = None
    ) -> None:
        self.frames = 0
        self.samples = Samples(file, notes, most)
        self._notes = notes
        self._own = OwnSignals(book, self.samples)
        self._nodes = Nodes(notes)
        self._transport = Transport(notes)
        self._fast = FastPackets(notes)
        self._diagnostics = Diagnostics(notes)
        self._process = ProcessCount()
        self._stars = StarTime(notes)
        self._by_group: Counter[int] = Counter()
        self._whole: Counter[int] = Counter()
        self._first_us: int | None = None
        self._last_us: int | None = None

    def hear(self, frames: Frames) -> None:
        """The next block."""
        self.frames += frames.rows
        self._see_span(frames)
        self._own.hear_identifiers(frames)
        if not frames.extended.all():
            frames = frames.take(frames.extended)
        groups = frames.pgn
        counts = np.bincount(groups, minlength=_GROUPS)
        present = np.flatnonzero(counts).tolist()
        self._by_group.update({pgn: int(counts[pgn]) for pgn in present})
        self._nodes.see(frames)
        codes: list[tuple[int, int, int, int, bytes]] = []
        long: list[LongMessage] = []
        if CONNECTION in present or PACKET in present:
            chosen = frames.take((groups == CONNECTION) | (groups == PACKET))
            long += self._transport.follow(chosen)
        for pgn in present:
            if pgn in FAST_PACKETS:
                long += self._fast.follow(frames.take(groups == pgn))
            elif pgn in _CODES:
                codes += _rows(pgn, frames.take(groups == pgn))
            elif pgn == ADDRESS_CLAIM:
                self._nodes.claim(frames.take(groups == pgn))
            elif pgn == PROCESS_DATA:
                self._hear_process(frames.take(groups == pgn))
            elif pgn in _STANDARD_GROUPS or pgn in self._own.groups:
                self._values(pgn, frames.take(groups == pgn))
        self._whole.update(one.pgn for one in long)
        self._hear_long(long, codes)

    def end(self, dated: bool) -> Heard:
        """Close what is open. dated: whether the times are UTC."""
        self._transport.end()
        self._fast.end()
        self._hear_long([], [])
        self._stars.tell(dated)
        return Heard(
            self._nodes.all(),
            self._diagnostics.episodes(self._last_us),
            self.samples,
            self._by_group,
            self._whole,
            self._process.all(),
            self._first_us,
            self._last_us,
        )

    def _see_span(self, frames: Frames) -> None:
        before = frames.at_us[0] if self._last_us is None else self._last_us
        steps = np.diff(frames.at_us, prepend=before)
        for row in np.flatnonzero(steps >= GAP_US).tolist():
            at_us = int(frames.at_us[row])
            self._diagnostics.gap(at_us - int(steps[row]), at_us)
        first, last = int(frames.at_us.min()), int(frames.at_us.max())
        self._first_us = first if self._first_us is None else min(first, self._first_us)
        self._last_us = last if self._last_us is None else max(last, self._last_us)

    def _hear_long(
        self, long: list[LongMessage], codes: list[tuple[int, int, int, int, bytes]]
    ) -> None:
        """Codes in the order in which they were said, long and short; other long messages."""
        for one in (*long, *self._transport.lost):
            if one.pgn in _CODES:
                codes.append((one.number, one.at_us, one.source, one.pgn, one.data))
        self._transport.lost.clear()
        self._hear_codes(codes)
        wanted = {one.pgn for one in long} & (_STANDARD_GROUPS | self._own.groups)
        for pgn in sorted(wanted):
            mine = [one for one in long if one.pgn == pgn]
            if pgn == POSITION_LONG:
                self._stars.hear(mine)
            self._values(pgn, _as_frames(pgn, mine))

    def _hear_codes(self, codes: list[tuple[int, int, int, int, bytes]]) -> None:
        """Messages of codes by their numbers; those without data got lost on the way."""
        for number, at_us, source, pgn, data in sorted(codes):
            if data:
                self._diagnostics.hear(at_us, source, pgn == ACTIVE_CODES, data, number)
            elif pgn == ACTIVE_CODES:
                self._diagnostics.unheard(at_us, source)

    def _values(self, pgn: int, frames: Frames) -> None:
        """Standard and own signals of one group, sender by sender."""
        for source in np.unique(frames.source).tolist():
            mine = frames.take(frames.source == source)
            if pgn in _STANDARD_GROUPS:
                take_standard(pgn, source, mine, self.samples)
            self._own.hear_group(pgn, source, mine)

    def _hear_process(self, frames: Frames) -> None:
        rows = process_rows(frames)
        self._process.see(rows)
        key = rows.identifier << 20 | rows.element << 8 | rows.source
        for identifier, meaning in MEANINGS.items():
            for one in np.unique(key[rows.identifier == identifier]).tolist():
                at = key == one
                origin = Origin(
                    RANK, f"process data {identifier}", PROCESS_DATA, one & 0xFF, one >> 8 & 0xFFF
                )
                known = np.ones(int(at.sum()), np.bool_)
                worth = rows.raw[at] * meaning.factor
                when = When(rows.at_us[at], rows.number[at])
                self.samples.add(meaning.signal, origin, Values(worth, known, ~known), when)


def _rows(pgn: int, frames: Frames) -> list[tuple[int, int, int, int, bytes]]:
    return [
        (
            int(frames.number[row]),
            int(frames.at_us[row]),
            int(frames.source[row]),
            pgn,
            frames.data[row, : frames.length[row]].tobytes(),
        )
        for row in range(frames.rows)
    ]


def _as_frames(pgn: int, long: Sequence[LongMessage]) -> Frames:
    """Long messages as columns, as wide as the longest."""
    count, width = len(long), max(8, *(len(one.data) for one in long))
    data = np.zeros((count, width), np.uint8)
    for row, one in enumerate(long):
        data[row, : len(one.data)] = np.frombuffer(one.data, np.uint8)

    return Frames(
        np.array([one.at_us for one in long], np.int64),
        np.array([pgn << 8 | one.source for one in long], np.uint32),
        np.ones(count, np.bool_),
        np.array([len(one.data) for one in long], np.uint16),
        data,
        np.array([one.number for one in long], np.int64),
    )
