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
