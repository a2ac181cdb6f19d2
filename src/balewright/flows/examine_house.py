"""Look at everything that is kept and say what is wrong and how to mend it; change nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from balewright.flows.after_stop import look_after_stop
from balewright.flows.back_up_house import LAST_BACKUP
from balewright.flows.daily_review import look_at_review
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.store.health.case_checks import look_at_cases
from balewright.store.health.disk import (
    look_at_home,
    look_at_key,
    look_at_left_over,
    look_at_room,
)
from balewright.store.health.journal_checks import look_at_originals, look_at_parts
from balewright.store.health.lines import HealthLine, HealthState, good, wrong
from balewright.store.health.register_checks import (
    look_at_clock,
    look_at_machines,
    look_at_register,
)

BACKUP_AGE: Final = timedelta(days=7)
"""A season's week is what nobody wants to take in again."""


@dataclass(frozen=True)
class Health:
    """What was looked at, the worst first; at: when; deep: whether every file was read whole."""

    lines: tuple[HealthLine, ...]
    at: datetime
    deep: bool

    @property
    def state(self) -> HealthState:
        """The worst of them; a line that could not be seen counts as one to look at."""
        return self.lines[0].state if self.lines else HealthState.GOOD


_WORST_FIRST: Final = (
    HealthState.BROKEN,
    HealthState.LOOK,
    HealthState.UNKNOWN,
    HealthState.GOOD,
)


def examine_house(
    workplace: Workplace, deep: bool = False, beside: Sequence[HealthLine] = ()
) -> Health:
    """How the workplace is.

    deep: read every column file whole and hold it against its hash, which takes as long as
    reading them; beside: lines that only the caller can see (the desk's queue). Tells `progress`.
    """
    register, home, now = workplace.register, workplace.home, workplace.clock()
    lines = [
        *look_at_folder(home),
        look_at_register(register.file),
        *look_at_parts(
            workplace.journal,
            deep,
            lambda done, total: workplace.progress("reading column files", done, total),
        ),
        look_at_originals(home / "originals", register),
        look_at_cases(home / "photos", register),
        look_at_clock(register, now),
        *look_after_stop(register),
        look_at_machines(register),
        look_at_review(workplace),
        _look_at_backup(workplace, now),
        *beside,
    ]
    return Health(_sorted(lines), now, deep)


def look_at_folder(home: Path) -> tuple[HealthLine, ...]:
    """What can be seen of a home that may not even open."""
    lines = (look_at_home(home), look_at_room(home), look_at_key(home), look_at_left_over(home))
    return tuple(line for line in lines if line is not None)


def examine_shut_house(home: Path, error: BadInput, now: datetime) -> Health:
    """How a workplace is that cannot be opened: what is wrong with it, and with its folder."""
    fault = error.faults[0]
    values = {"place": fault.place, "need": fault.need, "given": fault.given, "mend": fault.cure}
    shut = wrong("open", HealthState.BROKEN, "shut", **values)
    return Health(_sorted([shut, *look_at_folder(home)]), now, deep=False)


def _sorted(lines: Sequence[HealthLine]) -> tuple[HealthLine, ...]:
    return tuple(sorted(lines, key=lambda line: _WORST_FIRST.index(line.state)))


def _look_at_backup(workplace: Workplace, now: datetime) -> HealthLine:
    if not workplace.register.load_intakes(1):
        return good("backup_empty")
    last = workplace.register.load_rule(LAST_BACKUP)
    if last is None:
        return wrong("backup", HealthState.LOOK, "never")
    age_days = (now - last.set_at).total_seconds() / 86_400
    if now - last.set_at > BACKUP_AGE:
        return wrong("backup", HealthState.LOOK, "old", age_days=round(age_days, 1))
    return good("backup", last=f"{last.set_at:%Y-%m-%d %H:%M}")
