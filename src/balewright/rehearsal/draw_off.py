"""Film drawn off the rolls, bale by bale: new rolls when one is nearly empty, batches of eight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.rehearsal import sizes
from balewright.rehearsal.crop import Crop
from balewright.rehearsal.faults import ConfuserKind, FaultKind
from balewright.rehearsal.task import Floats, Task

Bools = NDArray[np.bool_]
_OWN_BATCH = 10_000
"""Numbers from here on are batches that were asked for."""


@dataclass(frozen=True)
class DrawnOff:
    """Shape (bales, dispensers) each.

    stretch_frac; roll_m: metres off the roll; new_roll: put on before this bale; batch: number of
    the batch of the roll that is on, from 0; batch_on: a batch with a planted fault;
    roll_break_log: logarithm of how much more than usual this roll breaks.
    """

    stretch_frac: Floats
    roll_m: Floats
    new_roll: Bools
    batch: NDArray[np.int64]
    batch_on: Bools
    roll_break_log: Floats


def draw_off(task: Task, crop: Crop, carried: Floats) -> DrawnOff:
    """Let the rolls run. carried: turns that each dispenser carried film, (bales, dispensers)."""
    wrap = task.targets.wrap
    if wrap is None:
        raise ValueError("film is drawn off only where a machine wraps")
    girth = 2.0 * (crop.diameter_m + task.targets.length_m)
    path = girth * (1.0 + task.by_bale("film path", sizes.PATH_SHARE))
    wants_m = carried * path[:, None]
    stretch = wrap.pre_stretch_frac + _stretch_without_rolls(task, carried.shape[1])
    return _Rolls(task, wrap.roll_m, carried.shape[1]).run(wants_m, stretch)


def _stretch_without_rolls(task: Task, dispensers: int) -> Floats:
    """What moves the stretch of each dispenser beside the roll, shape (bales, dispensers)."""
    job_rolls = task.confused(ConfuserKind.NEW_ROLL)
    columns = []
    for place in range(dispensers):
        name = f"dispenser {place + 1}"
        uneven = np.sqrt(task.times(FaultKind.STRETCH_UNEVEN, place + 1) ** 2 - 1.0)
        columns.append(
            task.streams.one(f"stretch {name}", sizes.STRETCH_MACHINE_FRAC)
            + task.level(FaultKind.STRETCH, place + 1)
            + task.by_bale(f"stretch bale {name}", sizes.STRETCH_BALE_FRAC)
            + task.by_bale(f"grip {name}", sizes.METRES_SEEN_FRAC) * uneven
            + job_rolls
        )
    return np.maximum(np.stack(columns, axis=1), -0.5)


class _Rolls:
    """The rolls of one machine in their order; a batch is eight of them."""

    def __init__(self, task: Task, roll_m: float, dispensers: int) -> None:
        bales, streams = task.bales, task.streams
        self.roll_m, self.dispensers = roll_m, dispensers
        most = bales * dispensers + dispensers
        few = most // sizes.ROLLS_A_BATCH + 1
        self.of_roll = streams.normal("rolls", most, sizes.STRETCH_ROLL_FRAC)
        self.of_batch = streams.normal("batches", few, sizes.STRETCH_BATCH_FRAC)
        self.breaks = streams.normal("roll breaks", most, sizes.BREAK_ROLL_LOG)
        self.batch = np.arange(most) // sizes.ROLLS_A_BATCH
        self.left = (roll_m * streams.of("rolls begun").uniform(0.2, 1.0, dispensers)).tolist()
        self.wanted = [  # the bale from which on a new batch is opened, and its stretch
            *((bale, size, False) for bale, size in task.placed(ConfuserKind.NEW_BATCH)),
            *((one.start, 0.0, True) for one in task.planted if one.kind is FaultKind.ROLL_BATCH),
        ]

    def run(self, wants_m: Floats, stretch: Floats) -> DrawnOff:
        """wants_m: metres of stretched film, stretch: without the roll; (bales, dispensers)."""
        bales = len(wants_m)
        roll = np.zeros((bales, self.dispensers), dtype=np.int64)
        new = np.zeros((bales, self.dispensers), dtype=np.bool_)
        metres = np.empty((bales, self.dispensers))
        extra = np.zeros(len(self.of_roll))
        marked = np.zeros(len(self.of_roll), dtype=np.bool_)
        on, number = list(range(self.dispensers)), self.dispensers - 1
        of_roll = self.of_roll + self.of_batch[np.arange(len(self.of_roll)) // sizes.ROLLS_A_BATCH]
        wants, stretches = wants_m.tolist(), stretch.tolist()
        for bale in range(bales):
            for place in range(self.dispensers):
                ratio = 1.0 + stretches[bale][place]
                off = wants[bale][place] / (ratio + of_roll[on[place]] + extra[on[place]])
                if self.left[place] < off:
                    number += 1
                    self._open(bale, number, extra, marked)
                    on[place], self.left[place] = number, self.roll_m
                    new[bale, place] = True
                    off = wants[bale][place] / (ratio + of_roll[number] + extra[number])
                self.left[place] -= off
                metres[bale, place], roll[bale, place] = off, on[place]
        return DrawnOff(
            stretch + of_roll[roll] + extra[roll], metres, new, self.batch[roll], marked[roll],
            self.breaks[roll],
        )  # fmt: skip

    def _open(self, bale: int, number: int, extra: Floats, marked: Bools) -> None:
        """Eight rolls of a batch begin with this one where it was time for them."""
        for due in [one for one in self.wanted if one[0] <= bale]:
            self.wanted.remove(due)
            eight = slice(number, number + sizes.ROLLS_A_BATCH)
            extra[eight] += due[1]
            marked[eight] |= due[2]
            self.batch[eight] = _OWN_BATCH + number
