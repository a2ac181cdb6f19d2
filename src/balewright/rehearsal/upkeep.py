"""When a machine is served: by bales, as its profile asks, a little early or late."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from balewright.rehearsal.faults import ConfuserKind, FaultKind
from balewright.rehearsal.task import Task

GREASE = "grease-cartridge"
TURNED = "knives-turned"


def service_rounds(task: Task) -> Mapping[str, tuple[int, ...]]:
    """Before which bales (0-based) each service item that goes by bales was done."""
    found = {}
    for item in task.machine.service:
        if item.every_bales is not None:
            found[item.key] = _rounds(task, item.key, item.every_bales)
    extra = tuple(bale for bale, _ in task.placed(ConfuserKind.SERVICE))
    if extra:
        found[TURNED] = tuple(sorted({*found.get(TURNED, ()), *extra}))
    return found


def _rounds(task: Task, key: str, every: int) -> tuple[int, ...]:
    chance = task.streams.of(f"service {key}")
    stuck = [
        fault for fault in task.planted if fault.kind is FaultKind.GREASE_STUCK and key == GREASE
    ]
    last, done = 0, int(every * chance.uniform(0.05, 0.95))
    rounds: list[int] = []
    while True:
        for fault in stuck:  # what was left of the interval when it stuck takes so much longer
            if done > fault.start:
                since = max(last, fault.start)
                done = since + int((done - since) * fault.severity)
        if done >= task.bales:
            return tuple(rounds)
        rounds.append(done)
        last, done = done, done + int(every * chance.uniform(0.9, 1.08))


def since_turned(task: Task, every: int) -> NDArray[np.float64]:
    """How much of the interval between two turnings the knives have run, 0..1, shape (bales,)."""
    begun = task.streams.of("knife age").uniform(0.0, 0.6)
    ran = np.arange(task.bales) / every + begun
    for bale in service_rounds(task).get(TURNED, ()):
        ran[bale:] = np.arange(task.bales - bale) / every
    return np.asarray(np.clip(ran, 0.0, 1.0))
