"""Frames of the binary forms, read by the libraries that know them, within bounds.

BLF goes through python-can; what it would swallow or unpack without end is looked at before it
gets it. MF4 goes through asammdf, which comes with `balewright[mf4]` only.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path
from typing import Any, BinaryIO, Final

import numpy as np
from can import Message
from can.io.blf import BLFParseError, BLFReader

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.frames import BLOCK_FRAMES, Frames
from balewright.readers.can.messages import frames_of_messages
from balewright.readers.can.notes import Notes
from balewright.records.quality import Mark

MOST_OBJECT_BYTES: Final = 8 << 20
"""Largest object of a BLF that is read; writers make containers of 128 KiB."""

MOST_UNPACKED_BYTES: Final = 64 << 20
_OBJECT_HEAD_BYTES: Final = 16
_CONTAINER: Final = struct.Struct("<H6xL4x")
_BROKEN: Final = (BLFParseError, struct.error, zlib.error, ValueError, IndexError, OverflowError)


class _Bounded:
    """A BLF file that hands python-can no object larger than it may have."""

    def __init__(self, file: BinaryIO, notes: Notes) -> None:
        self._file = file
        self._notes = notes

    def read(self, size: int) -> bytes:
        if size < 0 or size > MOST_OBJECT_BYTES:
            raise BLFParseError(f"an object of {size} bytes")
        content = self._file.read(size)
        self._notes.bytes_done += len(content)
        if len(content) > _CONTAINER.size and _CONTAINER.unpack_from(content)[0] == 2:
            self._try_unpacking(content[_CONTAINER.size :])
        return content

    def _try_unpacking(self, packed: bytes) -> None:
        if packed[:1] != b"\x78":
            return
        trial = zlib.decompressobj()
        trial.decompress(packed, MOST_UNPACKED_BYTES)
        if trial.unconsumed_tail:
            raise BLFParseError(f"a container of more than {MOST_UNPACKED_BYTES} bytes")

    def close(self) -> None:
        self._file.close()


def blf_start(path: Path) -> datetime | None:
    """The wall clock at which a BLF began, by its head; None where it says none.

    Raises BadInput where the head is cut.
    """
    with path.open("rb") as file:
        head = file.read(72)
    if len(head) < 72:
        raise BadInput(Fault(path.name, "a whole BLF", "one cut in its head", "Copy it again."))
    year, month, _, day, hour, minute, second, milli = struct.unpack_from("<8H", head, 40)
    try:
        return datetime(year, month, day, hour, minute, second, milli * 1000)  # noqa: DTZ001
    except ValueError:
        return None


def blf_frames(path: Path, notes: Notes) -> Iterator[Frames]:
    """Frames of a BLF, times in microseconds since its start.

    A damaged rest is refused, and what stood before it kept. Raises BadInput for a head that
    cannot be read.
    """
    with path.open("rb") as file:
        try:
            reader = BLFReader(_Bounded(file, notes))  # type: ignore[arg-type]
        except _BROKEN as error:
            raise BadInput(
                Fault(path.name, "a whole BLF", f"a damaged head ({error})", "Copy it again.")
            ) from error
        reader.start_timestamp = 0.0
        said_bytes = reader.file_size
        yield from _blocks(_until_damage(reader, notes), notes)
    size = path.stat().st_size
    if said_bytes > size:
        said = f"its head speaks of {said_bytes} bytes, there are {size}"
        notes.doubt("end of file", Mark.FILE_CUT, said)


def _until_damage(reader: BLFReader, notes: Notes) -> Iterator[Message]:
    seen = 0
    try:
        for message in reader:
            seen += 1
            yield message
    except _BROKEN as error:
        what = str(error).rstrip(".") or "no object where one must be"
        notes.refuse(
            f"after message {seen}", "", f"The rest is damaged ({what}); what was before is kept."
        )


def _blocks(messages: Iterable[Message], notes: Notes) -> Iterator[Frames]:
    steady = iter(messages)
    last = 0
    while some := list(islice(steady, BLOCK_FRAMES // 4)):
        frames = frames_of_messages(some, last, notes)
        last += frames.rows
        if frames.rows:
            yield frames


def open_mf4(path: Path) -> Any:
    """The MF4 file by asammdf. Raises BadInput where it is not installed or cannot read it."""
    try:
        from asammdf import MDF  # noqa: PLC0415 -- an optional extra, and slow to load
    except ImportError as error:
        need = "the extra that reads MF4 (asammdf)"
        cure = "Run: pip install balewright[mf4]"
        raise BadInput(Fault(path.name, need, "a program without it", cure)) from error
    try:
        return MDF(path)
    except Exception as error:
        said = f"{type(error).__name__}: {error}"[:120]
        raise BadInput(Fault(path.name, "a whole MF4 file", said, "Copy it again.")) from error


def mf4_start(mdf: Any) -> datetime:
    """When an MF4 began, in UTC."""
    start: datetime = mdf.header.start_time
    return start.astimezone(UTC) if start.tzinfo else start.replace(tzinfo=UTC)


def mf4_frames(mdf: Any, name: str, notes: Notes) -> Iterator[Frames]:
    """Frames of all groups of an MF4 that log a bus, times since its start, in their order.

    Raises BadInput where it logs no bus.
    """
    with closing(mdf):
        groups = [
            (index, int(group.channel_group.cycles_nr))
            for index, group in enumerate(mdf.groups)
            if any(channel.name == "CAN_DataFrame" for channel in group.channels)
        ]
        if not groups:
            need, cure = "an MF4 with frames of a CAN bus", "Export the raw frames, not signals."
            raise BadInput(Fault(name, need, "one with none", cure))
        last = 0
        for index, count in groups:
            for samples in _mf4_samples(mdf, index, count, notes):
                frames = _mf4_block(samples, last, notes)
                last += frames.rows
                if frames.rows:
                    yield frames


def _mf4_samples(mdf: Any, index: int, count: int, notes: Notes) -> Iterator[Any]:
    for offset in range(0, count, BLOCK_FRAMES):
        try:
            yield mdf.get("CAN_DataFrame", index, record_offset=offset, record_count=BLOCK_FRAMES)
        except Exception as error:  # whatever the library raises on a damaged file
            said = f"{type(error).__name__}: {error}"[:120]
            place = f"group {index}, frame {offset + 1}"
            notes.refuse(place, "", f"The rest of it is damaged ({said}).")
            return


def _mf4_block(samples: Any, last: int, notes: Notes) -> Frames:
    fields = {name.removeprefix("CAN_DataFrame."): name for name in samples.samples.dtype.names}
    table = samples.samples

    def column(name: str, otherwise: int) -> Any:
        return table[fields[name]] if name in fields else np.full(len(table), otherwise)

    length = column("DataLength", 8).astype(np.int64)
    given = table[fields["DataBytes"]]
    classic = (length <= 8) & (column("EDL", 0) == 0)
    if not classic.all():
        notes.left_out["frame of CAN FD"] += int((~classic).sum())
    data = np.zeros((len(table), 8), np.uint8)
    width = min(8, given.shape[1])
    data[:, :width] = given[:, :width]
    data[np.arange(8) >= length[:, None]] = 0
    # Some recorders keep the kind of identifier in its highest bit only.
    raw = column("ID", 0).astype(np.int64)
    extended = (column("IDE", 1) != 0) | (raw > 0x7FF)
    at_us = np.rint(np.asarray(samples.timestamps) * 1e6).astype(np.int64)
    numbers = np.cumsum(classic) + last
    return Frames(
        at_us,
        (raw & 0x1FFFFFFF).astype(np.uint32),
        np.asarray(extended, np.bool_),
        length.astype(np.uint8),
        data,
        numbers.astype(np.int64),
    ).take(classic)
