"""All cases, or one machine's, each read, the one with the last news first."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.cause.case.case import Case
from balewright.cause.case.read_case import read_case
from balewright.flows.workplace import Workplace


@dataclass(frozen=True)
class CaseLine:
    """A case in a list. at_us, last_us: when its first and its last entry arrived; name: of the
    machine, None where the register does not know it."""

    case: Case
    at_us: int
    last_us: int
    name: str | None


def list_cases(workplace: Workplace, machine: str | None = None) -> tuple[CaseLine, ...]:
    """Every case; of one machine where its serial is given."""
    rows = workplace.register.load_cases(machine)
    whole = workplace.register.load_cases_whole([row.case for row in rows])
    names = {one.serial: one.name for one in workplace.register.load_machines()}
    lines = []
    for row in rows:
        case = read_case(one.entry for one in whole[row.case])
        lines.append(CaseLine(case, row.at_us, row.last_us, names.get(case.machine or "")))
    return tuple(lines)
