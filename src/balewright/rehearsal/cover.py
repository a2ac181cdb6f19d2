"""Binding and film as they are laid. The truth before any sensor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.plan.machine import MetresCounted, Wrapper
from balewright.rehearsal import sizes
from balewright.rehearsal.crop import Crop
from balewright.rehearsal.draw_off import DrawnOff, draw_off
from balewright.rehearsal.faults import FaultKind
from balewright.rehearsal.film import FilmJob, lay_film
from balewright.rehearsal.targets import WrapTargets
from balewright.rehearsal.task import Floats, Task
from balewright.rehearsal.weather import Weather

Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Binding:
    """Shape (bales,) each. missed: binding did not catch at first; p_missed: chance of that."""

    turns: Floats
    metres_m: Floats
    new_roll: Bools
    missed: Bools
    p_missed: Floats


@dataclass(frozen=True)
class Wrap:
    """Film as laid; arrays (bales,) or (bales, dispensers); without a wrapper NaN or no columns.

    batch_on: whether a roll of a planted batch is on; breaks, again: film broke, wrapping was
    started again; p_breaks, p_again: chance of it.
    """

    turns: Floats
    rpm: Floats
    stretch_frac: Floats
    advance_m: Floats
    roll_m: Floats
    counted_m: Floats
    new_roll: Bools
    batch: NDArray[np.int64]
    batch_on: Bools
    breaks: Bools
    p_breaks: Floats
    again: Bools
    p_again: Floats
    layers_thinnest: Floats
    short_frac: Floats


@dataclass(frozen=True)
class Cover:
    """What goes round a bale."""

    binding: Binding
    wrap: Wrap


def cover_bales(task: Task, crop: Crop, weather: Weather) -> Cover:
    """Bind every bale, then wrap it where there is a wrapper."""
    wrapper, told = task.machine.wrapper, task.targets.wrap
    if wrapper is None or told is None:
        return Cover(_bind(task, crop), _unwrapped(task.bales))
    return Cover(_bind(task, crop), _wrap(task, crop, weather, (wrapper, told)))


def _bind(task: Task, crop: Crop) -> Binding:
    targets, streams = task.targets, task.streams
    turns = targets.binding_turns + task.by_bale("binding turns", sizes.BINDING_TURNS_TURNS)
    turns = turns - task.level(FaultKind.BINDING_TURNS) - task.level(FaultKind.BINDING_DIAL)
    turns = np.maximum(turns, 0.0)
    metres = turns * np.pi * crop.diameter_m / (1.0 + targets.binding_stretch_frac)
    metres *= 1.0 + task.by_bale("binding metres", sizes.BINDING_METRES_SHARE)
    metres *= 1.0 + task.level(FaultKind.BRAKE_WEAK)
    rolls = np.floor(np.cumsum(metres) / targets.net_roll_m).astype(np.int64)
    of_roll = streams.normal("net rolls", int(rolls[-1]) + 1, sizes.NET_ROLL_SHARE)
    chance = np.minimum(sizes.BINDING_MISSED_SHARE * task.times(FaultKind.BINDING_MISSED), 0.9)
    missed = streams.even("binding missed", task.bales) < chance
    return Binding(
        turns, metres * (1.0 + of_roll[rolls]), np.diff(rolls, prepend=0) > 0, missed, chance
    )


def _unwrapped(bales: int) -> Wrap:
    none, empty = np.full(bales, np.nan), np.zeros((bales, 0))
    never = np.zeros(bales, dtype=np.bool_)
    return Wrap(
        none, none, empty, none, empty, empty, empty > 0, empty.astype(np.int64), empty > 0,
        empty > 0, empty, never, np.zeros(bales), none, none,
    )  # fmt: skip


def _wrap(task: Task, crop: Crop, weather: Weather, told: tuple[Wrapper, WrapTargets]) -> Wrap:
    wrapper, targets = told
    bales, streams = task.bales, task.streams
    turns = np.maximum(targets.turns - np.round(task.level(FaultKind.WRAP_TURNS)), 2.0)
    carried = np.repeat(turns[:, None], wrapper.dispensers, axis=1)
    for loss in task.lost:
        if loss.bale < bales and loss.dispenser <= wrapper.dispensers:
            carried[loss.bale, loss.dispenser - 1] = min(loss.turn, turns[loss.bale])
    drawn = draw_off(task, crop, carried)
    p_breaks = _break_chance(task, weather, drawn)
    again = np.minimum(sizes.START_AGAIN_SHARE * task.times(FaultKind.FILM_STARTS), 0.9)
    advance = wrapper.advance_m * (1.0 + task.by_bale("advance", sizes.ADVANCE_SHARE))
    if task.slipping is not None:
        advance = advance * task.slipping.factors(task.schedule.job, streams.of("slipping"))
    one_roll = (wrapper.advance_one_roll_m or wrapper.advance_m) / wrapper.advance_m
    strip = np.full(bales, targets.strip_m)
    layers = lay_film(FilmJob(crop.diameter_m, advance, strip, carried, advance * one_roll))
    return Wrap(
        turns, _rpm(task, targets.rpm), drawn.stretch_frac, advance, drawn.roll_m,
        _counted_m(task, wrapper, drawn), drawn.new_roll, drawn.batch, drawn.batch_on,
        streams.of("film breaks").random(p_breaks.shape) < p_breaks, p_breaks,
        streams.even("film starts", bales) < again, again,
        layers.min(axis=1).astype(np.float64), (layers < targets.need_layers).mean(axis=1),
    )  # fmt: skip


def _rpm(task: Task, told_rpm: float) -> Floats:
    of_machine = told_rpm * task.streams.one("rpm machine", sizes.RPM_MACHINE_SHARE)
    scatter = task.by_bale("rpm", sizes.RPM_BALE) * task.times(FaultKind.RING_UNEVEN)
    return np.maximum(told_rpm + of_machine + scatter - task.level(FaultKind.RING_SLOW), 1.0)


def _break_chance(task: Task, weather: Weather, drawn: DrawnOff) -> Floats:
    """Film breaks more in heat, with some rolls, with a bad batch, and where a dispenser is bad."""
    heat = np.exp(sizes.BREAK_PER_K * (weather.air_c - 20.0))[:, None]
    places = range(drawn.roll_m.shape[1])
    planted = np.stack([task.times(FaultKind.FILM_BREAKS, place + 1) for place in places], axis=1)
    times_batch = np.ones(drawn.roll_m.shape)
    for fault in task.planted:
        if fault.kind is FaultKind.ROLL_BATCH:
            times_batch = np.where(drawn.batch_on, times_batch * fault.severity, times_batch)
    chance = sizes.BREAK_SHARE * heat * np.exp(drawn.roll_break_log) * planted * times_batch
    return np.minimum(chance, 0.9)


def _counted_m(task: Task, wrapper: Wrapper, drawn: DrawnOff) -> Floats:
    """What the metre counters say: each machine's a little off, each bale a little more."""
    after = wrapper.metres_counted is MetresCounted.AFTER_STRETCH
    passed = drawn.roll_m * (1.0 + drawn.stretch_frac) if after else drawn.roll_m
    dispensers = passed.shape[1]
    of_machine = task.streams.normal("counters", dispensers, sizes.COUNTER_MACHINE_SHARE)
    scatter = task.streams.of("counter bales").normal(0.0, sizes.COUNTER_BALE_SHARE, passed.shape)
    drift = np.stack(
        [task.level(FaultKind.METRES_DRIFT, place + 1) for place in range(dispensers)], axis=1
    )
    return np.asarray(passed * (1.0 + of_machine) * (1.0 + scatter) * (1.0 + drift))
