"""A rehearsed season: machines in, bale records, events and the truth out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.plan.machine import Machine
from balewright.records.bales import BaleTable, concatenate
from balewright.records.events import Event, EventKind
from balewright.rehearsal.cycle import run_cycles
from balewright.rehearsal.days import SeasonPlan, Site, plan_days
from balewright.rehearsal.faults import Confuser, Planted
from balewright.rehearsal.making import Cover, Crop, RollLoss, Task, cover_bales, make_crop
from balewright.rehearsal.recording import Season, number_bales, write_table
from balewright.rehearsal.targets import TargetSettings

_US = 1_000_000


@dataclass(frozen=True)
class Player:
    """One machine of the rehearsal: what it is, was told, works for, and what is wrong with it.

    sheet: key of the sheet its records name (None: none); sites: its jobs, taken in turn;
    first_number: the number of its first bale; lost: rolls lost in the middle of a bale;
    silent: columns that its profile knows but this one machine does not record.
    """

    serial: str
    machine: Machine
    targets: TargetSettings
    sites: tuple[Site, ...]
    sheet: str | None = None
    first_number: int = 1
    planted: tuple[Planted, ...] = ()
    confusers: tuple[Confuser, ...] = ()
    lost: tuple[RollLoss, ...] = ()
    silent: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Truth:
    """What nobody in the field knows: per bale of one machine, shape (bales,).

    numbers, closed_us: the record of each bale; layers_thinnest and short_frac: as walked;
    stretch_frac: (bales, dispensers); dry_kg_m3, binding_turns, diameter_m as made.
    """

    serial: str
    planted: tuple[Planted, ...]
    confusers: tuple[Confuser, ...]
    numbers: NDArray[np.int64]
    closed_us: NDArray[np.int64]
    job: NDArray[np.int64]
    day: NDArray[np.int64]
    layers_thinnest: NDArray[np.float64]
    short_frac: NDArray[np.float64]
    stretch_frac: NDArray[np.float64]
    binding_turns: NDArray[np.float64]
    gate_opening_mm: NDArray[np.float64]
    dry_kg_m3: NDArray[np.float64]
    diameter_m: NDArray[np.float64]
    moisture_frac: NDArray[np.float64]

    @property
    def weeks(self) -> int:
        """Calendar weeks in which the machine worked."""
        return len(np.unique(self.day // 7))


@dataclass(frozen=True)
class Rehearsal:
    """A season of a fleet: records, events beside them, and the truth by machine."""

    bales: BaleTable
    events: tuple[Event, ...]
    truth: tuple[Truth, ...]


def rehearse_season(
    players: tuple[Player, ...], plan: SeasonPlan, chance: np.random.Generator
) -> Rehearsal:
    """Let every machine work its season.

    chance: a generator; each machine draws from a child of its own, in the order of `players`.
    """
    done = [
        _rehearse_one(player, plan, own)
        for player, own in zip(players, chance.spawn(len(players)), strict=True)
    ]
    return Rehearsal(
        concatenate([table for table, _, _ in done]),
        tuple(event for _, events, _ in done for event in events),
        tuple(truth for _, _, truth in done),
    )


def _rehearse_one(
    player: Player, plan: SeasonPlan, chance: np.random.Generator
) -> tuple[BaleTable, tuple[Event, ...], Truth]:
    schedule = plan_days(plan, chance)
    task = Task(
        player.machine, player.targets, schedule, player.planted, player.confusers, player.lost
    )
    crop = make_crop(task, chance)
    cover = cover_bales(task, crop, chance)
    times = run_cycles(task, crop, cover, chance)
    rows, numbers = number_bales(task, player.first_number)
    season = Season(task, crop, cover, times, rows, numbers, player.silent)
    table = write_table(season, (player.serial, player.sheet), player.sites, plan.start_us, chance)
    closed_us = plan.start_us + np.round(times.closed_s * _US).astype(np.int64)
    truth = _tell_truth(player, task, (crop, cover), numbers, closed_us)
    return table, _note_events(player, cover, numbers, closed_us, chance), truth


def _tell_truth(
    player: Player,
    task: Task,
    made: tuple[Crop, Cover],
    numbers: NDArray[np.int64],
    closed_us: NDArray[np.int64],
) -> Truth:
    crop, cover = made
    return Truth(
        player.serial, player.planted, player.confusers, numbers, closed_us,
        task.schedule.job, task.schedule.day, cover.layers_thinnest, cover.short_frac,
        cover.stretch_frac, cover.binding_turns, crop.gate_opening_mm, crop.dry_kg_m3,
        crop.diameter_m, crop.moisture_frac,
    )  # fmt: skip


def _note_events(
    player: Player,
    cover: Cover,
    numbers: NDArray[np.int64],
    closed_us: NDArray[np.int64],
    chance: np.random.Generator,
) -> tuple[Event, ...]:
    """Rolls and cartridges changed, services done, in the order they happened."""
    serial = player.serial
    found: list[Event] = []

    def note(bale: int, kind: EventKind, item: str, value: float | None = None) -> None:
        at_us = int(closed_us[bale])
        found.append(Event(serial, kind, int(numbers[bale]), at_us, item, value))

    roll_m = None if player.targets.wrap is None else player.targets.wrap.roll_m
    for place in range(cover.new_roll.shape[1]):
        for bale in np.flatnonzero(cover.new_roll[:, place]):
            note(int(bale), EventKind.FILM_ROLL_CHANGED, f"dispenser {place + 1}", roll_m)
    if player.targets.binding == "net":
        used = np.floor(np.cumsum(cover.binding_m) / player.targets.net_roll_m)
        for bale in np.flatnonzero(np.diff(used, prepend=0.0) > 0):
            note(int(bale), EventKind.NET_ROLL_CHANGED, "net", player.targets.net_roll_m)
    for item, every in _rounds(player.machine):
        grease = item == "grease-cartridge"
        kind = EventKind.CARTRIDGE_CHANGED if grease else EventKind.SERVICED
        done = int(every * chance.uniform(0.05, 0.95))
        while done < len(numbers):
            note(done, kind, item)
            done += int(every * chance.uniform(0.9, 1.08))
    return tuple(sorted(found, key=lambda event: event.at_us or 0))


def _rounds(machine: Machine) -> tuple[tuple[str, int], ...]:
    """Service items that go by bales."""
    return tuple((i.key, i.every_bales) for i in machine.service if i.every_bales is not None)
