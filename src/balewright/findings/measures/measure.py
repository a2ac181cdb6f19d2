"""A measure: one number a bale that should stay what it is, and what may honestly move it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.watched import Floats, Watched


class Family(StrEnum):
    """How a measure is watched: as a level, or as something that happens so often a bale."""

    LEVEL = "level"
    RATE = "rate"


class Group(StrEnum):
    """What bales share beside the machine: a job or a day, and the roll that was on."""

    JOB = "job"
    DAY = "day"
    FILM1 = "film roll 1"
    FILM2 = "film roll 2"
    FILMS = "both film rolls"
    NET = "net roll"


@dataclass(frozen=True)
class Explains:
    """Something outside the machine that moves a measure.

    read: its value at each bale, NaN unknown; centre, scale: a usual value and by how much it
    usually varies, in its own unit, so that (value - centre) / scale is of the order of one.
    """

    key: str
    unit: str
    centre: float
    scale: float
    read: Callable[[Watched], Floats]


@dataclass(frozen=True)
class Measure:
    """One number a bale.

    key: its name, which ends in its unit; columns: of the bale table it cannot do without; read:
    the values, NaN unknown, shape (bales,); unit: as Finding.unit; explained_by: keys of
    `Explains`; group: what bales share that moves it honestly; is_log: watched as a logarithm, so
    that `floor` is a share; floor: smallest lasting change worth telling; moved_by: columns or
    lines of the sheet whose change moves the level on purpose, after which it is learnt anew;
    usual_spread: bale to bale, on the watched scale, before anything was learnt; usual_group:
    spread between groups as a share of that. For a RATE: usual_rate, times a bale, before anything
    was learnt. up, down: how much a move in that direction matters, None: not told. part: of the
    machine it speaks of. matter: measures of one matter are moved by the same faults; of those
    that move together only the surest is worth a finding, "" for a measure that stands alone.
    yields: told only where no other measure of its matter moved: those say more exactly what did.
    fault_frac: of lasting moves that are told, how many are a fault of the machine and not crop,
    weather, roll or driver that nothing recorded: judged on rehearsed tuning seasons.
    wanders: whether crop, hour or driver move it within a job too, so that only jobs held against
    jobs tell of the machine. tells_small: a change below `floor` is still told, as a note, from
    about a bale spread on. by_jobs_ratio: how many times the usual evidence whole jobs held against
    each other must give, as jobs also differ by what nothing records (drivers, batches, weather):
    judged on rehearsed tuning seasons.
    """

    key: str
    family: Family
    kind: FindingKind
    unit: str
    columns: tuple[str, ...]
    read: Callable[[Watched], Floats]
    up: Weight | None
    down: Weight | None
    explained_by: tuple[str, ...] = ()
    group: Group = Group.JOB
    is_log: bool = False
    floor: float = 0.0
    moved_by: tuple[str, ...] = ()
    usual_spread: float = 1.0
    usual_group: float = 0.3
    usual_rate: float = 0.01
    part: str = ""
    matter: str = ""
    yields: bool = False
    tells_small: bool = True
    by_jobs_ratio: float = 1.0
    wanders: bool = False
    fault_frac: float = 0.8
