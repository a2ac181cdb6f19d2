"""What is noted beside the bales: rolls and cartridges changed, services, settings, controls."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from balewright.records.events import Event, EventKind, Setting
from balewright.rehearsal.cover import Cover
from balewright.rehearsal.faults import ConfuserKind
from balewright.rehearsal.task import Task
from balewright.rehearsal.upkeep import GREASE, service_rounds


@dataclass
class _Book:
    """Events of one machine, as they are noted."""

    serial: str
    numbers: NDArray[np.int64]
    closed_us: NDArray[np.int64]
    events: list[Event] = field(default_factory=list)

    def note(
        self, bale: int, kind: EventKind, item: str, value: float | None = None, batch: str = ""
    ) -> None:
        """Something that came before a bale of the season, counted from 0."""
        number, at_us = int(self.numbers[bale]), int(self.closed_us[bale])
        self.events.append(Event(self.serial, kind, number, at_us, item, value, batch=batch))


def note_events(
    task: Task,
    cover: Cover,
    serial: str,
    numbers: NDArray[np.int64],
    closed_us: NDArray[np.int64],
) -> tuple[Event, ...]:
    """Everything that happened, in order."""
    book = _Book(serial, numbers, closed_us)
    wrap, targets = cover.wrap, task.targets
    roll_m = None if targets.wrap is None else targets.wrap.roll_m
    for place in range(wrap.new_roll.shape[1]):
        for bale in np.flatnonzero(wrap.new_roll[:, place]).tolist():
            batch = f"F{wrap.batch[bale, place] + 1:03d}"
            item = f"dispenser {place + 1}"
            book.note(bale, EventKind.FILM_ROLL_CHANGED, item, roll_m, batch)
    if targets.binding == "net":
        for place, bale in enumerate(np.flatnonzero(cover.binding.new_roll).tolist()):
            batch = f"N{place // 8 + 1:03d}"
            book.note(bale, EventKind.NET_ROLL_CHANGED, "net", targets.net_roll_m, batch)
    for item, rounds in service_rounds(task).items():
        kind = EventKind.CARTRIDGE_CHANGED if item == GREASE else EventKind.SERVICED
        for bale in rounds:
            book.note(bale, kind, item)
    for bale, _ in task.placed(ConfuserKind.SERVICE):
        book.note(bale, EventKind.KNIVES_TURNED, "knives")
    for bale, _ in task.placed(ConfuserKind.SWAPPED_CONTROL):
        book.note(bale, EventKind.CONTROL_SWAPPED, "")
    return tuple(sorted(book.events, key=lambda event: event.at_us or 0))


def note_settings(
    task: Task,
    who: tuple[str, str | None],
    numbers: NDArray[np.int64],
    closed_us: NDArray[np.int64],
) -> tuple[Setting, ...]:
    """Settings that were changed and told. who: serial and the sheet that is in force then."""
    serial, sheet = who
    told = task.targets.chamber_bar
    if told is None:
        return ()
    since = task.since(ConfuserKind.SETTING_CHANGED)
    return tuple(
        Setting(
            serial, "chamber_bar", told + float(since[bale]), int(numbers[bale]),
            int(closed_us[bale]), sheet,
        )
        for bale, _ in sorted(task.placed(ConfuserKind.SETTING_CHANGED))
    )  # fmt: skip
