"""A backup back into an empty home."""

from __future__ import annotations

from pathlib import Path

from balewright.flows.workplace import Progress, keep_quiet
from balewright.store.restore import Restored, restore


def restore_house(archive: Path, home: Path, progress: Progress | None = None) -> Restored:
    """Make `home` what it was when the backup was written.

    There is no workplace yet: home is absent or empty. Raises BadInput, with nothing changed,
    for a home in use and for a backup that is not whole.
    """
    tell = progress or keep_quiet
    return restore(archive.absolute(), home, lambda done, total: tell("restoring", done, total))
