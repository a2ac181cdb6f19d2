"""Bales an hour when every bale takes the same times: what holds back, what a second is worth.

The mean is exact, also where chamber and wrapper are nearly equally fast and a turn or a roll
change tips the balance: the two stations race anew for every bale, so the mean cycle is the mean
over what can fall on one bale (a turn more or less, each stop or not) of the slower station.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

from balewright.plan.pace.cycle import HeldBack
from balewright.plan.pace.work import Stands, Work
from balewright.quantities.si import KG_PER_T, M2_PER_HA, S_PER_H


@dataclass(frozen=True)
class Shares:
    """Where the time of the driver goes, shares of the cycle; they sum to 1.

    waiting_frac: for the wrapper; stops_frac: rolls, grease, breaks.
    """

    filling_frac: float
    turning_frac: float
    standing_frac: float
    waiting_frac: float
    stops_frac: float


@dataclass(frozen=True)
class SecondWorth:
    """What one phase's second is worth, bales/h for each second, both 0 or more.

    saved_bales_h: gained where the phase gets shorter; added_bales_h: lost where it gets longer.
    They differ only where both stations are equally fast.
    """

    phase: str
    saved_bales_h: float
    added_bales_h: float


@dataclass(frozen=True)
class WorkPace:
    """What a machine does in the field.

    cycle_s: mean from bale to bale, stops in it; pace_bales_h; throughput_t_h: fresh;
    area_ha_h: None where the field of a bale is not known; held_back_by: what to speed up first;
    driver_waits_s, wrapper_waits_s: a bale, for the other station; shares: of the cycle;
    seconds: worth of a second in each phase, the most useful first.
    """

    cycle_s: float
    pace_bales_h: float
    throughput_t_h: float
    area_ha_h: float | None
    held_back_by: HeldBack
    driver_waits_s: float
    wrapper_waits_s: float
    shares: Shares
    seconds: tuple[SecondWorth, ...]


class Outcome(NamedTuple):
    """What can fall on one bale: its chance, and the times of both stations with it."""

    chance_frac: float
    chamber_s: float
    wrapper_s: float


CHAMBER_PHASES: Final = ("fill_s", "bind_s", "gate_s")
WRAPPER_PHASES: Final = ("take_over_s", "wrap_s", "tip_s")


def work_pace(work: Work) -> WorkPace:
    """The pace of a machine in steady work.

    work: phases, stops and turns, checked by themselves. Gives the long-run mean. Valid while
    crop lasts and for stops that fall on bales independently of each other; with `buffer_s` the
    mean is exact only where no stop or turn makes the slower station change. Model: throughput =
    M / (M/F + standing), as in Grisso, Webb & Cundiff 2020, with the wrapper beside the chamber.
    Source key: `grisso-2020`.
    """
    outcomes = tuple(outcomes_of(work))
    both_s = sum(
        stop.lasts_s / stop.every_bales for stop in work.stops if stop.stands is Stands.MACHINE
    )
    race_s = math.fsum(one.chance_frac * max(one.chamber_s, one.wrapper_s) for one in outcomes)
    cycle_s = race_s + both_s
    chamber_s = math.fsum(one.chance_frac * one.chamber_s for one in outcomes)
    wrapper_s = math.fsum(one.chance_frac * one.wrapper_s for one in outcomes)
    pace_bales_h = S_PER_H / cycle_s
    waits_s = max(race_s - chamber_s, 0.0)
    return WorkPace(
        cycle_s=cycle_s,
        pace_bales_h=pace_bales_h,
        throughput_t_h=pace_bales_h * work.mass_kg / KG_PER_T,
        area_ha_h=None if work.bale_m2 is None else pace_bales_h * work.bale_m2 / M2_PER_HA,
        held_back_by=_held_back(work),
        driver_waits_s=waits_s,
        wrapper_waits_s=max(race_s - wrapper_s, 0.0) if work.phases.wrapper_s > 0.0 else 0.0,
        shares=_shares(work, cycle_s, waits_s, both_s),
        seconds=_seconds(work, outcomes, cycle_s),
    )


def outcomes_of(work: Work) -> Iterator[Outcome]:
    """Every combination of a turn more or less and each stop of one station, with its chance.

    Stops of the whole machine are not in it: they are the same for both stations.
    """
    whole, broken = divmod(work.headland.per_bale, 1.0)
    turn_s = work.headland.turn_s
    turns = [(1.0 - broken, whole * turn_s), (broken, (whole + 1.0) * turn_s)]
    choices: list[list[tuple[float, float, float]]] = [[(p, s, 0.0) for p, s in turns if p > 0.0]]
    for stop in work.stops:
        if stop.stands is Stands.MACHINE:
            continue
        due = 1.0 / stop.every_bales
        chamber = stop.stands is Stands.CHAMBER
        there = (due, stop.lasts_s, 0.0) if chamber else (due, 0.0, stop.lasts_s)
        choices.append([there] if due == 1.0 else [there, (1.0 - due, 0.0, 0.0)])
    for fallen in itertools.product(*choices):
        yield Outcome(
            math.prod(chance for chance, _, _ in fallen),
            work.phases.chamber_s + sum(more_s for _, more_s, _ in fallen),
            work.phases.wrapper_s + sum(more_s for _, _, more_s in fallen),
        )


def _held_back(work: Work) -> HeldBack:
    """The slower station without stops; within the chamber the longer part."""
    phases = work.phases
    filling_s = phases.fill_s + work.headland.per_bale * work.headland.turn_s
    if phases.wrapper_s > filling_s + phases.standing_s:
        return HeldBack.WRAPPER
    return HeldBack.FILLING if filling_s >= phases.standing_s else HeldBack.STANDING


def _shares(work: Work, cycle_s: float, waits_s: float, both_s: float) -> Shares:
    turning_s = work.headland.per_bale * work.headland.turn_s
    chamber_stops_s = sum(
        stop.lasts_s / stop.every_bales for stop in work.stops if stop.stands is Stands.CHAMBER
    )
    return Shares(
        filling_frac=work.phases.fill_s / cycle_s,
        turning_frac=turning_s / cycle_s,
        standing_frac=work.phases.standing_s / cycle_s,
        waiting_frac=waits_s / cycle_s,
        stops_frac=(both_s + chamber_stops_s) / cycle_s,
    )


def _seconds(work: Work, outcomes: tuple[Outcome, ...], cycle_s: float) -> tuple[SecondWorth, ...]:
    """One-sided derivatives of 3600 / cycle; at a tie saving helps only the slower of the two."""
    chamber_more = math.fsum(o.chance_frac for o in outcomes if o.chamber_s >= o.wrapper_s)
    chamber_less = math.fsum(o.chance_frac for o in outcomes if o.chamber_s > o.wrapper_s)
    a_second = S_PER_H / cycle_s**2
    phases = work.phases
    stands_s = phases.bind_s + phases.gate_s
    saved, added = _not_gathered(phases.fill_s, min(phases.buffer_s, stands_s))
    found = [
        SecondWorth("fill_s", a_second * chamber_less * saved, a_second * chamber_more * added)
    ]
    saved, added = _not_gathered(stands_s, min(phases.buffer_s, phases.fill_s))
    for name in ("bind_s", "gate_s"):
        there = saved if getattr(phases, name) > 0.0 else 0.0
        found.append(
            SecondWorth(name, a_second * chamber_less * there, a_second * chamber_more * added)
        )
    if phases.wrapper_s > 0.0:
        wrapper_more, wrapper_less = 1.0 - chamber_less, 1.0 - chamber_more
        for name in WRAPPER_PHASES:
            saved = wrapper_less if getattr(phases, name) > 0.0 else 0.0
            found.append(SecondWorth(name, a_second * saved, a_second * wrapper_more))
    return tuple(sorted(found, key=lambda one: -one.saved_bales_h))


def _not_gathered(part_s: float, room_s: float) -> tuple[float, float]:
    """Whether a second less and a second more of a part changes the chamber's time (1) or is
    taken up by the buffer (0). room_s: what else bounds what the buffer gathers.
    """
    return float(part_s > room_s), float(part_s >= room_s)
