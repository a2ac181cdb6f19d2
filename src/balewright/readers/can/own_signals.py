"""The machine's own signals, taken from its messages by its signal book."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from balewright.readers.can.fields import raws, take_values
from balewright.readers.can.frames import Frames
from balewright.readers.can.samples import OWN_RANK, Origin, Samples, When
from balewright.readers.can.signal_book import OwnMessage, OwnSignal, SignalBook


class OwnSignals:
    """Takes the signals of a book, or nothing without one."""

    def __init__(self, book: SignalBook | None, samples: Samples) -> None:
        messages = () if book is None else book.messages
        self._samples = samples
        self._by_identifier = [one for one in messages if one.pgn is None]
        self._by_group: dict[int, list[OwnMessage]] = {}
        for one in messages:
            if one.pgn is not None:
                self._by_group.setdefault(one.pgn, []).append(one)
        self.groups = frozenset(self._by_group)

    def hear_identifiers(self, frames: Frames) -> None:
        """Messages that are told by their whole identifier."""
        for message in self._by_identifier:
            mine = frames.identifier == message.identifier
            mine &= frames.extended == message.extended
            if mine.any():
                self._take(message, 0, frames.take(mine))

    def hear_group(self, pgn: int, source: int, frames: Frames) -> None:
        """Messages of one group and sender."""
        for message in self._by_group.get(pgn, ()):
            if message.source in (None, source):
                self._take(message, source, frames)

    def _take(self, message: OwnMessage, source: int, frames: Frames) -> None:
        for signal in message.signals:
            chosen = frames
            if signal.chooser is not None:
                chosen = frames.take(_says(signal, frames))
            found = take_values(signal.field, chosen.data, chosen.length)
            if signal.on is not None:
                on = np.isin(found.values, signal.on) & found.known
                found = replace(found, values=on.astype(np.float64))
            # A message told by its identifier has no address of its own.
            rank = OWN_RANK if message.pgn is not None else OWN_RANK - 1
            origin = Origin(rank, signal.what, message.pgn or 0, source)
            self._samples.add(signal.name, origin, found, When(chosen.at_us, chosen.number))


def _says(signal: OwnSignal, frames: Frames) -> NDArray[np.bool_]:
    """The messages whose chooser names this signal."""
    if signal.chooser is None or signal.chooser[0].byte + signal.chooser[0].span > 8:
        return np.ones(frames.rows, np.bool_)
    field, wanted = signal.chooser
    there = frames.length >= field.byte + field.span
    return there & np.isin(raws(field, frames.data), np.array(wanted, np.uint64))
