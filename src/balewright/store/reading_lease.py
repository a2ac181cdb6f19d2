"""While somebody reads, no column file that was listed is taken away.

Readers share a lock, whoever takes files away needs it alone and else leaves them for the next
time. It dies with its process. Where the folder cannot be written there is no lock: a reader then
lists anew when a file has gone.
"""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_NAME = "reading.lock"


@contextmanager
def reading(root: Path) -> Iterator[None]:
    """Hold listed files in place. root: the journal's folder."""
    handle = _open(root)
    try:
        if handle is not None:
            fcntl.flock(handle, fcntl.LOCK_SH)
        yield
    finally:
        if handle is not None:
            os.close(handle)


@contextmanager
def alone(root: Path) -> Iterator[bool]:
    """Whether nobody reads now; readers that come meanwhile wait until the end."""
    handle = _open(root)
    try:
        yield handle is not None and _take_alone(handle)
    finally:
        if handle is not None:
            os.close(handle)


def _take_alone(handle: int) -> bool:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _open(root: Path) -> int | None:
    try:
        root.mkdir(parents=True, exist_ok=True)
        return os.open(root / _NAME, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError:
        return None
