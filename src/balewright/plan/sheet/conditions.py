"""Conditions that no sheet can be made for: every fault at once, with its cure."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from balewright.plan.keeping.climate import CLIMATES
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Additive, Conditions, GateReading
from balewright.quantities.errors import Fault

_UNIT: Final = "Check the unit: the name ends in it."


def condition_faults(conditions: Conditions) -> Iterator[Fault]:
    """What no machine could be set for: numbers outside what can be believed."""
    bounds = (
        ("windrow_kg_m", conditions.windrow_kg_m, 0.2, 30.0),
        ("speed_m_s", conditions.speed_m_s, 0.1, 10.0),
        ("slope_frac", conditions.slope_frac, 0.0, 1.0),
        ("storage_months", conditions.storage_months, 0.0, 60.0),
        ("bales", conditions.bales, 1, 100_000),
        ("net_roll_m", conditions.net_roll_m, 1.0, 20_000.0),
        ("row_width_m", conditions.row_width_m, 0.2, 6.0),
        ("diameter_spread_m", conditions.diameter_spread_m, 0.0, 0.3),
        *((f"rolls_left_m[{n}]", left_m, 0.0, 20_000.0)
          for n, left_m in enumerate(conditions.rolls_left_m)),
    )  # fmt: skip
    for name, value, low, high in bounds:
        yield from _outside(name, value, low, high)
    yield from _moisture_faults(conditions)
    if conditions.climate is not None and conditions.climate not in CLIMATES:
        need = f"one of {', '.join(CLIMATES)}"
        yield Fault("climate", need, repr(conditions.climate), "Leave it out if none is near.")
    if conditions.additive is not None:
        yield from _additive_faults(conditions.additive)
    for number, reading in enumerate(conditions.gate_readings):
        yield from _reading_faults(f"gate_readings[{number}]", reading)


def machine_faults(machine: Machine, conditions: Conditions) -> Iterator[Fault]:
    """What does not fit this machine: a binding it has not, film too wide, rolls it cannot take."""
    yield from _binding_faults(machine, conditions)
    film, wrapper = conditions.film, machine.wrapper
    if wrapper is None or not conditions.crop.is_wrapped:
        return
    given = conditions.rolls_left_m
    if given and len(given) != wrapper.dispensers:
        need = f"one number for each of {wrapper.dispensers} dispensers"
        yield Fault("rolls_left_m", need, repr(given), "Give 0 for an empty one.")
    fits = wrapper.film_width_m
    if film is not None and not fits.low <= film.width_m <= fits.high:
        need = f"film of {fits.low:g} to {fits.high:g} m, which fits this machine"
        yield Fault("film_width_m", need, repr(film.width_m), "Put on a roll that fits.")


def _binding_faults(machine: Machine, conditions: Conditions) -> Iterator[Fault]:
    asked = conditions.binding
    if asked is not None and machine.binding(asked) is None:
        has = " or ".join(binding.kind for binding in machine.bindings)
        cure = "Leave it out to take what it has."
        yield Fault("binding", f"{has}, which this machine binds with", repr(str(asked)), cure)


def _outside(name: str, value: float | None, low: float, high: float) -> Iterator[Fault]:
    if value is not None and not (math.isfinite(value) and low <= value <= high):
        yield Fault(name, f"a number from {low:g} to {high:g}", repr(value), _UNIT)


def _moisture_faults(conditions: Conditions) -> Iterator[Fault]:
    wrapped = conditions.crop.is_wrapped
    moisture_frac, most = conditions.moisture_frac, 0.85 if wrapped else 0.40
    if not (math.isfinite(moisture_frac) and 0.03 <= moisture_frac <= most):
        need = f"moisture from 0.03 to {most:g} of the fresh mass for {conditions.crop}"
        cure = "Let it wilt first." if wrapped else "Damper than that it is no dry crop: wrap it."
        yield Fault("moisture_frac", need, repr(moisture_frac), cure)


def _additive_faults(additive: Additive) -> Iterator[Fault]:
    if (additive.rate_l_t is None) == (additive.acid is None):
        given = "neither" if additive.acid is None else "both"
        cure = "Give the label's litres a tonne, or the acid of the product."
        yield Fault("additive", "exactly one of rate_l_t and acid", given, cure)
    yield from _outside("additive.rate_l_t", additive.rate_l_t, 0.001, 200.0)
    yield from _outside("additive.tank_l", additive.tank_l, 1.0, 5000.0)


def _reading_faults(place: str, reading: GateReading) -> Iterator[Fault]:
    yield from _outside(f"{place}.opening_mm", reading.opening_mm, 0.0, 300.0)
    yield from _outside(f"{place}.setting_mm", reading.setting_mm, 0.0, 300.0)
    yield from _outside(f"{place}.feed_t_h", reading.feed_t_h, 0.5, 200.0)
    if (reading.feed_t_h is None) == (reading.row is None):
        given = "neither" if reading.row is None else "both"
        cure = "Give the feed rate, or say light, middle or heavy."
        yield Fault(place, "exactly one of feed_t_h and row", given, cure)
