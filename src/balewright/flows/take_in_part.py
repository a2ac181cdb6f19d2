"""Only what a file says of one machine: a sender may speak of its own alone."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from balewright.records.intake import Batch, Places, Refusal


class SpeaksOfOthers(Exception):
    """A row of another machine was met."""


def identity_in_part(sha256: str, machine: str) -> str:
    """The ledger's identity of what one machine's sender may say of a file.

    Another one than the file's own, so that the same file from somebody who may speak of all its
    machines is not taken for known.
    """
    return hashlib.sha256(f"{sha256} of {machine} alone".encode()).hexdigest()


def of_one_machine(batches: Iterator[Batch], machine: str, in_part: bool) -> Iterator[Batch]:
    """The batches without rows and events of other machines, which are refused one by one.

    in_part: False to raise SpeaksOfOthers at the first instead.
    """
    before = 0
    for batch in batches:
        named = batch.bales.column("machine")
        own = np.asarray((named == machine) & batch.bales.mask("machine"), dtype=np.bool_)
        others = [event for event in batch.events if event.machine != machine]
        if own.all() and not others:
            yield batch
        elif not in_part:
            raise SpeaksOfOthers
        else:
            yield _own_part(batch, machine, own, before)
        before += batch.bales.rows


def _own_part(batch: Batch, machine: str, own: NDArray[np.bool_], before: int) -> Batch:
    rows = np.flatnonzero(~own).tolist()
    names = batch.bales.column("machine")[rows].tolist()
    refused = [
        _refusal(machine, name, *_where(batch.places, row, before))
        for row, name in zip(rows, names, strict=True)
    ]
    refused += [
        _refusal(machine, event.machine, "", f"event {event.kind.value}")
        for event in batch.events
        if event.machine != machine
    ]
    places = batch.places
    return replace(
        batch,
        bales=batch.bales.take(own),
        events=tuple(event for event in batch.events if event.machine == machine),
        refusals=(*batch.refusals, *refused),
        places=None if places is None else _kept_places(places, own),
    )


def _where(places: Places | None, row: int, before: int) -> tuple[str, str]:
    if places is None:
        return "", f"row {before + row + 1} of those that could be read"
    return str(places.file[row]), f"{places.unit.value} {int(places.at[row])}"


def _kept_places(places: Places, own: NDArray[Any]) -> Places:
    return Places(places.file[own], places.at[own], places.unit)


def _refusal(machine: str, other: str, file: str, place: str) -> Refusal:
    cure = "Let that machine's own sender send it, or take the file in at the desk."
    return Refusal(file, place, other, f"needs {machine}: its sender speaks of no other. {cure}")
