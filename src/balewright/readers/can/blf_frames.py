"""Frames of a BLF, read by python-can within bounds.

What it would swallow or unpack without end is looked at before it gets it.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import BinaryIO, Final

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
_PACKED: Final = 2
_OBJECT: Final = b"LOBJ"
_OBJECT_SIZE: Final = struct.Struct("<8xL")
_BROKEN: Final = (BLFParseError, struct.error, zlib.error, ValueError, IndexError, OverflowError)


class _Bounded:
    """A BLF file that hands python-can no object larger than it may have."""

    def __init__(self, file: BinaryIO, notes: Notes) -> None:
        self._file = file
        self._notes = notes
        self._end = b""

    def read(self, size: int) -> bytes:
        if size < 0 or size > MOST_OBJECT_BYTES:
            raise BLFParseError(f"an object of {size} bytes")
        content = self._file.read(size)
        self._notes.bytes_done += len(content)
        if len(content) > _CONTAINER.size:
            method, inside = _CONTAINER.unpack_from(content)[0], content[_CONTAINER.size :]
            self._require_steps(_unpacked(inside) if method == _PACKED else inside)
        return content

    def _require_steps(self, inside: bytes) -> None:
        """Refuse an object shorter than its own head: a reader would stay at it for ever."""
        # A head may begin at the end of one container and go on in the next.
        seen, self._end = self._end + inside, inside[-_OBJECT_HEAD_BYTES:]
        at = seen.find(_OBJECT)
        while 0 <= at <= len(seen) - _OBJECT_HEAD_BYTES:
            (size,) = _OBJECT_SIZE.unpack_from(seen, at)
            if size < _OBJECT_HEAD_BYTES:
                raise BLFParseError(f"an object of {size} bytes")
            at = seen.find(_OBJECT, at + 1)

    def close(self) -> None:
        self._file.close()


def _unpacked(packed: bytes) -> bytes:
    """What is in it; nothing where it is damaged, which python-can says itself."""
    trial = zlib.decompressobj()
    try:
        inside = trial.decompress(packed, MOST_UNPACKED_BYTES)
    except zlib.error:
        return b""
    if trial.unconsumed_tail:
        raise BLFParseError(f"a container of more than {MOST_UNPACKED_BYTES} bytes")
    return inside


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
