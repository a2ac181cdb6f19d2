"""The rules of the setup sheet, joined: from a machine and its conditions to a sheet.

Each rule with its source stands in docs/sheet-rules.md. Where two rules contradict each other the
safer one wins, and the sheet's conflicts say so in the open.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from balewright.plan.machine import Machine
from balewright.plan.sheet.additive import additive_lines
from balewright.plan.sheet.bale import look_at_job
from balewright.plan.sheet.chamber import binding_lines, press_lines
from balewright.plan.sheet.conditions import condition_faults, machine_faults
from balewright.plan.sheet.conflicts import conflicts_for
from balewright.plan.sheet.drive import drive_lines, slowed
from balewright.plan.sheet.expected import expect, stations_of, turning_speed_m_s
from balewright.plan.sheet.film import film_lines, lost_rolls
from balewright.plan.sheet.film_plan import plan_film
from balewright.plan.sheet.ground import tip_lines
from balewright.plan.sheet.knives import knife_lines
from balewright.plan.sheet.measures import measures_for, weighing_line
from balewright.plan.sheet.rolls import roll_changes
from balewright.plan.sheet.sheet import Conditions, Sheet, SheetLine
from balewright.plan.sheet.warnings import cautions_for, unknowns_for
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
    given = _by_key((*binding_lines(job), *film_lines(job, plan), *tip_lines(job)))
    stations = stations_of(job, plan, given)
    turning_m_s = turning_speed_m_s(job, stations)
    job = replace(job, speed_m_s=slowed(job, turning_m_s))
    lines = _by_key(
        (
            *drive_lines(job, turning_m_s),
            *additive_lines(job),
            *press_lines(job),
            *knife_lines(job),
            *given.values(),
            weighing_line(job),
        )
    )
    return Sheet(
        machine_serial=serial,
        profile_key=machine.key,
        profile_version=machine.version,
        code_version=code_version,
        conditions=conditions,
        cautions=tuple(cautions_for(job)),
        lines=tuple(replace(line, own_word=machine.own_word(line.key)) for line in lines.values()),
        expected=expect(job, plan, lines),
        unknown=tuple(unknowns_for(job, plan)),
        profile_title=machine.title,
        conflicts=tuple(conflicts_for(job, turning_m_s, lines)),
        measures=tuple(measures_for(job, plan, lines)),
        roll_changes=roll_changes(job, plan, lines),
        lost_rolls=lost_rolls(plan),
    )


def _by_key(lines: Iterable[SheetLine]) -> dict[str, SheetLine]:
    return {line.key: line for line in lines}


def _faults(machine: Machine, conditions: Conditions) -> Iterator[Fault]:
    yield from condition_faults(conditions)
    yield from machine_faults(machine, conditions)
