"""Rolls and batches compared over all machines: does this film break more than the others?

Machines differ in how often they break any film, and batches are not spread evenly over them. So
a batch is held only against what the same dispenser of the same machine did with other rolls: in
each such stratum the breaks are given, and how many of them fall to the batch is a draw by its
share of the bales. The sum over strata has an exact distribution, and with it an exact chance and
an exact interval of how many times as often it breaks.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from scipy.optimize import brentq
from scipy.stats import binom, chi2, false_discovery_control

from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.findings.watched import Floats
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.records.bales import BaleTable
from balewright.records.events import EventKind
from balewright.records.rolls import RollRange, plain_name

FEWEST_BALES: Final = 40
"""Bales on a batch below which it is not judged: one roll of film wraps 20 to 40."""
RATE_FRAC: Final = 0.05
"""False discovery rate over all batches compared at once, unless the caller says another."""
_SIDE: Final = 0.025
_MOST_LOG: Final = 12.0


@dataclass(frozen=True)
class RollUse:
    """What one roll did. stratum: machine and place (dispenser, net), the only one it is held
    against; name: what is compared, a batch or a roll; bales on it; breaks (of net: retries)."""

    stratum: str
    name: str
    bales: int
    breaks: int


@dataclass(frozen=True)
class RollCompared:
    """One batch against the rest. breaks_bale: its own rate (Garwood); times: how many times as
    often as the rest on the same machines; chance_frac: of at least as many breaks were it like
    the rest (one-sided, exact); told_frac: the same after Benjamini and Hochberg; expected:
    breaks that the rest would have had."""

    name: str
    bales: int
    breaks: int
    machines: int
    breaks_bale: Interval
    expected: float
    times: Interval | None
    chance_frac: float
    told_frac: float


@dataclass(frozen=True)
class Stratum:
    """A batch and the rest on one dispenser of one machine: bales and breaks of each."""

    bales: int
    breaks: int
    other_bales: int
    other_breaks: int


def roll_uses(
    bales: BaleTable, ranges: Iterable[RollRange], by_batch: bool = True
) -> tuple[RollUse, ...]:
    """What each roll of one machine did, from `account_rolls` over the same table.

    Bales that two rolls share say nothing of either. by_batch: name by the batch, else by the
    roll's own change; a roll whose batch nobody noted is then the rest ("").
    """
    uses = []
    for one in ranges:
        counts = _breaks(bales, one)
        rows = np.array(one.rows[one.shared :], dtype=np.intp)
        rows = rows[np.isfinite(counts[rows])] if len(rows) else rows
        if not len(rows):
            continue
        since = one.since_no if one.since_no is not None else one.since_us
        name = plain_name(one.batch or "") if by_batch else f"{one.item} since {since}"
        stratum = f"{one.machine} {plain_name(one.item)}"
        uses.append(RollUse(stratum, name, len(rows), int(counts[rows].sum())))
    return tuple(uses)


def _breaks(bales: BaleTable, one: RollRange) -> Floats:
    if one.kind is EventKind.NET_ROLL_CHANGED:
        return np.maximum(bales.floats("binding_tries") - 1.0, 0.0)
    place = plain_name(one.item)[-1:]
    own = (
        bales.floats(f"film{place}_breaks") if place in ("1", "2") else bales.floats("film_breaks")
    )
    return own if np.isfinite(own).any() else bales.floats("film_breaks")


def compare_rolls(uses: Iterable[RollUse]) -> tuple[RollCompared, ...]:
    """Every named roll or batch against the rest, worst first; "" is only ever the rest.

    The order of `uses` changes nothing. Source keys: `breslow-day-rates`, `garwood`,
    `benjamini-hochberg`.
    """
    table: dict[str, dict[str, list[int]]] = {}
    for use in uses:
        cell = table.setdefault(use.stratum, {}).setdefault(use.name, [0, 0])
        cell[0] += use.bales
        cell[1] += use.breaks
    names = sorted({name for cells in table.values() for name in cells if name})
    found = [_compare(name, table) for name in names]
    judged = [one for one in found if one is not None]
    if not judged:
        return ()
    told = false_discovery_control([one.chance_frac for one in judged], method="bh")
    settled = [replace(one, told_frac=float(p)) for one, p in zip(judged, told, strict=True)]
    return tuple(sorted(settled, key=lambda one: (one.told_frac, one.chance_frac, one.name)))


def _compare(name: str, table: dict[str, dict[str, list[int]]]) -> RollCompared | None:
    strata = []
    for _, cells in sorted(table.items()):
        if name not in cells:
            continue
        own = cells[name]
        rest = [cell for other, cell in cells.items() if other != name]
        strata.append(
            Stratum(own[0], own[1], sum(cell[0] for cell in rest), sum(cell[1] for cell in rest))
        )
    bales, breaks = sum(one.bales for one in strata), sum(one.breaks for one in strata)
    compared = [one for one in strata if one.other_bales > 0]
    if bales < FEWEST_BALES or not compared:
        return None
    expected = sum(
        (one.breaks + one.other_breaks) * one.bales / (one.bales + one.other_bales)
        for one in compared
    )
    return RollCompared(
        name, bales, breaks, len(compared), rate_interval(breaks, bales), expected,
        times_interval(compared), chance_at_least(compared), 1.0,
    )  # fmt: skip


def _counts(strata: Iterable[Stratum], log_ratio: float) -> Floats:
    """Distribution of the batch's breaks in all, the breaks of each stratum given."""
    chances = np.ones(1)
    for one in strata:
        given = one.breaks + one.other_breaks
        if not given:
            continue
        odds = math.exp(log_ratio) * one.bales
        share = odds / (odds + one.other_bales)
        chances = np.convolve(chances, binom.pmf(np.arange(given + 1), given, share))
    return chances


def chance_at_least(strata: list[Stratum]) -> float:
    """Chance of at least as many breaks on the batch, were it like the rest."""
    seen = sum(one.breaks for one in strata)
    return float(min(_counts(strata, 0.0)[seen:].sum(), 1.0))


def times_interval(strata: list[Stratum]) -> Interval | None:
    """How many times as often as the rest: conditional likeliest value, exact 95 % interval.

    None where nothing broke at all, or only on the batch (no upper end).
    """
    seen = sum(one.breaks for one in strata)
    most = sum(one.breaks + one.other_breaks for one in strata)
    if seen == most:
        return None
    # other ratios only tilt the distribution, so one near the answer serves for all
    near = mantel_haenszel_times(strata)
    middle = 0.0 if near is None else math.log(near.best)
    with np.errstate(divide="ignore"):
        log_mass = np.log(_counts(strata, middle))
    values = np.arange(most + 1)

    def at(log_ratio: float) -> Floats:
        tilted = log_mass + values * (log_ratio - middle)
        mass = np.exp(tilted - tilted.max())
        return np.asarray(mass / mass.sum())

    best = 0.0 if seen == 0 else _solve(lambda x: float(at(x) @ values) - seen)
    low = 0.0 if seen == 0 else _solve(lambda x: float(at(x)[seen:].sum()) - _SIDE)
    high = _solve(lambda x: _SIDE - float(at(x)[: seen + 1].sum()))
    return Interval(low, best, high, 0.95)


def _solve(rising: Callable[[float], float]) -> float:
    if rising(-_MOST_LOG) >= 0.0:  # a batch on ever so few bales of ever so many, or the reverse
        return 0.0
    if rising(_MOST_LOG) <= 0.0:
        return math.exp(_MOST_LOG)
    return math.exp(float(brentq(rising, -_MOST_LOG, _MOST_LOG, xtol=1e-10)))


def mantel_haenszel_times(strata: list[Stratum]) -> Interval | None:
    """The same ratio by Mantel and Haenszel, with its 95 % interval: close to the exact one where
    breaks are many, and the one that textbooks print. None where either side has no breaks."""
    total = [one.bales + one.other_bales for one in strata]
    over = sum(s.breaks * s.other_bales / n for s, n in zip(strata, total, strict=True))
    under = sum(s.other_breaks * s.bales / n for s, n in zip(strata, total, strict=True))
    if over <= 0 or under <= 0:
        return None
    spread = sum(
        (s.breaks + s.other_breaks) * s.bales * s.other_bales / n**2
        for s, n in zip(strata, total, strict=True)
    )
    half = 1.959963984540054 * math.sqrt(spread / (over * under))
    best = over / under
    return Interval(best * math.exp(-half), best, best * math.exp(half), 0.95)


def rate_interval(count: int, bales: int) -> Interval:
    """Count a bale with its exact 95 % interval. Source key: `garwood`."""
    low = float(chi2.ppf(_SIDE, 2 * count)) / 2 if count else 0.0
    high = float(chi2.ppf(1.0 - _SIDE, 2 * count + 2)) / 2
    return Interval(low / bales, count / bales, high / bales, 0.95)


def find_rolls_worse(
    compared: Iterable[RollCompared], rate_frac: float = RATE_FRAC, machine: str = ""
) -> tuple[Finding, ...]:
    """Batches that break more than the rest, at a false discovery rate of `rate_frac` (0..1).

    machine: its serial where rolls of one machine were compared, "" for the whole fleet.
    """
    return tuple(_tell(one, machine) for one in compared if one.told_frac <= rate_frac)


def _tell(one: RollCompared, machine: str) -> Finding:
    times = one.times
    key = "findings.roll.worse" if times is not None else "findings.roll.only"
    words = because(
        key, batch=one.name, bales=one.bales, breaks=one.breaks, machines=one.machines,
        rate_frac=one.breaks_bale.best, expected=round(one.expected, 1),
        times=round(times.best, 1) if times is not None else 0.0,
        low_times=round(times.low, 1) if times is not None else 0.0,
        high_times=round(times.high, 1) if times is not None else 0.0,
    )  # fmt: skip
    return Finding(
        machine=machine, kind=FindingKind.ROLL_WORSE, weight=Weight.COST, since_bale=None,
        until_bale=None, since_us=None, bales=one.bales, looked_at=one.bales,
        planned=100.0 * one.expected / one.bales, seen=_in_hundred(one.breaks_bale),
        unit="a hundred bales",
        evidence=("film_breaks",), sheet=None, words=words, measure="roll breaks",
        part=one.name, certain_frac=None, chance_frac=one.chance_frac,
        adjusted_for=("machine", "dispenser"),
    )  # fmt: skip


def _in_hundred(rate: Interval) -> Interval:
    return Interval(100.0 * rate.low, 100.0 * rate.best, 100.0 * rate.high, rate.confidence)
