"""Which machines somebody told something of: asked over all machines, file by file.

A column file never changes, so what was found in one is remembered while the process lives.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.records.events import EventKind
from balewright.records.rolls import plain_name
from balewright.store.arrow import read_part
from balewright.store.entries import Dataset

if TYPE_CHECKING:
    from balewright.store.journal import Journal

_REMEMBERED: Final = 20_000
_ROLLS: Final = (EventKind.FILM_ROLL_CHANGED.value, EventKind.NET_ROLL_CHANGED.value)

Told = tuple[frozenset[str], frozenset[tuple[str, str]]]


def machines_with_swaps(journal: Journal) -> frozenset[str]:
    """Serials with an event `control swapped`, taken back or not."""
    return frozenset().union(*(swapped for swapped, _ in _told(journal)))


def machines_with_batch(journal: Journal, batch: str) -> frozenset[str]:
    """Serials with a roll of that batch (as `records.rolls.plain_name` writes it)."""
    pairs = frozenset[tuple[str, str]]().union(*(rolls for _, rolls in _told(journal)))
    return frozenset(machine for machine, name in pairs if name == batch)


def _told(journal: Journal) -> list[Told]:
    with journal.snapshot() as views:
        return [
            _told_in(view.path(part), part.sha256)
            for view in views
            for part in view.parts
            if part.dataset is Dataset.EVENTS
        ]


@lru_cache(maxsize=_REMEMBERED)
def _told_in(path: Path, sha256: str) -> Told:  # noqa: ARG001  a file's identity
    """Machines with a swap in one file, and (machine, batch) of its rolls."""
    rows = read_part(path, Dataset.EVENTS, None, ["machine", "kind", "batch"]).to_pylist()
    swapped = {row["machine"] for row in rows if row["kind"] == EventKind.CONTROL_SWAPPED.value}
    rolls = {
        (row["machine"], plain_name(row["batch"]))
        for row in rows
        if row["kind"] in _ROLLS and row["batch"]
    }
    return frozenset(swapped - {None}), frozenset(pair for pair in rolls if pair[0] is not None)
