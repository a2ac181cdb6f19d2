"""The rules of the setup sheet, joined: from a machine and its conditions to a sheet.

Each rule with its source stands in docs/sheet-rules.md. Where two rules contradict each other the
safer one wins and the line's reason says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from balewright.plan.machine import Machine
from balewright.plan.sheet import Conditions, Sheet
from balewright.plan.sheet_bale import look_at_job
from balewright.plan.sheet_chamber import chamber_lines
from balewright.plan.sheet_conditions import condition_faults, machine_faults
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


def _faults(machine: Machine, conditions: Conditions) -> Iterator[Fault]:
    yield from condition_faults(conditions)
    yield from machine_faults(machine, conditions)
