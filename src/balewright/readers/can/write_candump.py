"""Write signals as the text of a bus trace: the machine's own by its signal book, speed, position
and codes by the standards. For invented days; what is read back are the same signals."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, TextIO

import numpy as np
from numpy.typing import NDArray

from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.readers.can.diagnostics import ACTIVE_CODES
from balewright.readers.can.fields import Field
from balewright.readers.can.signal_book import OwnMessage, SignalBook
from balewright.readers.can.standard import GROUND_SPEED, POSITION
from balewright.records.signals import Signal, Signals

BALER: Final = 0x2A
TRACTOR: Final = 0xF0
_MESSAGE_BYTES: Final = 8
_CODE_EVERY_US: Final = MICROSECONDS_PER_S
_NO_CODE: Final = bytes.fromhex("00ff00000000ffff")
Times = NDArray[np.int64]
Frame = tuple[int, int, bytes]
"""UTC microseconds, identifier, data."""


@dataclass(frozen=True)
class CodeSaid:
    """A code that the machine says once a second. number: suspect parameter, 0 to 524 287;
    mode: of its failure, 0 to 31; came_us, went_us: UTC microseconds; count: occurrences, 0 to 126.
    """

    number: int
    mode: int
    came_us: int
    went_us: int
    count: int = 1


def write_candump(
    signals: Signals,
    book: SignalBook,
    stream: TextIO,
    codes: tuple[CodeSaid, ...] = (),
    every_us: int = 200_000,
) -> int:
    """Write a log in candump's form; the number of frames.

    signals: in any order of names, each by rising time; every_us: how often each message is sent,
    with the newest known value of each signal. Multiplexed messages are left out.
    """
    if signals.first_us is None or signals.last_us is None:
        return 0
    times = np.arange(signals.first_us, signals.last_us, every_us, dtype=np.int64)
    frames: list[Frame] = []
    for place, message in enumerate(book.messages, start=1):
        frames += _own_frames(message, signals, times + place * 1_000)
    frames += _standard_frames(signals, times)
    frames += _code_frames(codes, signals.first_us, signals.last_us)
    frames.sort(key=lambda frame: frame[:2])
    stream.writelines(
        f"({at_us // MICROSECONDS_PER_S}.{at_us % MICROSECONDS_PER_S:06d}) can0 "
        f"{number:08X}#{data.hex().upper()}\n"
        for at_us, number, data in frames
    )
    return len(frames)


def _own_frames(message: OwnMessage, signals: Signals, times: Times) -> Iterator[Frame]:
    data = np.full((len(times), _MESSAGE_BYTES), 0xFF, dtype=np.uint8)
    there = False
    for own in message.signals:
        signal = signals.by_name.get(own.name)
        if signal is None or own.chooser is not None:
            continue
        there = True
        values, known = _held(signal, times)
        if own.on is not None:
            values = np.where(values > 0, own.on[0], 0.0)
        _put(own.field, values, known, data)
    if not there:
        return
    number = message.identifier
    if message.pgn is not None:
        number = number & ~0xFF | (BALER if message.source is None else message.source)
    for at_us, row in zip(times.tolist(), data, strict=True):
        yield at_us, number, row.tobytes()


def _held(signal: Signal, times: Times) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """The newest value at each time, and whether there is one."""
    place = np.searchsorted(signal.at_us, times, side="right") - 1
    known = (place >= 0) & signal.known[np.maximum(place, 0)]
    return signal.values[np.maximum(place, 0)], known


def _put(
    field: Field, values: NDArray[np.float64], known: NDArray[np.bool_], data: NDArray[np.uint8]
) -> None:
    """Write a field's bits; all ones stay where nothing is known."""
    raw = np.round((values - field.offset) / field.factor).astype(np.int64).astype(np.uint64)
    ones = np.uint64((1 << field.bits) - 1)
    bits = (raw & ones) << np.uint64(field.shift)
    mask = ones << np.uint64(field.shift)
    for at in range(field.span):
        byte = field.byte + (field.span - 1 - at if field.big_endian else at)
        clear = np.uint8(int(mask) >> 8 * at & 0xFF)
        part = (bits >> np.uint64(8 * at)).astype(np.uint8) & clear
        data[known, byte] = (data[known, byte] & ~clear) | part[known]


def _standard_frames(signals: Signals, times: Times) -> Iterator[Frame]:
    """Ground speed of the tractor, and position once a second."""
    speed = signals.by_name.get("speed_m_s")
    if speed is not None:
        values, known = _held(speed, times)
        for at_us, value in zip(times[known].tolist(), values[known].tolist(), strict=True):
            said = struct.pack("<HIBB", round(value * 1_000), 0, 0xFF, 0xFF)
            yield at_us, _identifier(GROUND_SPEED, TRACTOR), said
    lat, lon = signals.by_name.get("lat"), signals.by_name.get("lon")
    if lat is None or lon is None or not len(times):
        return
    seconds = np.arange(times[0], times[-1], MICROSECONDS_PER_S, dtype=np.int64)
    (north, known), (east, too) = _held(lat, seconds), _held(lon, seconds)
    for row in np.flatnonzero(known & too).tolist():
        said = struct.pack("<ii", round(north[row] * 1e7), round(east[row] * 1e7))
        yield int(seconds[row]), _identifier(POSITION, TRACTOR), said


def _code_frames(codes: Iterable[CodeSaid], first_us: int, last_us: int) -> Iterator[Frame]:
    """What the machine says of its codes once a second: one of them, or none."""
    told = tuple(codes)
    if not told:
        return
    number = _identifier(ACTIVE_CODES, BALER)
    for at_us in range(first_us, last_us, _CODE_EVERY_US):
        here = next((one for one in told if one.came_us <= at_us < one.went_us), None)
        yield at_us + 500, number, _NO_CODE if here is None else _said(here)


def _said(code: CodeSaid) -> bytes:
    """SAE J1939-73: amber lamp, number in 19 bits, mode in 5, occurrences in 7."""
    high = (code.number >> 16) << 5 | code.mode
    return struct.pack("<BBHBBH", 0x04, 0xFF, code.number & 0xFFFF, high, code.count, 0xFFFF)


def _identifier(pgn: int, source: int) -> int:
    """The 29 bits of a message to all, priority 6."""
    return 6 << 26 | pgn << 8 | source
