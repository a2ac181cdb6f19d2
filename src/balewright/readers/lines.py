"""Physical lines of a file, in blocks of bounded size. Every CSV form is read from these.

A line ends at a line feed, whatever quotes are open: one broken line can never swallow the next.
"""

from __future__ import annotations

import gzip
import os
import stat
import zlib
from collections.abc import Callable, Generator, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import BinaryIO, Final

import numpy as np
from numpy.typing import NDArray

from balewright.quantities.errors import BadInput, Fault
from balewright.records.intake import MAX_BATCH_ROWS

BLOCK_BYTES: Final = 4 << 20
MAX_LINE_BYTES: Final = 65_536
MAX_UNPACKED_BYTES: Final = 8 << 30
MAX_UNPACKED_RATIO: Final = 400
FREE_UNPACKED_BYTES: Final = 64 << 20
"""Below this size the ratio is not judged: a short file of equal lines packs very well."""

Tell = Callable[[int, int | None], None]
"""Hears bytes read of bytes in all, as they lie in the file."""

_GZIP_MAGIC: Final = b"\x1f\x8b"
_KINDS: Final = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


@dataclass(frozen=True)
class Block:
    """Some whole lines, at least one.

    first_line: number of the first, counted from 1; whole: the lines with a line feed between one
    and the next; ended: False where the last line of the file has no line feed. What is longer
    than MAX_LINE_BYTES may be cut to one byte more than that.
    """

    first_line: int
    whole: bytes
    ended: bool = True

    @cached_property
    def ends(self) -> NDArray[np.int64]:
        """Where each line ends in `whole`, shape (lines,)."""
        feeds = np.flatnonzero(np.frombuffer(self.whole, dtype=np.uint8) == ord("\n"))
        return np.append(feeds, len(self.whole))

    @cached_property
    def lines(self) -> list[bytes]:
        """The lines one by one, without line feeds."""
        return self.whole.split(b"\n")

    def part(self, first: int, behind: int) -> Block:
        """Some of the lines, from `first` (from 0) to before `behind`."""
        behind = min(behind, len(self.ends))
        start = int(self.ends[first - 1]) + 1 if first else 0
        whole = self.whole[start : int(self.ends[behind - 1])]
        return Block(self.first_line + first, whole, self.ended or behind < len(self.ends))


def require_file(path: Path) -> None:
    """Pass when `path` is a file that can be looked at; BadInput that says what it is instead."""
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError) as error:
        raise BadInput(_unreadable(path, error)) from error
    if not stat.S_ISREG(mode):
        what = next((name for test, name in _KINDS if test(mode)), "something else")
        raise BadInput(
            Fault(path.name or str(path), "a file", what, "Give the path of the file itself.")
        )


def read_blocks(
    path: Path,
    tell: Tell | None = None,
    recode: Callable[[Iterable[bytes]], Iterable[bytes]] | None = None,
) -> Iterator[Block]:
    """The lines of a file, plain or gzip, as blocks of at most about BLOCK_BYTES.

    tell: hears how far the file was read; recode: what makes bytes whose lines end in a line feed
    of the file's, None where they do. No block has more than MAX_BATCH_ROWS lines. Raises BadInput
    for what cannot be opened or unpacked, possibly after some blocks: keep nothing before the end.
    """
    require_file(path)
    chunks = _read_chunks(path, tell)
    return _split_lines(chunks if recode is None else recode(chunks))


def read_head(path: Path) -> bytes:
    """The first bytes of a file, unpacked, enough for two lines of the longest kind."""
    require_file(path)
    wanted = 2 * MAX_LINE_BYTES + 2
    head = b""
    chunks = _read_chunks(path, None, wanted)
    for chunk in chunks:
        head += chunk
        if len(head) >= wanted:
            break
    chunks.close()
    return head[:wanted]


def _read_chunks(
    path: Path, tell: Tell | None, size: int = BLOCK_BYTES
) -> Generator[bytes, None, None]:
    try:
        with path.open("rb") as raw:
            total = os.fstat(raw.fileno()).st_size
            packed = raw.read(2) == _GZIP_MAGIC
            raw.seek(0)
            chunks = _unpack(path, raw, size) if packed else iter(lambda: raw.read(size), b"")
            for chunk in chunks:
                if tell is not None:
                    tell(raw.tell(), total)
                yield chunk
    except (gzip.BadGzipFile, EOFError, zlib.error) as error:
        what = "one that was cut" if isinstance(error, EOFError) else "a damaged one"
        raise BadInput(Fault(path.name, "a whole gzip file", what, "Copy it again.")) from error
    except OSError as error:
        raise BadInput(_unreadable(path, error)) from error


def _unpack(path: Path, raw: BinaryIO, size: int) -> Iterator[bytes]:
    """What a gzip file holds; its checksum is checked by `gzip` at the end of each member."""
    total = 0
    with gzip.GzipFile(fileobj=raw) as unpacked:
        while chunk := unpacked.read(size):
            total += len(chunk)
            allowed = max(FREE_UNPACKED_BYTES, MAX_UNPACKED_RATIO * raw.tell())
            if total > min(allowed, MAX_UNPACKED_BYTES):
                raise BadInput(
                    Fault(
                        path.name,
                        f"a gzip file that unpacks to less than {MAX_UNPACKED_RATIO} times its "
                        f"size and less than {MAX_UNPACKED_BYTES >> 30} GiB",
                        f"one that has unpacked to {total} bytes so far",
                        "Unpack it yourself, look at it, and split it.",
                    )
                )
            yield chunk


def _split_lines(chunks: Iterable[bytes]) -> Iterator[Block]:
    first_line = 1
    rest = b""
    for chunk in chunks:
        end = chunk.rfind(b"\n")
        if end < 0:
            # Bytes past the limit are dropped: a file without line ends stays small in memory.
            rest = (rest + chunk)[: MAX_LINE_BYTES + 1]
            continue
        block = Block(first_line, b"".join((rest, memoryview(chunk)[:end])))
        rest = chunk[end + 1 :][: MAX_LINE_BYTES + 1]
        rows = len(block.ends)
        for start in range(0, rows, MAX_BATCH_ROWS):
            is_all = rows <= MAX_BATCH_ROWS
            yield block if is_all else block.part(start, start + MAX_BATCH_ROWS)
        first_line += rows
    if rest:
        yield Block(first_line, rest, ended=False)


def _unreadable(path: Path, error: Exception) -> Fault:
    why = getattr(error, "strerror", None) or str(error)
    return Fault(
        path.name or str(path),
        "a file that can be read",
        why.lower(),
        "Check the path and who may read it.",
    )
