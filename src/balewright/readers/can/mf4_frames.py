"""Frames of an MF4, read by asammdf in a process of its own. It comes with `balewright[mf4]`."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.frames import Frames
from balewright.readers.can.mf4_child import RECORD
from balewright.readers.can.notes import Notes
from balewright.readers.can.wall_clock import Restart

LONGEST_S: Final = 60.0
"""A file that takes longer than this, and LONGEST_S_PER_MIB for each MiB of it, is given up."""

LONGEST_S_PER_MIB: Final = 4.0
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_CUT: Final = "one that needs too much memory or time"


def require_mf4(path: Path) -> None:
    """Pass where MF4 can be read; BadInput with the cure where the extra is not installed."""
    if find_spec("asammdf") is None:
        need = "the extra that reads MF4 (asammdf)"
        cure = "Run: pip install balewright[mf4]"
        raise BadInput(Fault(path.name, need, "a program without it", cure))


def mf4_frames(path: Path, notes: Notes) -> Iterator[Frames | Restart]:
    """Frames of all groups of an MF4 that log a bus, times since its start, in their order; first
    a Restart with the start.

    Raises BadInput where it logs no bus, or cannot be read within bounds.
    """
    last = read = 0
    size, every = path.stat().st_size, 1
    with _child(path) as out:
        while True:
            line = _line(path, out)
            if "fault" in line:
                raise _unreadable(path, str(line["fault"]))
            if "start" in line:
                every = max(1, int(line["all"]))
                yield Restart(_EPOCH + timedelta(microseconds=int(line["start"])))
            elif "damaged" in line:
                place = f"after message {last}"
                notes.refuse(place, "", f"The rest of it is damaged ({line['damaged']}).")
            elif "end" in line:
                if not line["groups"]:
                    cure = "Export the raw frames, not signals."
                    need = "an MF4 with frames of a CAN bus"
                    raise BadInput(Fault(path.name, need, "one with none", cure))
                return
            else:
                if line["fd"]:
                    notes.left_out["frame of CAN FD"] += int(line["fd"])
                count = int(line["frames"])
                read += count + int(line["fd"])
                notes.bytes_done = size * read // every
                content = out.read(count * RECORD.itemsize)
                if len(content) < count * RECORD.itemsize:
                    raise _unreadable(path, _CUT)
                if count:
                    yield _frames(np.frombuffer(content, RECORD), last)
                last += count


def _frames(records: NDArray[Any], last: int) -> Frames:
    return Frames(
        records["at_us"].astype(np.int64),
        records["id"].astype(np.uint32),
        records["extended"].copy(),
        records["length"].copy(),
        records["data"].copy(),
        np.arange(last + 1, last + 1 + len(records), dtype=np.int64),
    )


@contextmanager
def _child(path: Path) -> Iterator[IO[bytes]]:
    """What the reading process writes; it ends with the block, and its copies with it."""
    longest_s = LONGEST_S + LONGEST_S_PER_MIB * path.stat().st_size / (1 << 20)
    with TemporaryDirectory(prefix="balewright-mf4-", ignore_cleanup_errors=True) as folder:
        child = subprocess.Popen(  # noqa: S603  our own module, no shell
            [sys.executable, "-m", "balewright.readers.can.mf4_child", str(path), folder],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            stdin=subprocess.DEVNULL,
        )
        ending = threading.Timer(longest_s, child.kill)
        ending.start()
        try:
            assert child.stdout is not None
            yield child.stdout
        finally:
            ending.cancel()
            child.kill()
            child.wait()
            if child.stdout is not None:
                child.stdout.close()


def _line(path: Path, out: IO[bytes]) -> dict[str, Any]:
    try:
        line = json.loads(out.readline())
    except ValueError:
        raise _unreadable(path, _CUT) from None
    if not isinstance(line, dict):
        raise _unreadable(path, _CUT)
    return line


def _unreadable(path: Path, given: str) -> BadInput:
    return BadInput(Fault(path.name, "a whole MF4 file", given, "Copy it again."))
