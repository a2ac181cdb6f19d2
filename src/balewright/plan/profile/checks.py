"""What the values of a profile must be to each other: checks over the whole machine."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from itertools import pairwise
from typing import Final, TypeAlias

from balewright.plan.machine import ChamberKind, FullSign, Machine, Span
from balewright.plan.profile.keys import LINES_OF_THE_JOB

Trouble: TypeAlias = tuple[str, str, str, str]
"""Dotted key, what is needed, what was given, the cure."""


def ranges(machine: Machine) -> dict[str, Span | None]:
    """Every setting this machine has, with the range in which it can be set (None: a choice)."""
    found: dict[str, Span | None] = {"binding": None, "binding_turns": None}
    found |= {"binding_delay_s": None, "tip_side": None}
    chamber, tip = machine.chamber, machine.tip
    if chamber.full_sign is FullSign.GATE_OPENING:
        found["gate_opening_mm"] = chamber.full_at
    if chamber.full_sign is FullSign.PRESSURE:
        found["chamber_bar"] = chamber.full_at
    if chamber.kind is ChamberKind.VARIABLE:
        found["diameter_m"] = chamber.diameter_m
    if chamber.density_bar is not None:
        found["chamber_bar"] = chamber.density_bar
    if any(binding.tension_frac is not None for binding in machine.bindings):
        found["binding_tension_frac"] = Span(0.0, 1.0)
    if machine.wrapper is not None:
        stretch = machine.wrapper.pre_stretch_frac
        found |= {"rolls_on": Span(1, machine.wrapper.dispensers), "break_monitor": None}
        found["film_width_m"] = machine.wrapper.film_width_m
        found["pre_stretch_frac"] = Span(stretch[0], stretch[-1])
        found["wrap_rpm"] = machine.wrapper.rpm
    if machine.knives is not None:
        found["knives_in"] = Span(0, sum(machine.knives.banks))
        if machine.knives.pressure_bar:
            steps = machine.knives.pressure_bar
            found["knife_bar"] = Span(steps[0], steps[-1])
    found |= {"tip_speed_frac": tip.speed_frac, "tip_delay_s": tip.delay_s, "open_s": tip.open_s}
    optional = {
        "roll_before_s": tip.roll_before_s,
        "roll_after_s": tip.roll_after_s,
        "oil_ml_bale": machine.oil_ml_bale,
    }
    return found | {line: span for line, span in optional.items() if span is not None}


def _check_chamber(machine: Machine) -> Iterator[Trouble]:
    chamber = machine.chamber
    diameter = chamber.diameter_m
    if chamber.kind is ChamberKind.FIXED and diameter.low != diameter.high:
        given = f"[{diameter.low:g}, {diameter.high:g}]"
        need = "twice the same diameter in a fixed chamber"
        yield "chamber.diameter_m", need, given, "Write the one diameter twice."
    if chamber.kind is ChamberKind.VARIABLE and diameter.low == diameter.high:
        need = "a range of diameters in a variable chamber"
        given = f"[{diameter.low:g}, {diameter.high:g}]"
        yield "chamber.diameter_m", need, given, "Write the smallest and the largest bale."
    outside = chamber.full_at.low < diameter.low or chamber.full_at.high > diameter.high
    if chamber.full_sign is FullSign.DIAMETER and outside:
        given = f"[{chamber.full_at.low:g}, {chamber.full_at.high:g}]"
        need = f"diameters inside diameter_m, {diameter.low:g} to {diameter.high:g}"
        yield "chamber.full_at_m", need, given, "Keep it inside what the chamber can make."
    if chamber.full_sign is FullSign.PRESSURE and chamber.density_bar is not None:
        need = "no density_bar where pressure is the sign of a full chamber"
        given = f"[{chamber.density_bar.low:g}, {chamber.density_bar.high:g}]"
        yield "chamber.density_bar", need, given, "Take it out: full_at_bar sets the density."


def _check_bindings(machine: Machine) -> Iterator[Trouble]:
    seen = set()
    for number, binding in enumerate(machine.bindings, start=1):
        if binding.kind in seen:
            place = f"binding[{number}].kind"
            yield place, "each kind of binding once", repr(binding.kind.value), "Merge the two."
        seen.add(binding.kind)


def _check_knives(machine: Machine) -> Iterator[Trouble]:
    knives = machine.knives
    if knives is None or not (knives.up_to_knives or knives.most_bar):
        return
    counts, bars = knives.up_to_knives, knives.most_bar
    if len(counts) != len(bars):
        given = f"{len(counts)} numbers of knives, {len(bars)} pressures"
        need = "one most_bar for each of up_to_knives"
        yield "knives.most_bar", need, given, "Give both lists the same length."
        return
    if any(a >= b for a, b in pairwise(counts)) or counts[-1] < sum(knives.banks):
        need = f"rising numbers, the last one all {sum(knives.banks)} knives or more"
        yield "knives.up_to_knives", need, f"{list(counts)}", "List the fewest knives first."
    steps = knives.pressure_bar
    if not steps or bars[0] < steps[0] or bars[-1] > steps[-1]:
        need = "pressures between the lowest and the highest step of pressure_bar"
        given = ", ".join(f"{bar:g}" for bar in bars)
        yield "knives.most_bar", need, given, "Correct them, or leave both keys out."


def _check_service(machine: Machine) -> Iterator[Trouble]:
    seen = set()
    for number, item in enumerate(machine.service, start=1):
        place = f"service[{number}]"
        if (item.every_bales is None) == (item.every_hours is None):
            given = "neither" if item.every_bales is None else "both"
            cure = "Keep the one that falls due first."
            yield place, "exactly one of every_bales and every_hours", given, cure
        if item.key in seen:
            yield f"{place}.key", "each item once", repr(item.key), "Give it a name of its own."
        seen.add(item.key)


def _check_dials(machine: Machine) -> Iterator[Trouble]:
    settings = ranges(machine)
    for dial in machine.dials:
        place = f"dials.{dial.setting}"
        if dial.setting not in settings:
            need = "a setting this machine has"
            yield place, need, repr(dial.setting), "Take it out, or describe the part it sets."
            continue
        span = settings[dial.setting]
        outside = [v for v in dial.values if span and not span.low <= v <= span.high]
        if span is not None and outside:
            need = f"values inside the setting's range, {span.low:g} to {span.high:g}"
            given = ", ".join(f"{value:g}" for value in outside)
            yield f"{place}.values", need, given, "Widen the range, or correct the values."


def _check_own_words(machine: Machine) -> Iterator[Trouble]:
    settings = ranges(machine)
    for setting, word in machine.own_words:
        if setting not in settings and setting not in LINES_OF_THE_JOB:
            place = f"own_words.{setting}"
            yield place, "a setting this machine has", repr(word), "Take it out."


_ALL: Final = ("chamber", "binding", "wrapper", "knives", "tip", "oil_ml_bale", "dials")
_CHECKS: Final[tuple[tuple[tuple[str, ...], Callable[[Machine], Iterator[Trouble]]], ...]] = (
    (("chamber",), _check_chamber),
    (("binding",), _check_bindings),
    (("knives",), _check_knives),
    (("service",), _check_service),
    (_ALL, _check_dials),
    (_ALL, _check_own_words),
)


def check_whole(machine: Machine, faulty: Collection[str]) -> Iterator[Trouble]:
    """Every contradiction between the values of one machine.

    faulty: sections that already have faults; a check that rests on one of them is left out, so
    that no fault is reported twice under two names.
    """
    for sections, check in _CHECKS:
        if not any(section in faulty for section in sections):
            yield from check(machine)
