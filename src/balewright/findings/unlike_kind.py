"""A machine whose own level stands far from that of the others of its kind.

The watch over a machine learns what is usual for it; one that was out from its first bale never
changes. So levels are held against each other, over machines of one profile. Only measures that
neither crop, nor who drives, nor a wish of the customer moves from machine to machine are compared:
what is set is held against the sheet instead.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from scipy.stats import t as student

from balewright.findings.finding import Finding, FindingKind, Weight, Worth
from balewright.findings.judged import Judged
from balewright.findings.measures.measure import Measure
from balewright.findings.measures.telling import UNIT_ENDS
from balewright.findings.watch import level_slots as slot
from balewright.findings.watch.state import MachineState
from balewright.findings.watched import Floats
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because

COMPARED: Final = frozenset(
    {
        *("bind_turn_s", "gate_cycle_s", "transfer_s", "oil_c", "supply_min_v"),
        *("film1_stretch_ratio", "film2_stretch_ratio", "film_stretch_ratio", "film_pair_ratio"),
        "binding_stretch_ratio",
    }
)
"""Measures that are much the same on every machine of a profile that is in order. Left out: crop
(moisture, density, feed, row, torque), who drives (speed, sides, waiting), and what is set as
somebody wants it (pressure, gate, diameter, turns, dose, wrapper speed, delays)."""
FEWEST_MACHINES: Final = 6
FEWEST_BALES: Final = 150
"""Bales of a machine before its level counts: some jobs and rolls, `assumed`."""
TIMES_FLOOR: Final = 2.0
"""A difference is told from twice the change that is worth telling of one machine: machines are not
built alike to a hair, `assumed`."""
LEAST_APART: Final = 0.5
"""Machines in order are reckoned to differ by at least so much of that smallest change, however
near to each other the others happen to lie: `assumed`."""
LEAST_CHANCE: Final = 1e-3
"""What a machine in order shows oftener is not told; admission over the fleet asks for less."""
FAULT_FRAC: Final = 0.5
"""Of machines beyond chance, how many have something wrong and are not built otherwise: `assumed`.
"""
_TO_SPREAD: Final = 1.4826
_DEGREES: Final = 0.37
"""Degrees of freedom for each machine of a spread by the median distance (its efficiency)."""
_FEW: Final = 1.5
"""That spread is too small where machines are few, by one in so many of them: simulated, with it
Student's tails lie above the true ones from 5 machines on."""
_MOST_LOG: Final = 50.0


@dataclass(frozen=True)
class OwnLevel:
    """Where a machine's level of a measure stands, on the watched scale, what explains it taken
    out. spread: how well it is known, one standard deviation; bales: judged."""

    level: float
    spread: float
    bales: int


@dataclass(frozen=True)
class Compared:
    """findings: by machine and measure; tests: how many levels were held against others, for the
    share of false alarms."""

    findings: tuple[Finding, ...]
    tests: int


def own_levels(state: MachineState) -> dict[str, OwnLevel]:
    """What `find_unlike` needs of a watch, by measure; levels known too little are left out."""
    levels = {}
    for key in sorted(COMPARED & state.levels.keys()):
        one = state.levels[key]
        bales, spread2 = int(one.kept[slot.JUDGED]), float(one.covariance[0, 0])
        if bales >= FEWEST_BALES and math.isfinite(one.mean[0]) and spread2 >= 0.0:
            levels[key] = OwnLevel(float(one.mean[0]), math.sqrt(spread2), bales)
    return levels


def find_unlike(
    machines: Mapping[str, Mapping[str, OwnLevel]], measures: Iterable[Measure]
) -> Compared:
    """Machines that stand apart. machines: of one profile, by serial, as `own_levels` gives them;
    measures: of that profile. The order of machines changes nothing.

    Of measures of one matter only the surest of a machine is told. A finding speaks of all bales of
    the machine: which they are, the caller knows.
    """
    told: dict[tuple[str, str], tuple[tuple[bool, float, str], Finding]] = {}
    tests = 0
    for measure in measures:
        known = {
            serial: levels[measure.key]
            for serial, levels in sorted(machines.items())
            if measure.key in levels
        }
        if measure.key not in COMPARED or len(known) < FEWEST_MACHINES:
            continue
        tests += len(known)
        for serial in known:
            found = _judge(serial, measure, known)
            if found is None:
                continue
            matter = serial, measure.matter or measure.key
            rank = measure.yields, found.chance_frac or 0.0, measure.key
            if matter not in told or rank < told[matter][0]:
                told[matter] = rank, found
    found_all = sorted(
        (one for _, one in told.values()), key=lambda one: (one.machine, one.measure)
    )
    return Compared(tuple(found_all), tests)


def chance_apart(own: OwnLevel, others: Sequence[float] | Floats, least_spread: float) -> float:
    """How often a machine in order would stand as far from others, either side.

    others: their levels, at least 5; least_spread: the least to reckon with between machines.
    Median and median distance, so that a third of the others may be out too; Student's tails for
    how badly so few machines tell their spread. Holds for levels that scatter like a normal number.
    """
    levels = np.asarray(others, dtype=np.float64)
    middle = float(np.median(levels))
    spread = _TO_SPREAD * float(np.median(np.abs(levels - middle)))
    count = len(levels)
    scale = (1.0 + _FEW / count) * math.hypot(max(spread, least_spread), own.spread)
    return float(2.0 * student.sf(abs(own.level - middle) / scale, _DEGREES * count))


def _judge(serial: str, measure: Measure, known: Mapping[str, OwnLevel]) -> Finding | None:
    own = known[serial]
    others = np.array([one.level for key, one in known.items() if key != serial])
    middle = float(np.median(others))
    weight = measure.up if own.level > middle else measure.down
    if weight is None or abs(own.level - middle) < TIMES_FLOOR * measure.floor:
        return None
    chance = chance_apart(own, others, LEAST_APART * measure.floor)
    if chance > LEAST_CHANCE:
        return None
    return _tell(serial, measure, own, (middle, chance, len(others)))


def _tell(
    serial: str, measure: Measure, own: OwnLevel, against: tuple[float, float, int]
) -> Finding:
    middle, chance, others = against
    half = 1.96 * own.spread
    low, seen, high = (
        _in_unit(measure, one) for one in (own.level - half, own.level, own.level + half)
    )
    usual, end = _in_unit(measure, middle), UNIT_ENDS[measure.unit]
    direction = "up" if own.level > middle else "down"
    words = because(
        f"findings.unlike.{measure.key}.{direction}",
        **{f"now_{end}": seen, f"usual_{end}": usual},
        change_frac=abs(seen / usual - 1.0) if usual > 0 else 0.0,
        machines=others,
    )
    return Finding(
        machine=serial,
        kind=FindingKind.UNLIKE_ITS_KIND,
        weight=Weight.NOTE,  # it was never otherwise, and may be built so
        since_bale=None,
        until_bale=None,
        since_us=None,
        bales=own.bales,
        looked_at=own.bales,
        planned=usual,
        seen=Interval(low, seen, high, 0.95),
        unit=measure.unit,
        evidence=measure.columns,
        sheet=None,
        words=words,
        measure=measure.key,
        part=measure.part,
        moved=Interval(low - usual, seen - usual, high - usual, 0.95),
        certain_frac=FAULT_FRAC * (1.0 - chance),
        chance_frac=chance,
        worth=Worth(None, None),
        adjusted_for=measure.explained_by,
    )


def _in_unit(measure: Measure, level: float) -> float:
    if not measure.is_log:
        return level
    return math.exp(min(max(level, -_MOST_LOG), _MOST_LOG))


def over_all_bales(findings: Iterable[Finding], judged: Judged) -> tuple[Finding, ...]:
    """The same, from the first to the last bale that knows what each rests on: it has been so all
    along, and stays so until machines are compared again."""
    return tuple(_over(one, judged) for one in findings)


def _over(finding: Finding, judged: Judged) -> Finding:
    bales = judged.watched.bales
    known = np.ones(bales.rows, dtype=np.bool_)
    for name in finding.evidence:
        known &= bales.mask(name) if bales.has(name) else False
    rows = np.flatnonzero(known)
    if not len(rows):
        return finding
    first, last = int(rows[0]), int(rows[-1])
    return replace(
        finding,
        since_bale=bales.cell(first, "bale_no"),
        since_us=judged.us_at(first),
        until_bale=bales.cell(last, "bale_no"),
        until_us=judged.us_at(last),
    )
