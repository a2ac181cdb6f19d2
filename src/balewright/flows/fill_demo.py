"""Fill a workplace with an invented fleet, through the same doors that real files use."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import numpy as np

from balewright import __version__
from balewright.flows.demo_cases import BURST, CURED, burst_some, fill_demo_cases
from balewright.flows.demo_fleet import BALES, DEMO_FLEET, DEMO_PRICES, DemoMachine
from balewright.flows.demo_records import (
    LISTENED,
    draw_fields,
    fill_demo_records,
    leave_job_open,
    with_batches,
)
from balewright.flows.give_feedback import give_feedback
from balewright.flows.house_prices import set_house_prices
from balewright.flows.make_sheet import keep_sheet
from balewright.flows.review_fleet import review_fleet
from balewright.flows.set_targets import set_targets
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.plan.sheet.rules import plan_bale
from balewright.readers.bale_csv import write_bale_csv
from balewright.readers.event_csv import write_event_csv
from balewright.records.events import Event, EventKind
from balewright.rehearsal.days import SeasonPlan
from balewright.rehearsal.season import Player, Rehearsal, rehearse_season

DEMO_SEED: Final = 20_260
DAILY_BALES: Final = 60.0
_DAY_US: Final = 86_400_000_000


def fill_demo(workplace: Workplace, seed: int = DEMO_SEED) -> None:
    """Add the demo's machines, jobs and sheets, take their season in, and review them.

    seed: the same one gives the same season; its last day is the day before the clock's.
    """
    set_house_prices(workplace, DEMO_PRICES)
    for job in [job for demo in DEMO_FLEET for job in demo.jobs]:
        workplace.register.save_job(job)
    for done, demo in enumerate(DEMO_FLEET):
        workplace.progress("rehearsing", done, len(DEMO_FLEET))
        with TemporaryDirectory() as folder:
            season = _rehearse(workplace, demo, seed + done)
            _take_in(workplace, season, _served(demo, season), Path(folder))
        if demo.left_open is not None:
            draw_fields(workplace, demo.jobs, demo.sites)
    with TemporaryDirectory() as folder:
        fill_demo_records(workplace, Path(folder), seed)
    workplace.progress("rehearsing", len(DEMO_FLEET), len(DEMO_FLEET))
    # machines come last: a filling that was cut short leaves none and is simply done again
    for entry in (*(demo.entry for demo in DEMO_FLEET), LISTENED):
        workplace.register.save_machine(entry)
    for demo in DEMO_FLEET:
        (kept, *_) = workplace.register.load_sheets(demo.entry.serial)
        for answer in demo.said:
            give_feedback(workplace, kept.id, answer, given_by=None)
    review_fleet(workplace)
    fill_demo_cases(workplace)


def _rehearse(workplace: Workplace, demo: DemoMachine, seed: int) -> Rehearsal:
    machine = workplace.profiles[demo.entry.profile_key]
    sheet = plan_bale(machine, demo.conditions, demo.entry.serial, __version__)
    player = Player(
        serial=demo.entry.serial,
        machine=machine,
        targets=set_targets(machine, sheet),
        sites=demo.sites,
        sheet=keep_sheet(workplace, sheet),
        first_number=demo.first_number,
        planted=demo.planted,
        confusers=demo.confusers,
        lost=demo.lost,
        silent=demo.silent,
    )

    def play(start_us: int) -> Rehearsal:
        plan = SeasonPlan(start_us=start_us, bales=BALES, daily_bales=DAILY_BALES)
        return rehearse_season((player,), plan, np.random.default_rng(seed))

    length_days = int(play(0).truth[0].day[-1])
    today = round(workplace.clock().timestamp()) // 86_400
    season = play((today - 1 - length_days) * _DAY_US)
    bales = season.bales
    if demo.left_open is not None:
        bales = leave_job_open(bales, season.truth[0].job, *demo.left_open)
    if demo.entry.serial == CURED:
        bales = burst_some(bales, BURST)
    return replace(season, bales=bales, events=with_batches(season.events))


def _served(demo: DemoMachine, season: Rehearsal) -> tuple[Event, ...]:
    """What was done before the season, as a service book would tell it."""
    first_us = int(season.truth[0].closed_us[0])
    return tuple(
        Event(
            demo.entry.serial,
            EventKind.SERVICED,
            max(demo.first_number - bales, 1),
            first_us - 2 * _DAY_US,
            item,
        )
        for item, bales in demo.served
    )


def _take_in(
    workplace: Workplace, season: Rehearsal, served: tuple[Event, ...], folder: Path
) -> None:
    serial = season.truth[0].serial
    bales, events = folder / f"{serial}-bales.csv", folder / f"{serial}-events.csv"
    with bales.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(season.bales, stream)
    with events.open("w", encoding="utf-8", newline="") as stream:
        write_event_csv((*served, *season.events), stream)
    for path in (bales, events):
        take_in_file(workplace, path)
