"""Putting a mix of stressors on a season's records."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.records.bales import BaleTable, concatenate
from balewright.records.events import Event
from balewright.rehearsal.stress import clocks, fields, gaps, noise, people, sensors
from balewright.rehearsal.stress.catalogue import STRESSORS
from balewright.rehearsal.stress.slipping import SlippingAdvance
from balewright.rehearsal.stress.stressed import Floats, Span, Stressed, as_plain
from balewright.rehearsal.stress.stressor import Mix, Room

Doing = Callable[[Stressed, float, np.random.Generator], Stressed]

DOINGS: Final[Mapping[str, Doing]] = MappingProxyType(
    {
        "drying season": fields.drying_season,
        "flattened crop": fields.flattened_crop,
        "barrel bales": fields.barrel_bales,
        "stones": fields.stones,
        "two drivers": people.two_drivers,
        "borrowed tractor": people.borrowed_tractor,
        "night shift": people.night_shift,
        "half-full rolls": people.half_full_rolls,
        "sensor replaced": sensors.sensor_replaced,
        "gain drift": sensors.gain_drift,
        "sticky moisture": sensors.sticky_moisture,
        "heavy tails": noise.heavy_tails,
        "wild readings": noise.wild_readings,
        "lasting noise": noise.lasting_noise,
        "long lasting noise": noise.long_lasting_noise,
        "noise that grows with feed": noise.feed_noise,
        "coarse sensors": noise.coarse_sensors,
        "film width entered wrong": people.film_width_wrong,
        "operator who rounds": people.operator_who_rounds,
        "clock offset": clocks.clock_offset,
        "clock drift": clocks.clock_drift,
        "clock set back": clocks.clock_set_back,
        "zone wrong": clocks.zone_wrong,
        "whole minutes": clocks.whole_minutes,
        "cells missing": gaps.cells_missing,
        "bursts missing": gaps.bursts_missing,
        "columns missing": gaps.columns_missing,
        "short history": gaps.short_history,
        "bales missing": gaps.bales_missing,
        "lost day": gaps.lost_day,
        "rows doubled": gaps.rows_doubled,
    }
)
"""Key -> what it does to one machine's records; those of the room `making` are not among them."""


def advance_of(mix: Mix) -> SlippingAdvance:
    """What a mix asks of the simulator itself, before the season is played."""
    return SlippingAdvance(mix.severity("slipping advance"))


def stress_season(
    mix: Mix, bales: BaleTable, events: tuple[Event, ...], chance: np.random.Generator
) -> Stressed:
    """Records of a fleet made harder; rows come machine by machine, in each machine's order.

    The season should have been played with `advance_of(mix)`: that part changes the truth about
    layers and cannot be put on records. Each machine and each stressor draws from a child of its
    own of `chance`, in the order in which the machines first appear.
    """
    if bales.rows == 0:
        return as_plain(bales, events)
    machine = bales.column("machine")
    serials = list(dict.fromkeys(machine))
    done: list[Stressed] = []
    added: dict[str, Floats] = {}
    spans: list[Span] = []
    for serial, own in zip(serials, chance.spawn(len(serials)), strict=True):
        rows = np.flatnonzero(machine == serial)
        told = tuple(event for event in events if event.machine == serial)
        one = _stress_machine(mix, as_plain(bales.take(rows), told), own)
        for name, more in one.added.items():
            added.setdefault(name, np.zeros(bales.rows))[rows[: len(more)]] += more
        spans += [replace(span, first=int(rows[span.first]), last=int(rows[span.last]))
                  for span in one.spans]  # fmt: skip
        done.append(replace(one, origin=rows[one.origin]))
    known = set(serials)
    others = tuple(event for event in events if event.machine not in known)
    return Stressed(
        concatenate([one.bales for one in done]),
        (*(event for one in done for event in one.events), *others),
        np.concatenate([one.origin for one in done]), added, tuple(spans),
    )  # fmt: skip


def _stress_machine(mix: Mix, one: Stressed, chance: np.random.Generator) -> Stressed:
    # a child for every stressor, in the mix or not: one more changes nothing of the others
    for stressor, own in zip(STRESSORS.values(), chance.spawn(len(STRESSORS)), strict=True):
        severity = mix.severity(stressor.key)
        if severity != 0.0 and stressor.room is not Room.MAKING:
            one = DOINGS[stressor.key](one, severity, own)
    return one
