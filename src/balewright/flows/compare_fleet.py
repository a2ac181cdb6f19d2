"""Machines of one profile on one measure, as the watch over each knows it: adjusted levels and
rates with their intervals. Nothing is watched by asking."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.stats import gamma

from balewright.findings.measures.book import measures_of
from balewright.findings.measures.measure import Family, Measure
from balewright.findings.watch import level_slots as level_slot
from balewright.findings.watch import rate_kernel as rate_slot
from balewright.findings.watch.level import LevelState
from balewright.findings.watch.rate import RateState
from balewright.findings.watch.state import MachineState
from balewright.findings.watch.state_bytes import state_from_bytes
from balewright.flows.workplace import Workplace
from balewright.quantities.interval import Interval
from balewright.store.entries import MachineEntry

FEWEST_BALES: Final = 60
"""Bales judged, below which a machine's level says more of its first field than of it: assumed."""
FEWEST_MACHINES: Final = 5
"""Below that nobody can say how far machines of a kind differ."""
APART: Final = 3.0
"""Spreads from the middle beyond which a machine stands apart: about one of 370 in order does."""
_SIDE: Final = 0.975
_NORMAL_97_5: Final = 1.959963984540054


@dataclass(frozen=True)
class MachineCompared:
    """level: in the measure's unit, of a rate in 100 bales, at the usual value of what explains it,
    with its 95 % interval; bales: judged; is_apart: far from the others for how far they differ.
    """

    serial: str
    name: str
    level: Interval
    bales: int
    is_apart: bool = False


@dataclass(frozen=True)
class FleetCompared:
    """machines: highest first; middle: the median of them; unwatched: how many machines of the
    profile have no such value, or too few bales; profiles: key and how many machines, most first;
    measures: keys that can be chosen; measure: the one compared, None where there is none.
    """

    profile_key: str
    profiles: tuple[tuple[str, int], ...]
    measures: tuple[str, ...]
    measure: Measure | None
    machines: tuple[MachineCompared, ...]
    middle: float | None
    unwatched: int


def compare_fleet(workplace: Workplace, profile_key: str, key: str) -> FleetCompared:
    """Compare the machines of a profile. profile_key, key: "" or unknown for the usual choice: the
    profile with most machines, the first measure that its machines know.
    """
    by_profile: dict[str, list[MachineEntry]] = {}
    for entry in workplace.register.load_machines():
        if entry.profile_key in workplace.profiles:
            by_profile.setdefault(entry.profile_key, []).append(entry)
    most_first = sorted(by_profile, key=lambda one: (-len(by_profile[one]), one))
    profiles = tuple((one, len(by_profile[one])) for one in most_first)
    if not profiles:
        return FleetCompared("", (), (), None, (), None, 0)
    chosen = profile_key if profile_key in by_profile else profiles[0][0]
    entries = by_profile[chosen]
    states = _states(workplace, [entry.serial for entry in entries])
    known = {one for state in states.values() for one in (*state.levels, *state.rates)}
    measures = {one.key: one for one in measures_of(workplace.profiles[chosen])}
    offered = tuple(one for one in measures if one in known)
    measure = measures.get(key) if key in offered else _usual(measures, offered)
    machines = () if measure is None else _compare(measure, entries, states)
    middle = float(np.median([one.level.best for one in machines])) if machines else None
    return FleetCompared(
        chosen, profiles, offered, measure, machines, middle, len(entries) - len(machines)
    )


def _usual(measures: dict[str, Measure], offered: Sequence[str]) -> Measure | None:
    return measures[offered[0]] if offered else None


def _states(workplace: Workplace, serials: Sequence[str]) -> dict[str, MachineState]:
    """Where the watch over each machine stands; one of another form is left out."""
    found = {}
    for one in workplace.register.load_newest_states(serials):
        try:
            found[one.machine] = state_from_bytes(one.body)
        except (ValueError, KeyError, TypeError):  # written by another version: watched anew soon
            continue
    return found


def _compare(
    measure: Measure, entries: Sequence[MachineEntry], states: dict[str, MachineState]
) -> tuple[MachineCompared, ...]:
    told = []
    for entry in entries:
        state = states.get(entry.serial)
        if state is None:
            continue
        if measure.family is Family.LEVEL:
            level = state.levels.get(measure.key)
            seen = None if level is None else _level(level, measure)
        else:
            rate = state.rates.get(measure.key)
            seen = None if rate is None else _rate(rate)
        if seen is not None:
            told.append(MachineCompared(entry.serial, entry.name, *seen))
    apart = _apart(measure, told)
    marked = [
        MachineCompared(one.serial, one.name, one.level, one.bales, is_apart)
        for one, is_apart in zip(told, apart, strict=True)
    ]
    return tuple(sorted(marked, key=lambda one: (-one.level.best, one.serial)))


def _level(state: LevelState, measure: Measure) -> tuple[Interval, int] | None:
    """The level at the usual value of what explains it, jobs and rolls apart."""
    judged = int(state.kept[level_slot.JUDGED])
    mean, spread2 = float(state.mean[0]), float(state.covariance[0, 0])
    if judged < FEWEST_BALES or not math.isfinite(mean) or not spread2 >= 0.0:
        return None
    half = _NORMAL_97_5 * math.sqrt(spread2)
    ends = (mean - half, mean, mean + half)
    if measure.is_log:
        low, best, high = (math.exp(min(max(one, -50.0), 50.0)) for one in ends)
        return Interval(low, best, high, 0.95), judged
    return Interval(*ends, 0.95), judged


def _rate(state: RateState) -> tuple[Interval, int] | None:
    """Events in 100 bales by the gamma guess; since a rise that lasts, by what was seen since."""
    kept = state.kept
    judged = int(kept[rate_slot.JUDGED])
    events = float(
        kept[rate_slot.EVENTS] + kept[rate_slot.RECENT_EVENTS] + kept[rate_slot.WAITING_EVENTS]
    )
    bales = float(
        kept[rate_slot.BALES] + kept[rate_slot.RECENT_BALES] + kept[rate_slot.WAITING_BALES]
    )
    if state.rises and state.rises[-1].over is None and state.expected > 0.0:
        events = max(state.seen, 1.0)
        bales = state.expected / max(state.rises[-1].before, 1e-9)
    if judged < FEWEST_BALES or not events > 0.0 or not bales > 0.0:
        return None
    low, high = (float(gamma.ppf(side, events)) for side in (1.0 - _SIDE, _SIDE))
    ends = [100.0 * one / bales for one in (low, events, high)]
    return Interval(min(ends[0], ends[1]), ends[1], max(ends[1:]), 0.95), judged


def _apart(measure: Measure, told: Sequence[MachineCompared]) -> list[bool]:
    """Whether each is far from the middle for how far the machines differ and how well it is known.

    Rates and shares are compared as logarithms, which make their scatter even.
    """
    if len(told) < FEWEST_MACHINES:
        return [False] * len(told)
    is_log = measure.is_log or measure.family is Family.RATE

    def scaled(value: float) -> float:
        return math.log(max(value, 1e-9)) if is_log else value

    best = np.array([scaled(one.level.best) for one in told])
    half = np.array([scaled(one.level.high) - scaled(one.level.low) for one in told]) / 2.0
    middle = float(np.median(best))
    spread = 1.4826 * float(np.median(np.abs(best - middle)))
    far = np.abs(best - middle) > APART * np.hypot(spread, half / _NORMAL_97_5)
    return [bool(one) for one in far]
