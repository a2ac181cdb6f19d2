"""A rehearsed season: machines in, bale records, events and the truth out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from balewright.plan.machine import Machine
from balewright.records.bales import BaleTable, concatenate
from balewright.records.events import Event, Setting
from balewright.rehearsal.cover import cover_bales
from balewright.rehearsal.crop import make_crop
from balewright.rehearsal.cycle import Made, run_cycles
from balewright.rehearsal.days import SeasonPlan, Site, plan_days
from balewright.rehearsal.faults import Confuser, Planted, RollLoss
from balewright.rehearsal.habit import Habit, place_confusers, within_dial
from balewright.rehearsal.happenings import note_events, note_settings
from balewright.rehearsal.loads import carry_loads
from balewright.rehearsal.recording import Page, number_bales, write_table
from balewright.rehearsal.streams import Streams
from balewright.rehearsal.targets import TargetSettings
from balewright.rehearsal.task import Slipping, Task
from balewright.rehearsal.truth import Told, Truth, tell_truth
from balewright.rehearsal.weather import make_weather

_US = 1_000_000


@dataclass(frozen=True)
class Player:
    """One machine of the rehearsal: what it is, was told, works for, and what is wrong with it.

    sheet: key of the sheet its records name (None: none); sites: its jobs, taken in turn;
    first_number: the number of its first bale; lost: rolls lost in the middle of a bale;
    silent: columns that its profile knows but this one machine does not record; drivers: how many
    take turns by the day; habit: how often honest confusers come by themselves (None: never);
    next_sheet: key of the sheet after a changed setting (None: the same); slipping: how the
    bale's advance on the wrapper may slip.
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
    drivers: int = 1
    habit: Habit | None = None
    next_sheet: str | None = None
    slipping: Slipping | None = None


@dataclass(frozen=True)
class Rehearsal:
    """A season of a fleet: records, events and settings beside them, the truth by machine."""

    bales: BaleTable
    events: tuple[Event, ...]
    truth: tuple[Truth, ...]
    settings: tuple[Setting, ...] = ()


def rehearse_season(
    players: tuple[Player, ...], plan: SeasonPlan, chance: np.random.Generator
) -> Rehearsal:
    """Let every machine work its season.

    chance: a generator; each call and in it each serial draws from a child of its own, so that
    the order of `players` changes nothing but the order of the answer, nor who else works. Every
    part of a season draws from a stream of its own: with the same seed a machine without its
    faults makes the same season, bale for bale up to a fault's start, and a longer season begins
    like a shorter one.
    """
    (own,) = chance.spawn(1)
    season = Streams.child_of(own)
    done = [_rehearse_one(player, plan, season.within(player.serial)) for player in players]
    return Rehearsal(
        concatenate([table for table, _ in done]),
        tuple(event for _, truth in done for event in truth.events),
        tuple(truth for _, truth in done),
        tuple(setting for _, truth in done for setting in truth.settings),
    )


def _rehearse_one(player: Player, plan: SeasonPlan, streams: Streams) -> tuple[BaleTable, Truth]:
    schedule = plan_days(plan, streams.of("days"))
    drawn = place_confusers(player.habit, schedule, streams, player.targets.moisture_frac)
    drawn = within_dial(drawn, player.machine.dial("chamber_bar"), player.targets.chamber_bar)
    task = Task(
        player.machine, player.targets, schedule, player.planted, (*player.confusers, *drawn),
        player.lost, streams, player.drivers, player.slipping,
    )  # fmt: skip
    made = _make(task)
    times = run_cycles(task, made)
    numbers = number_bales(task, player.first_number)
    page = Page(
        player.serial, (player.sheet, player.next_sheet), player.sites, player.silent,
        plan.start_us,
    )  # fmt: skip
    table = write_table(task, made, times, page, numbers)
    closed_us = plan.start_us + np.round(times.closed_s * _US).astype(np.int64)
    events = note_events(task, made.cover, player.serial, numbers, closed_us)
    later = player.next_sheet or player.sheet
    settings = note_settings(task, (player.serial, later), numbers, closed_us)
    told = Told(player.serial, player.silent, numbers, closed_us, events, settings)
    return table, tell_truth(task, made, times, told)


def _make(task: Task) -> Made:
    weather = make_weather(task)
    crop = make_crop(task, weather)
    return Made(weather, crop, cover_bales(task, crop, weather), carry_loads(task, crop, weather))
