"""The folder of the workplace: can it be written, is there room, what was left lying."""

from __future__ import annotations

import os
import shutil
import stat
import tempfile
from pathlib import Path
from typing import Final

from balewright.store.health.lines import HealthLine, HealthState, good, wrong

ROOM_BYTES: Final = 2_000_000_000
"""Below this a season's file may not fit beside its copy and its column files."""

FEW_BYTES: Final = 200_000_000
"""Below this the next file may already fail."""


def look_at_home(home: Path) -> HealthLine:
    """Whether a file can be made, flushed and removed there."""
    try:
        with tempfile.TemporaryFile(dir=home) as file:
            file.write(b"0")
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        said = error.strerror or str(error)
        return wrong("home", HealthState.BROKEN, "shut", home=str(home), error=said)
    return good("home", home=str(home))


def look_at_room(home: Path) -> HealthLine:
    """Free space where the workplace lies."""
    try:
        free = shutil.disk_usage(home).free
    except OSError as error:
        return wrong("room", HealthState.UNKNOWN, "unseen", error=error.strerror or str(error))
    if free < FEW_BYTES:
        return wrong("room", HealthState.BROKEN, "none", free_bytes=free)
    if free < ROOM_BYTES:
        return wrong("room", HealthState.LOOK, "little", free_bytes=free)
    return good("room", free_bytes=free)


def look_at_key(home: Path) -> HealthLine | None:
    """Whether others may read the key that signs sessions; None where there is no file of it."""
    path = home / "secret_key"
    try:
        mode = path.stat().st_mode
    except OSError:
        return None
    if stat.S_IMODE(mode) & 0o077:
        return wrong("key", HealthState.LOOK, "open", path=str(path))
    return good("key")


def look_at_left_over(home: Path) -> HealthLine:
    """Restores that were stopped, beside the home: nobody misses them."""
    try:
        found = sorted(home.parent.glob(f".{home.name}.restoring-*"))
    except OSError:
        found = []
    if found:
        names = ", ".join(path.name for path in found[:3])
        return wrong("left_over", HealthState.LOOK, "restores", count=len(found), names=names)
    return good("left_over")
