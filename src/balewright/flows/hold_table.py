"""Hold a table that is not understood yet, until somebody has said what its columns mean."""

from __future__ import annotations

import re
import shutil
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Final

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.mapped.opening import UNKNOWN_TABLE
from balewright.records.intake import Refusal
from balewright.store.originals import safe_name
from balewright.store.running import cannot_write

KEPT_DAYS: Final = 3
"""A table that nobody explains for so long is swept away."""

MOST_HELD: Final = 50
_KEY: Final = re.compile(r"[0-9a-f]{32}")


@dataclass(frozen=True)
class HeldTable:
    """A table that waits. path: where it lies; name: what people call it."""

    key: str
    path: Path
    name: str


def hold_table(workplace: Workplace, path: Path, name: str) -> HeldTable:
    """Move a file to where it waits; those that waited too long go. Raises BadInput when full."""
    folder = _folder(workplace)
    sweep_tables(workplace)
    if folder.is_dir() and sum(1 for _ in folder.iterdir()) >= MOST_HELD:
        cure = f"Explain them, or wait: after {KEPT_DAYS} days they go."
        raise BadInput(Fault("table", f"at most {MOST_HELD} tables that wait", "more", cure))
    key = uuid.uuid4().hex
    place = folder / key / safe_name(name)
    try:
        place.parent.mkdir(parents=True, mode=0o700)
        shutil.move(path, place)
    except OSError as error:
        raise cannot_write(folder, error) from error
    return HeldTable(key, place, place.name)


def held_table(workplace: Workplace, key: str) -> HeldTable | None:
    """The table that waits under that key; None where none does any more."""
    place = _folder(workplace) / key
    if not _KEY.fullmatch(key) or not place.is_dir():
        return None
    file = next(place.iterdir(), None)
    return None if file is None else HeldTable(key, file, file.name)


def waiting_tables(workplace: Workplace) -> tuple[HeldTable, ...]:
    """The tables that nobody has explained yet, the newest first."""
    folder = _folder(workplace)
    places = list(folder.iterdir()) if folder.is_dir() else []
    places.sort(key=lambda place: place.stat().st_mtime, reverse=True)
    found = (held_table(workplace, place.name) for place in places)
    return tuple(one for one in found if one is not None)


def drop_table(workplace: Workplace, key: str) -> None:
    """Let a table go."""
    if _KEY.fullmatch(key):
        shutil.rmtree(_folder(workplace) / key, ignore_errors=True)


def sweep_tables(workplace: Workplace) -> None:
    """Let the tables go that nobody explained for KEPT_DAYS."""
    oldest = (workplace.clock() - timedelta(days=KEPT_DAYS)).timestamp()
    folder = _folder(workplace)
    for place in folder.iterdir() if folder.is_dir() else ():
        if place.stat().st_mtime < oldest:
            shutil.rmtree(place, ignore_errors=True)


def is_unknown_table(refusals: Iterable[Refusal]) -> bool:
    """Whether a file was refused only because nobody has said what its columns mean."""
    return any(UNKNOWN_TABLE in one.reason for one in refusals)


def _folder(workplace: Workplace) -> Path:
    return workplace.home / "tables"
