"""How bales really come out: crop, shape, binding, film. The truth before any sensor."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.plan.machine import Machine, MetresCounted
from balewright.rehearsal.days import Schedule
from balewright.rehearsal.faults import Confuser, ConfuserKind, FaultKind, Planted
from balewright.rehearsal.film import FilmJob, lay_film
from balewright.rehearsal.targets import TargetSettings

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class RollLoss:
    """One film roll that is lost in the middle of a bale, and nobody makes it good."""

    bale: int
    dispenser: int
    turn: float


@dataclass(frozen=True)
class Task:
    """What one machine has to rehearse; see `season.Player`, from which it is made."""

    machine: Machine
    targets: TargetSettings
    schedule: Schedule
    planted: tuple[Planted, ...]
    confusers: tuple[Confuser, ...]
    lost: tuple[RollLoss, ...]

    @property
    def bales(self) -> int:
        """How many bales the season has."""
        return len(self.schedule.job)

    def level(self, kind: FaultKind, dispenser: int = 1) -> Floats:
        """Sum of what is planted of one kind, per bale."""
        total = np.zeros(self.bales)
        for fault in self.planted:
            if fault.kind is kind and (
                kind is not FaultKind.STRETCH or fault.dispenser == dispenser
            ):
                total += fault.level(self.bales)
        return total

    def confused(self, kind: ConfuserKind) -> Floats:
        """Size of a confuser at each bale of the jobs it falls on, else zero."""
        total = np.zeros(self.bales)
        for one in self.confusers:
            if one.kind is kind:
                total[self.schedule.job == one.job] += one.severity
        return total


@dataclass(frozen=True)
class Crop:
    """The bale before binding, shape (bales,) each."""

    moisture_frac: Floats
    windrow_kg_m: Floats
    diameter_m: Floats
    gate_opening_mm: Floats
    dry_kg_m3: Floats
    mass_kg: Floats


@dataclass(frozen=True)
class Cover:
    """Binding and film as laid; arrays (bales,) or (bales, dispensers); NaN without a wrapper."""

    binding_turns: Floats
    binding_m: Floats
    wrap_turns: Floats
    carried_turns: Floats
    stretch_frac: Floats
    advance_m: Floats
    roll_m: Floats
    counted_m: Floats
    new_roll: NDArray[np.bool_]
    layers_thinnest: Floats
    short_frac: Floats


def _by_job(schedule: Schedule, spread: float, chance: np.random.Generator) -> Floats:
    return chance.normal(0.0, spread, schedule.jobs)[schedule.job]


def make_crop(task: Task, chance: np.random.Generator) -> Crop:
    """Fields differ, days dry out, bales scatter; soft bales come with a gate that opens less."""
    bales, schedule, targets = task.bales, task.schedule, task.targets
    hours = _hours_of_day(schedule)
    wet = task.confused(ConfuserKind.WET_MORNING) * np.clip(1.0 - hours / 2.0, 0.0, 1.0)
    moisture = targets.moisture_frac + _by_job(schedule, 0.02, chance) - 0.006 * (hours - 3.0)
    moisture = np.clip(moisture + wet + chance.normal(0.0, 0.012, bales), 0.08, 0.85)
    heavy = task.confused(ConfuserKind.FAT_BALES)
    windrow = targets.windrow_kg_m * np.exp(
        _by_job(schedule, 0.10, chance) + chance.normal(0.0, 0.08, bales) + 4.0 * heavy
    )
    gate_short_mm = task.level(FaultKind.GATE)
    planned_mm = 30.0 if targets.gate_opening_mm is None else targets.gate_opening_mm
    opening = planned_mm + _by_job(schedule, 0.8, chance) + chance.normal(0.0, 1.8, bales)
    diameter = targets.diameter_m + heavy + chance.normal(0.0, 0.007, bales)
    softness = np.exp(-0.012 * gate_short_mm)
    dry = (
        targets.dry_kg_m3
        * softness
        * np.exp(_by_job(schedule, 0.025, chance) + chance.normal(0.0, 0.03, bales))
    )
    volume = np.pi / 4.0 * diameter**2 * targets.length_m
    mass = dry * volume / (1.0 - moisture)
    return Crop(moisture, windrow, diameter, np.maximum(opening - gate_short_mm, 0.0), dry, mass)


def _hours_of_day(schedule: Schedule) -> Floats:
    """Rough hours since the day's first bale: 75 s a bale."""
    hours = np.zeros(len(schedule.day))
    for day in np.unique(schedule.day):
        today = schedule.day == day
        begun_h = (schedule.starts_s[today] - schedule.starts_s[today].min()) / 3600
        nth = np.concatenate([np.arange(n) for n in _runs_of(schedule.starts_s[today])])
        hours[today] = begun_h + nth * 75.0 / 3600
    return hours


def _runs_of(values: Floats) -> Iterable[int]:
    return np.unique(values, return_counts=True)[1]


def cover_bales(task: Task, crop: Crop, chance: np.random.Generator) -> Cover:
    """Bind every bale, then wrap it where there is a wrapper."""
    bales, targets = task.bales, task.targets
    missing = task.level(FaultKind.BINDING_TURNS)
    turns = targets.binding_turns + chance.normal(0.0, 0.04, bales) - missing
    turns = np.maximum(turns, 0.0)
    metres = turns * np.pi * crop.diameter_m / (1.0 + targets.binding_stretch_frac)
    metres *= 1.0 + chance.normal(0.0, 0.01, bales)
    wrapper = task.machine.wrapper
    if wrapper is None or targets.wrap is None:
        none = np.full(bales, np.nan)
        empty = np.zeros((bales, 0))
        return Cover(turns, metres, none, empty, empty, none, empty, empty, empty > 0, none, none)
    wrap_turns = np.maximum(targets.wrap.turns - np.round(task.level(FaultKind.WRAP_TURNS)), 2.0)
    carried = np.repeat(wrap_turns[:, None], wrapper.dispensers, axis=1)
    for loss in task.lost:
        if loss.bale < bales and loss.dispenser <= wrapper.dispensers:
            carried[loss.bale, loss.dispenser - 1] = min(loss.turn, wrap_turns[loss.bale])
    stretch, roll_m, new_roll = _draw_off(task, crop, carried, chance)
    advance = wrapper.advance_m * (1.0 + chance.normal(0.0, 0.006, bales))
    one_roll = (wrapper.advance_one_roll_m or wrapper.advance_m) / wrapper.advance_m
    after = wrapper.metres_counted is MetresCounted.AFTER_STRETCH
    counted = roll_m * (1.0 + stretch) if after else roll_m
    strip = np.full(bales, targets.wrap.strip_m)
    layers = lay_film(FilmJob(crop.diameter_m, advance, strip, carried, advance * one_roll))
    return Cover(
        turns, metres, wrap_turns, carried, stretch, advance, roll_m, counted, new_roll,
        layers.min(axis=1).astype(np.float64), (layers < targets.wrap.need_layers).mean(axis=1),
    )  # fmt: skip


def _draw_off(
    task: Task, crop: Crop, carried: Floats, chance: np.random.Generator
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Metres off each roll, bale by bale, with new rolls when one is nearly empty."""
    bales, dispensers = task.bales, int(carried.shape[1])
    wrap = task.targets.wrap
    if wrap is None:
        raise ValueError("film is drawn off only where a machine wraps")
    path = (
        2.0 * (crop.diameter_m + task.targets.length_m) * (1.0 + chance.normal(0.0, 0.006, bales))
    )
    batch = task.confused(ConfuserKind.NEW_ROLL)
    stretch = np.empty((bales, dispensers))
    metres = np.empty((bales, dispensers))
    new = np.zeros((bales, dispensers), dtype=np.bool_)
    for place in range(dispensers):
        setup = wrap.pre_stretch_frac + chance.normal(0.0, 0.004)
        planted = task.level(FaultKind.STRETCH, place + 1)
        noise = chance.normal(0.0, 0.006, bales)
        rolls = chance.normal(0.0, 0.005, bales)
        left = wrap.roll_m * chance.uniform(0.2, 1.0)
        roll = float(rolls[0])
        for bale in range(bales):
            stretch[bale, place] = setup + planted[bale] + roll + noise[bale] + batch[bale]
            wants = carried[bale, place] * path[bale] / (1.0 + stretch[bale, place])
            if left < wants:
                left, roll, new[bale, place] = wrap.roll_m, float(rolls[bale]), True
            left -= wants
            metres[bale, place] = wants
    return stretch, metres, new
