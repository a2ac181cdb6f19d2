"""A disk of its own of a few megabytes, that can be filled to the byte and made read-only."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

PAGE_BYTES: Final = 4096


@dataclass(frozen=True)
class SmallDisk:
    """root: where it is mounted."""

    root: Path

    def fill(self, free_bytes: int) -> None:
        """Leave so many bytes free, in whole pages."""
        self.free()
        state = os.statvfs(self.root)
        taken = state.f_bavail * state.f_frsize - free_bytes // PAGE_BYTES * PAGE_BYTES
        with self._ballast.open("wb") as file:
            os.posix_fallocate(file.fileno(), 0, max(1, taken))

    def free(self) -> None:
        """Give the room back."""
        self._ballast.unlink(missing_ok=True)

    def shut(self) -> None:
        """Nothing can be written any more, not even by root."""
        _mount("-o", "remount,ro", str(self.root))

    def open(self) -> None:
        """It can be written again."""
        _mount("-o", "remount,rw", str(self.root))

    @property
    def _ballast(self) -> Path:
        return self.root / "ballast"


def may_mount(folder: Path) -> bool:
    """Whether this process may mount a disk (root on most computers may)."""
    folder.mkdir()
    try:
        with small_disk(folder, 1):
            return True
    except (OSError, subprocess.CalledProcessError):
        return False
    finally:
        folder.rmdir()


@contextmanager
def small_disk(folder: Path, size_mb: int) -> Iterator[SmallDisk]:
    """Mount one at an empty folder, and take it away at the end."""
    _mount("-t", "tmpfs", "-o", f"size={size_mb}m", "tmpfs", str(folder))
    try:
        yield SmallDisk(folder)
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)  # whatever still holds a file


def _mount(*words: str) -> None:
    subprocess.run(["mount", *words], check=True, capture_output=True)
