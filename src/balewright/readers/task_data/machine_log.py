"""The columns of one log that belong to one machine, by identifier."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.devices import Device, Presentation
from balewright.readers.task_data.dictionary import Worth, worth_of
from balewright.readers.task_data.logged import TimeLog

_SQUARE: Final = frozenset(
    {106, 107, 108, 109, 110, 211, 213, 218, 219, 220, 364, 481, 482, 547, 548, 549}
)
"""Height, flakes, strokes and plunger load: a machine that has one of them makes square bales."""


@dataclass(frozen=True, eq=False)
class MachineLog:
    """One machine in one log. columns: places in the log's columns by identifier (several where
    the header repeats it for one element); shown: the device's presentations; square: whether the
    machine describes or logs what only a square baler has."""

    log: TimeLog
    machine: str
    columns: Mapping[int, tuple[int, ...]]
    shown: Mapping[int, Presentation]
    square: bool = False

    def written(self, number: int) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
        """Rows and raw values where an identifier was written, in order; empty where the log does
        not have it."""
        places = self.columns.get(number, ())
        if len(places) == 1:
            return self.log.written(places[0])
        parts = [self.log.written(place) for place in places]
        rows = np.concatenate([np.zeros(0, np.int32), *(rows for rows, _ in parts)])
        raws = np.concatenate([np.zeros(0, np.int32), *(raws for _, raws in parts)])
        order = np.argsort(rows, kind="stable")
        return rows[order], raws[order]

    def worth(self, number: int) -> Worth:
        """What raw values of an identifier are worth in this log."""
        _, raws = self.written(number)
        return worth_of(number, self.shown.get(number), raws[raws != 0])

    def carried(self, number: int, at: NDArray[np.int64]) -> NDArray[np.float64]:
        """The raw value in force at each record (a value is written only when it changes), NaN
        before the first. at: records, any order."""
        rows, raws = self.written(number)
        if not len(raws):
            return np.full(len(at), np.nan)
        place = np.searchsorted(rows, at, side="right") - 1
        return np.where(place >= 0, raws[np.maximum(place, 0)].astype(np.float64), np.nan)


def split_by_machine(
    log: TimeLog, devices: tuple[Device, ...], otherwise: str
) -> tuple[MachineLog, ...]:
    """A log's columns by machine. otherwise: the machine of elements no device describes.

    Where several elements of a machine log one identifier, the device itself (kind 1) counts,
    else the first in the header.
    """
    owner = {element.key: (device, element) for device in devices for element in device.elements}
    columns: dict[str, dict[int, tuple[int, ...]]] = {}
    taken: dict[tuple[str, int], str] = {}
    shown: dict[str, dict[int, Presentation]] = {}
    square: set[str] = {each.machine for each in devices if _is_square(each)}
    for place, column in enumerate(log.columns):
        device, element = owner.get(column.element, (None, None))
        machine = device.machine if device else otherwise
        held = columns.setdefault(machine, {})
        if column.number in _SQUARE:
            square.add(machine)
        if taken.get((machine, column.number)) == column.element:
            held[column.number] += (place,)
            continue
        if column.number in held and not (element and element.kind == 1):
            continue
        held[column.number] = (place,)
        taken[machine, column.number] = column.element
        for process in element.process if element else ():
            if process.number == column.number and process.presentation:
                shown.setdefault(machine, {})[column.number] = process.presentation
    return tuple(
        MachineLog(log, each, columns[each], shown.get(each, {}), each in square)
        for each in columns
    )


def _is_square(device: Device) -> bool:
    parts = device.elements
    numbers = {each.number for part in parts for each in part.process}
    return not _SQUARE.isdisjoint(numbers | {each.number for p in parts for each in p.properties})
