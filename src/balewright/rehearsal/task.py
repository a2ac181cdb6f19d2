"""What one machine has to rehearse, and how bad what is planted is at each bale."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from balewright.plan.machine import Machine
from balewright.rehearsal.days import Schedule
from balewright.rehearsal.faults import Confuser, ConfuserKind, FaultKind, Planted, RollLoss
from balewright.rehearsal.streams import Streams
from balewright.rehearsal.targets import TargetSettings

Floats = NDArray[np.float64]
BATCH_BOUND = frozenset({FaultKind.ROLL_BATCH})


class Slipping(Protocol):
    """How the bale's advance on the wrapper may differ from the machine's design."""

    def factors(self, job: NDArray[np.int64], chance: np.random.Generator) -> Floats:
        """What the advance of each bale is multiplied by, shape (bales,). job: its number."""


@dataclass(frozen=True)
class Task:
    """See `season.Player`, from which it is made. drivers: how many take turns by the day."""

    machine: Machine
    targets: TargetSettings
    schedule: Schedule
    planted: tuple[Planted, ...]
    confusers: tuple[Confuser, ...]
    lost: tuple[RollLoss, ...]
    streams: Streams
    drivers: int = 1
    slipping: Slipping | None = None

    @property
    def bales(self) -> int:
        """How many bales the season has."""
        return len(self.schedule.job)

    @cached_property
    def progress(self) -> tuple[Floats, ...]:
        """How far each planted fault has come, 0..1, shape (bales,) each."""
        return tuple(
            fault.progress(self.bales, self.streams.of(f"spells of {fault.kind} {place}"))
            for place, fault in enumerate(self.planted)
        )

    def level(self, kind: FaultKind, dispenser: int | None = None) -> Floats:
        """Sum of what is planted of one kind, per bale. dispenser: that one's only."""
        total = np.zeros(self.bales)
        for fault, progress in zip(self.planted, self.progress, strict=True):
            if fault.kind is kind and dispenser in (None, fault.dispenser):
                total += fault.severity * progress
        return total

    def times(self, kind: FaultKind, dispenser: int | None = None) -> Floats:
        """By how much a rate or a spread is multiplied, per bale: 1 where nothing is planted."""
        factor = np.ones(self.bales)
        for fault, progress in zip(self.planted, self.progress, strict=True):
            if fault.kind is kind and dispenser in (None, fault.dispenser):
                factor *= 1.0 + (fault.severity - 1.0) * progress
        return factor

    def confused(self, kind: ConfuserKind) -> Floats:
        """Size of a confuser at each bale of the jobs it falls on, else zero."""
        total = np.zeros(self.bales)
        for one in self._of(kind):
            total[self.schedule.job == one.job] += one.severity
        return total

    def since(self, kind: ConfuserKind) -> Floats:
        """Sum of the confusers that began with a job and last, per bale."""
        total = np.zeros(self.bales)
        for one in self._of(kind):
            total[self.schedule.job >= one.job] += one.severity
        return total

    def all_day(self, kind: ConfuserKind) -> Floats:
        """Size of a confuser on all bales of the days its jobs lie on, else zero."""
        total = np.zeros(self.bales)
        for one in self._of(kind):
            days = self.schedule.day[self.schedule.job == one.job]
            total[np.isin(self.schedule.day, days)] += one.severity
        return total

    def first_of(self, job: int) -> int | None:
        """The first bale of a job, None where the season ends before it."""
        found = np.flatnonzero(self.schedule.job == job)
        return int(found[0]) if len(found) else None

    def placed(self, kind: ConfuserKind) -> tuple[tuple[int, float], ...]:
        """First bale and size of every confuser of a kind that falls into the season."""
        found = ((self.first_of(one.job), one.severity) for one in self._of(kind))
        return tuple((bale, severity) for bale, severity in found if bale is not None)

    def by_job(self, name: str, spread: float) -> Floats:
        """A normal draw of each job, at each of its bales. spread: in the answer's unit."""
        return self.streams.normal(name, self.schedule.jobs, spread)[self.schedule.job]

    def by_day(self, name: str, spread: float) -> Floats:
        """A normal draw of each day, at each of its bales. spread: in the answer's unit."""
        days = int(self.schedule.day[-1]) + 1
        return self.streams.normal(name, days, spread)[self.schedule.day]

    def by_bale(self, name: str, spread: float) -> Floats:
        """A normal draw of each bale. spread: in the answer's unit."""
        return self.streams.normal(name, self.bales, spread)

    def _of(self, kind: ConfuserKind) -> tuple[Confuser, ...]:
        return tuple(one for one in self.confusers if one.kind is kind)
