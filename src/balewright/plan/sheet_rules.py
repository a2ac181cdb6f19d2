"""The rules of the setup sheet, joined: from a machine and its conditions to a sheet.

Each rule with its source stands in docs/sheet-rules.md. Where two rules contradict each other the
safer one wins and the line's reason says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from balewright.plan.machine import Machine
from balewright.plan.sheet import Conditions, Sheet
from balewright.plan.sheet_bale import look_at_job
from balewright.plan.sheet_chamber import chamber_lines
from balewright.plan.sheet_expected import expect
from balewright.plan.sheet_film import film_lines, plan_film
from balewright.plan.sheet_ground import drive_lines, tip_lines
from balewright.plan.sheet_warnings import cautions_for, unknowns_for
from balewright.quantities.errors import BadInput, Fault


def plan_bale(
    machine: Machine, conditions: Conditions, serial: str | None, code_version: str
) -> Sheet:
    """The setup sheet of one machine for one job.

    machine: its profile; conditions: crop, ground, film and net as their labels say; serial: the
    machine's serial in the register, None for a profile alone; code_version: of this program, so
    that the sheet can be made again. Raises BadInput with every condition that cannot be used.
    """
    faults = tuple(_faults(machine, conditions))
    if faults:
        raise BadInput(*faults)
    job = look_at_job(machine, conditions)
    plan = plan_film(job)
    lines = tuple(
        replace(line, own_word=machine.own_word(line.key))
        for line in (
            *drive_lines(job),
            *chamber_lines(job),
            *film_lines(job, plan),
            *tip_lines(job),
        )
    )
    return Sheet(
        machine_serial=serial,
        profile_key=machine.key,
        profile_version=machine.version,
        code_version=code_version,
        conditions=conditions,
        cautions=tuple(cautions_for(job)),
        lines=lines,
        expected=expect(job, plan, {line.key: line for line in lines}),
        unknown=tuple(unknowns_for(job)),
        profile_title=machine.title,
    )


def condition_faults(conditions: Conditions) -> Iterator[Fault]:
    """What no machine could be set for: numbers outside what can be believed."""
    bounds = (
        ("windrow_kg_m", conditions.windrow_kg_m, 0.2, 30.0),
        ("speed_m_s", conditions.speed_m_s, 0.1, 10.0),
        ("slope_frac", conditions.slope_frac, 0.0, 1.0),
        ("storage_months", conditions.storage_months, 0.0, 60.0),
        ("bales", conditions.bales, 1, 100_000),
        ("net_roll_m", conditions.net_roll_m, 1.0, 20_000.0),
    )
    for name, value, low, high in bounds:
        if value is not None and not (math.isfinite(value) and low <= value <= high):
            need = f"a number from {low:g} to {high:g}"
            yield Fault(name, need, repr(value), "Check the unit: the name ends in it.")
    wrapped = conditions.crop.is_wrapped
    moisture_frac, most = conditions.moisture_frac, 0.85 if wrapped else 0.40
    if not (math.isfinite(moisture_frac) and 0.03 <= moisture_frac <= most):
        need = f"moisture from 0.03 to {most:g} of the fresh mass for {conditions.crop}"
        cure = "Let it wilt first." if wrapped else "Damper than that it is no dry crop: wrap it."
        yield Fault("moisture_frac", need, repr(moisture_frac), cure)


def _faults(machine: Machine, conditions: Conditions) -> Iterator[Fault]:
    yield from condition_faults(conditions)
    film, wrapper = conditions.film, machine.wrapper
    if film is None or wrapper is None or not conditions.crop.is_wrapped:
        return
    fits = wrapper.film_width_m
    if not fits.low <= film.width_m <= fits.high:
        need = f"film of {fits.low:g} to {fits.high:g} m, which fits this machine"
        yield Fault("film_width_m", need, repr(film.width_m), "Put on a roll that fits.")
