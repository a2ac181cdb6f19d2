"""Names of files brought to the disk: a file's bytes may be sure while its name is not."""

from __future__ import annotations

import os
from pathlib import Path


def flush_folder(folder: Path) -> None:
    """Make the names in one folder sure."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def flush_tree(folder: Path) -> None:
    """Make the names in a folder and in all below it sure."""
    for here, _, _ in os.walk(folder):
        flush_folder(Path(here))
