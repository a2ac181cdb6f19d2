"""Honest machines drawn by chance, so that seasons differ in crop, weather, machine and sensors."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.plan.machine import ChamberKind, FullSign, Machine, WrapperKind
from balewright.rehearsal.days import Site
from balewright.rehearsal.faults import ConfuserKind
from balewright.rehearsal.habit import USUAL_HABIT, Habit
from balewright.rehearsal.season import Player
from balewright.rehearsal.sensed import ALWAYS, fit_sensors, writes
from balewright.rehearsal.streams import Streams
from balewright.rehearsal.targets import TargetSettings, WrapTargets

FITTED_SHARE: Final = 0.5
"""Chance that a sensor which a profile does not know is fitted all the same; assumed."""
LACKING_SHARE: Final = 0.08
POOR_SHARE: Final = 0.15
POOR_LACKING_SHARE: Final = 0.5
"""Chance that a column is not recorded; that a machine is a poor one; a column of that; assumed."""
_STRIP_SHARE: Final = 0.80
"""Width of the stretched strip over the film's on the roll, where nobody planned it; assumed."""
_CROPS: Final = MappingProxyType({
    # moisture from, to; dry matter kg/m3: what four farm bales and bale tables come to
    "grass silage": (0.50, 0.65, 185.0), "haylage": (0.40, 0.50, 175.0),
    "lucerne": (0.45, 0.58, 190.0), "hay": (0.12, 0.16, 165.0), "straw": (0.10, 0.14, 120.0),
})  # fmt: skip
_FITTABLE: Final = (
    "mass_kg", "moisture_frac", "moisture_max_frac", "chamber_bar", "density_dial",
    "pto_torque_nm", "pto_rpm", "speed_m_s", "oil_c", "air_c", "supply_min_v", "overloads",
    "pitch_frac", "roll_frac", "additive_l", "codes", "binding_turns", "diameter_left_m",
    "diameter_right_m",
)  # fmt: skip
_OF_WRAPPER: Final = ("mode", "wrap_turns", "wrap_rpm", "film_start_tries")
_NEVER_LACKING: Final = frozenset({"bale_no", "tipped_at", "closed_at", "wrap_turns"})


@dataclass(frozen=True)
class Field:
    """What a season's fields are like on the whole. crop: a word of the trade; moisture_frac: wet
    basis; windrow_kg_m: fresh mass a metre."""

    crop: str
    moisture_frac: float
    windrow_kg_m: float
    speed_m_s: float


def draw_field(chance: np.random.Generator, machine: Machine) -> Field:
    """A crop that the machine may have, with its moisture, windrow and speed."""
    names = ("grass silage", "haylage", "lucerne") if machine.wrapper else ("hay", "straw")
    crop = str(chance.choice(names))
    low, high, _ = _CROPS[crop]
    return Field(
        crop, round(float(chance.uniform(low, high)), 2), float(chance.uniform(2.0, 5.5)),
        float(chance.uniform(1.8, 3.2)),
    )  # fmt: skip


def own_targets(machine: Machine, field: Field) -> TargetSettings:
    """Plain settings from the middle of a machine's ranges, for seasons without a sheet."""
    chamber, binding = machine.chamber, machine.bindings[0]
    shown = chamber.full_sign is FullSign.GATE_OPENING
    pressure = chamber.density_bar
    if pressure is None and chamber.full_sign is FullSign.PRESSURE:
        pressure = chamber.full_at
    diameter_m = (chamber.diameter_m.low + chamber.diameter_m.high) / 2.0
    return TargetSettings(
        field.crop, diameter_m, chamber.width_m, _CROPS[field.crop][2], field.moisture_frac,
        field.windrow_kg_m, field.speed_m_s, str(binding.kind), binding.turns.clamp(2.5), 0.0,
        binding.delay_s.clamp(2.5), 3000.0,
        (chamber.full_at.low + chamber.full_at.high) / 2.0 if shown else None,
        None if pressure is None else round((pressure.low + pressure.high) / 2.0),
        _own_wrap(machine),
    )  # fmt: skip


def _own_wrap(machine: Machine) -> WrapTargets | None:
    wrapper = machine.wrapper
    if wrapper is None:
        return None
    width_m = wrapper.film_width_m.high
    turns = 24 // wrapper.dispensers  # common practice: six layers, with one roll twice the turns
    return WrapTargets(
        turns, 6, width_m, _STRIP_SHARE * width_m, wrapper.pre_stretch_frac[-1], 1500.0,
        wrapper.rpm.clamp(30.0 if wrapper.kind is WrapperKind.RING else 23.0),
    )  # fmt: skip


def draw_player(
    chance: np.random.Generator,
    machine: Machine,
    serial: str = "M",
    targets: TargetSettings | None = None,
    sheet: str | None = None,
) -> Player:
    """An honest machine of a make: its sensors, jobs, drivers and what its season may bring.

    chance: its children are drawn from, its own state is left alone, so that the same generator
    gives the same player; targets: as a sheet asks (None: drawn with a crop); sheet: the sheet's
    key. The player's machine has the sensors that were fitted to it; columns it lacks are silent.
    """
    streams = Streams.child_of(chance)
    if targets is None:
        targets = own_targets(machine, draw_field(streams.of("field"), machine))
    own = streams.of("player")
    fitted = fit_sensors(machine, _fitted(machine, streams.of("fitted")))
    jobs = int(own.integers(5, 10))
    east, north = own.uniform(-40.0, -30.0), own.uniform(-8.0, 8.0)  # in the open sea
    sites = tuple(
        Site(f"{serial}-{at + 1}", north + at / 50.0, east + own.uniform(-0.01, 0.01))
        for at in range(jobs)
    )
    lacking = _lacking(fitted, streams.of("lacking"))
    told = writes(fitted, "density_dial", lacking)  # a setting that no record tells is a fault
    more = own.lognormal(0.0, 0.4)
    habit = Habit(MappingProxyType({
        kind: min(share * more, 0.5) for kind, share in USUAL_HABIT.chance_job.items()
        if told or kind is not ConfuserKind.SETTING_CHANGED
    }))  # fmt: skip
    return Player(
        serial, fitted, targets, sites, sheet, int(own.integers(1, 20_000)),
        silent=lacking, drivers=int(own.integers(1, 4)),
        habit=habit,
    )  # fmt: skip


def _fitted(machine: Machine, chance: np.random.Generator) -> tuple[str, ...]:
    names = list(_FITTABLE)
    if machine.chamber.full_sign is FullSign.GATE_OPENING:
        names.append("gate_opening_mm")
    if machine.chamber.kind is ChamberKind.VARIABLE:
        names.append("diameter_m")
    if machine.knives is not None:
        names += ["knives_in", *(["knife_bar"] if machine.knives.pressure_bar else [])]
    if machine.wrapper is not None:
        names += _OF_WRAPPER
    draws = chance.random(len(names))
    return tuple(
        name for name, draw in zip(names, draws.tolist(), strict=True) if draw < FITTED_SHARE
    )


def _lacking(machine: Machine, chance: np.random.Generator) -> frozenset[str]:
    share = POOR_LACKING_SHARE if chance.random() < POOR_SHARE else LACKING_SHARE
    names = sorted({*ALWAYS, *(sensor.column for sensor in machine.sensors)} - _NEVER_LACKING)
    draws = chance.random(len(names))
    return frozenset(
        name
        for name, draw in zip(names, draws.tolist(), strict=True)
        if draw < share and writes(machine, name)
    )


def with_drivers_named(player: Player) -> Player:
    """The same player with its drivers in the record, which is off by default."""
    return replace(player, machine=fit_sensors(player.machine, ("operator",)))
