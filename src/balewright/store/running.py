"""Which intakes are running: a locked file each. The lock dies with its process, however."""

from __future__ import annotations

import fcntl
import os
import secrets
from pathlib import Path
from typing import Self

from balewright.quantities.errors import BadInput, Fault


class RunningMark:
    """Says "this intake runs" while it is held. token: part of the name of each of its files."""

    def __init__(self, token: str, path: Path, handle: int) -> None:
        self.token = token
        self._path = path
        self._handle: int | None = handle

    @classmethod
    def begin(cls, folder: Path) -> Self:
        """Make and lock a mark. Raises BadInput when the folder cannot be written."""
        try:
            folder.mkdir(parents=True, exist_ok=True)
            while True:
                token = secrets.token_hex(12)
                path = folder / token
                handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
                fcntl.flock(handle, fcntl.LOCK_EX)
                if path.exists():  # else a sweep took it for a dead one before we held it
                    return cls(token, path, handle)
                os.close(handle)
        except OSError as error:
            raise cannot_write(folder, error) from error

    def end(self) -> None:
        """Take the mark away; again does nothing."""
        if self._handle is not None:
            self._path.unlink(missing_ok=True)
            os.close(self._handle)
            self._handle = None


def is_running(folder: Path, token: str) -> bool:
    """Whether the intake of that token is alive; takes the mark of a dead one away."""
    path = folder / token
    try:
        handle = os.open(path, os.O_RDWR)
    except FileNotFoundError:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return True
    else:
        path.unlink(missing_ok=True)
        return False
    finally:
        os.close(handle)


def cannot_write(place: Path, error: OSError) -> BadInput:
    """The error for a folder that is read-only, full or gone. Nothing was half taken."""
    cure = "Free space or give write permission, then do it again: nothing is half done."
    return BadInput(
        Fault(str(place), "a folder that can be written", error.strerror or str(error), cure)
    )
