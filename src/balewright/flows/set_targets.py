"""From a setup sheet to what a rehearsed machine is told: the one bridge between the two rooms."""

from __future__ import annotations

import math

from balewright.plan.film.strip import strip_width_m
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.rehearsal.targets import TargetSettings, WrapTargets


def set_targets(machine: Machine, sheet: Sheet) -> TargetSettings:
    """The plain settings that a sheet of this machine's profile asks for."""
    expected, conditions = sheet.expected, sheet.conditions
    volume_m3 = math.pi / 4.0 * expected.diameter_m.best**2 * expected.length_m
    binding = sheet.line("binding")
    knives = sheet.number("knives_in")
    return TargetSettings(
        crop=str(conditions.crop),
        diameter_m=expected.diameter_m.best,
        length_m=expected.length_m,
        dry_kg_m3=expected.dry_matter_kg.best / volume_m3,
        moisture_frac=conditions.moisture_frac,
        windrow_kg_m=conditions.windrow_kg_m,
        speed_m_s=sheet.number("speed_m_s") or conditions.speed_m_s,
        binding=str(binding.value) if binding else str(machine.bindings[0].kind),
        binding_turns=sheet.number("binding_turns") or 0.0,
        binding_stretch_frac=0.0,
        binding_delay_s=sheet.number("binding_delay_s") or 0.0,
        net_roll_m=conditions.net_roll_m or 3000.0,
        gate_opening_mm=sheet.number("gate_opening_mm"),
        chamber_bar=sheet.number("chamber_bar"),
        wrap=_wrap(sheet),
        knife_bar=sheet.number("knife_bar"),
        knives_in=None if knives is None else round(knives),
        additive_l_t=sheet.number("additive_l_t"),
    )


def _wrap(sheet: Sheet) -> WrapTargets | None:
    film, turns = sheet.conditions.film, sheet.number("wrap_turns")
    stretch, layers, rpm = map(sheet.number, ("pre_stretch_frac", "layers", "wrap_rpm"))
    if film is None or turns is None or stretch is None or layers is None or rpm is None:
        return None
    return WrapTargets(
        turns=round(turns),
        need_layers=round(layers),
        film_width_m=film.width_m,
        strip_m=strip_width_m(film.width_m, stretch, film.neck_in_exponent),
        pre_stretch_frac=stretch,
        roll_m=film.roll_m,
        rpm=rpm,
    )
