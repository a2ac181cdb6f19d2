"""What the demo shows of records: another program's table, a bus trace, a swapped control, film
batches, a wrong job, a bale in two files, one put right, and a device that sends."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.flows.add_outlines import add_outlines
from balewright.flows.correct_bales import Asked, correct_bales
from balewright.flows.keep_column_map import keep_column_map
from balewright.flows.reading_of import reading_of
from balewright.flows.senders import make_sender
from balewright.flows.take_in_file import take_in_file
from balewright.flows.tell_swap import SwapAsked, tell_swap
from balewright.flows.workplace import Workplace
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.readers.bale_csv import write_bale_csv
from balewright.readers.can.signal_book import read_signal_book, shipped_book
from balewright.readers.can.write_candump import CodeSaid, write_candump
from balewright.records.bales import BaleTable
from balewright.records.column_map import ColumnMap, MappedColumn
from balewright.records.events import Event, EventKind
from balewright.records.signals import Signals
from balewright.rehearsal.days import Site
from balewright.rehearsal.signals.habits import Spread, habits_of
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day
from balewright.store.entries import JobEntry, MachineEntry

LISTENED: Final = MachineEntry("MM-1004", "Mossgrinder, listened to", "mossgrinder-m2", "Etc/UTC")
"""A machine whose old control gave tables, and whose new one is listened to on its bus."""
LISTENED_JOB: Final = JobEntry(
    "MM-1004-1", "Tarnhollow Graziers", "Tarnhollow yard", "Beacon field", "grass silage"
)
LISTENED_BALES: Final = 14
OLD_BALES: Final = 30
_LAST_OLD: Final = 18_240
_PLACE: Final = (6.5, -36.0)
"""In the open sea, so that nobody's land is meant."""

WEIGHED: Final = "MM-1003"
_WEIGHED_KG: Final = ((120, 688.0), (121, 655.0), (122, 702.0))
"""Bales of a season, from 0, and what a scale in a yard said of them."""
_PUT_RIGHT: Final = (200, "671")
_HALF_FIELD_DEG: Final = 0.0024
_ROLLS_IN_BATCH: Final = 8
_BATCH: Final = MappingProxyType(
    {EventKind.FILM_ROLL_CHANGED: "HF-47", EventKind.NET_ROLL_CHANGED: "WN-12"}
)

OLD_TABLE: Final = ColumnMap(
    key="",
    name="season report of the old control",
    columns=(
        MappedColumn("Bale", 0, "bale_no"),
        MappedColumn("Tipped", 1, "tipped_at"),
        MappedColumn("Weight [kg]", 2, "mass_kg", "kg"),
        MappedColumn("Moisture [%]", 3, "moisture_frac", "%"),
        MappedColumn("Order", 4, "job"),
        MappedColumn("Operator's note", 5, ""),
    ),
    separator=";",
    decimal=",",
    day_order="dmy",
    zone="Etc/UTC",
    machine=LISTENED.serial,
)


def with_batches(events: tuple[Event, ...]) -> tuple[Event, ...]:
    """The same events, each roll with its batch: some eight rolls a pallet, one batch each."""
    seen = dict.fromkeys(_BATCH, 0)
    told = []
    for event in events:
        if event.kind in _BATCH:
            number = seen[event.kind] // _ROLLS_IN_BATCH + 1
            seen[event.kind] += 1
            told.append(replace(event, batch=f"{_BATCH[event.kind]}{number:02d}"))
        else:
            told.append(event)
    return tuple(told)


def leave_job_open(
    bales: BaleTable, season_job: NDArray[np.int64], job: int, count: int
) -> BaleTable:
    """The first `count` bales of a season's job stand under the one before: nobody changed it.

    bales: a season in its order; season_job: (rows,) number of the job in the season.
    """
    rows = np.flatnonzero(season_job == job)[:count]
    words = bales.column("job").copy()
    words[rows] = words[np.flatnonzero(season_job == job - 1)[0]]
    return replace(bales, values={**bales.values, "job": words})


def draw_fields(workplace: Workplace, jobs: tuple[JobEntry, ...], sites: tuple[Site, ...]) -> None:
    """Draw the field of each job as a map program would give it, with clipped corners."""
    half, cut = _HALF_FIELD_DEG, _HALF_FIELD_DEG / 4
    corners = [
        *((-half, cut - half), (cut - half, -half), (half - cut, -half), (half, cut - half)),
        *((half, half - cut), (half - cut, half), (cut - half, half), (-half, half - cut)),
    ]
    features = [
        {
            "type": "Feature",
            "properties": {"field": job.field, "farm": job.farm, "customer": job.customer},
            "geometry": {
                "type": "Polygon",
                "coordinates": [
                    [
                        [round(site.lon + east, 6), round(site.lat + north, 6)]
                        for east, north in (*corners, corners[0])
                    ]
                ],
            },
        }
        for job, site in zip(jobs, sites, strict=True)
    ]
    drawn = {"type": "FeatureCollection", "features": features}
    add_outlines(workplace, json.dumps(drawn).encode(), "fields of the demo.geojson")


def fill_demo_records(workplace: Workplace, folder: Path, seed: int) -> None:
    """Everything that does not come with a rehearsed season; done twice it changes nothing.

    folder: for the files that are made; seed: of the day that is listened to.
    """
    workplace.register.save_job(LISTENED_JOB)
    midnight = workplace.clock().astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    _take_old_table(workplace, folder, midnight - timedelta(days=20))
    _take_trace(workplace, folder, midnight - timedelta(hours=10), seed)
    note = "the old control failed in the rain"
    tell_swap(workplace, SwapAsked(LISTENED.serial, _LAST_OLD, 1, note))
    _weigh_again(workplace, folder)
    if not any(one.machine == LISTENED.serial for one in workplace.register.load_senders()):
        make_sender(workplace, LISTENED.serial, "box in the cab")  # its token is told nobody


def _take_old_table(workplace: Workplace, folder: Path, day: datetime) -> None:
    """A table of another program, read by a map that was kept."""
    kept = keep_column_map(workplace, OLD_TABLE)
    path = folder / "season report.csv"
    heads = ";".join(column.heading for column in OLD_TABLE.columns)
    path.write_text("\r\n".join([heads, *_old_lines(day)]) + "\r\n", encoding="utf-8", newline="")
    take_in_file(workplace, path, reading=reading_of(workplace, map_key=kept.map.key))


def _old_lines(day: datetime) -> Iterator[str]:
    for place in range(OLD_BALES):
        at = day + timedelta(hours=10, minutes=2 * place, seconds=place % 7)
        mass = f"{652 + 3 * (place % 5)},5"
        moisture = f"5{place % 4},{place % 10}"
        number = _LAST_OLD - OLD_BALES + 1 + place
        yield f"{number};{at:%d.%m.%Y %H:%M:%S};{mass};{moisture};{LISTENED_JOB.job};"


def _take_trace(workplace: Workplace, folder: Path, begins: datetime, seed: int) -> None:
    """A trace of the new control's bus, from its first bale on, with two codes in it."""
    machine = workplace.profiles[LISTENED.profile_key]
    habits = replace(
        habits_of(machine), life=0, fill_s=Spread(35.0, 60.0), bind_s=Spread(8.0, 9.0),
        wrap_s=Spread(25.0, 27.0),
    )  # fmt: skip
    day = rehearse_day(habits, LISTENED_BALES, Trouble.NONE, np.random.default_rng(seed))
    signals = _moved(day.signals, round(begins.timestamp()) * MICROSECONDS_PER_S)
    book = shipped_book(LISTENED.profile_key)
    if signals.first_us is None or book is None:
        return
    codes = tuple(
        CodeSaid(number, mode, signals.first_us + begun * MICROSECONDS_PER_S,
                 signals.first_us + ended * MICROSECONDS_PER_S)
        for number, mode, begun, ended in ((168, 4, 210, 290), (1208, 3, 600, 655))
    )  # fmt: skip
    path = folder / "bus of the new control.log"
    with path.open("w", encoding="ascii", newline="\n") as stream:
        write_candump(signals, read_signal_book(book), stream, codes)
    reading = replace(reading_of(workplace, LISTENED.serial), profile=machine)
    take_in_file(workplace, path, reading=reading)


def _moved(signals: Signals, first_us: int) -> Signals:
    """The same signals from another time on, and at the demo's own place."""
    by = first_us - (signals.first_us or 0)
    north, east = _PLACE
    moved = {}
    for name, signal in signals.by_name.items():
        values = signal.values
        if name in ("lat", "lon"):
            values = values - values[0] + (north if name == "lat" else east)
        moved[name] = replace(signal, at_us=signal.at_us + by, values=values)
    last_us = None if signals.last_us is None else signals.last_us + by
    return replace(signals, by_name=MappingProxyType(moved), first_us=first_us, last_us=last_us)


def _weigh_again(workplace: Workplace, folder: Path) -> None:
    """Three bales that a second file weighs otherwise, and one that a person puts right."""
    names = ["machine", "bale_no", "gate_open_at", "job", "mass_kg"]
    season = workplace.journal.read_bales(WEIGHED, names)
    season = season.take(np.argsort(season.column("bale_no"), kind="stable"))
    weighed = season.take(np.array([place for place, _ in _WEIGHED_KG]))
    mass_kg = np.array([mass for _, mass in _WEIGHED_KG])
    path = folder / "scale in the yard.csv"
    with path.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(replace(weighed, values={**weighed.values, "mass_kg": mass_kg}), stream)
    take_in_file(workplace, path)
    place, mass = _PUT_RIGHT
    number = str(season.column("bale_no")[place])
    why = "Two bales stood on the scale; weighed again."
    asked = Asked(WEIGHED, (number,), "mass_kg", mass, why, mark="demo-put-right")
    if asked.mark not in {one.key for one in workplace.register.load_corrections(WEIGHED)}:
        correct_bales(workplace, asked)
