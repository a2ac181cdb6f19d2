"""What a machine's profile says that decides which causes it can have."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from balewright.plan.machine import Machine

FACTS: Final = (
    *("net", "film binding", "twine"),
    *("wrapper", "ring", "arms", "table", "two dispensers", "one dispenser", "break monitor"),
    *("metres counted", "metres before stretch", "metres after stretch"),
    *("fixed chamber", "variable chamber", "gate opening", "density pressure"),
    *("knives", "knife pressure", "chain oiler", "grease cartridge", "additive"),
    *("tips on end", "rolls before", "lifetime count", "count restarts"),
)
"""Every fact there is but `senses <column>`."""


def machine_facts(machine: Machine, columns: Collection[str] = ()) -> frozenset[str]:
    """The facts that hold for a machine of that profile.

    columns: names of the bale table that its records fill, beside those the profile names. Each
    of both gives a fact `senses <column>`.
    """
    sensed = {*columns, *(sensor.column for sensor in machine.sensors)}
    found = {f"senses {column}" for column in sensed}
    found |= {_BINDINGS[one.kind.value] for one in machine.bindings}
    found |= _wrapper(machine) | _chamber(machine) | _counter(machine)
    if machine.knives is not None:
        found.add("knives")
        if machine.knives.pressure_bar:
            found.add("knife pressure")
    if machine.oil_ml_bale is not None:
        found.add("chain oiler")
    if machine.grease_cartridge_bales is not None:
        found.add("grease cartridge")
    if "additive_l" in sensed:
        found.add("additive")
    return frozenset(found)


_BINDINGS: Final = {"net": "net", "film": "film binding", "twine": "twine"}


def _wrapper(machine: Machine) -> set[str]:
    wrapper = machine.wrapper
    if wrapper is None:
        return set()
    found = {"wrapper", wrapper.kind.value}
    found.add("two dispensers" if wrapper.dispensers > 1 else "one dispenser")
    if wrapper.break_monitor:
        found.add("break monitor")
    if wrapper.metres_counted is not None:
        found |= {"metres counted", f"metres {wrapper.metres_counted.value}"}
    return found


def _chamber(machine: Machine) -> set[str]:
    found = {f"{machine.chamber.kind.value} chamber"}
    if machine.chamber.full_sign.value == "gate opening":
        found.add("gate opening")
    if machine.chamber.density_bar is not None or machine.senses("chamber_bar"):
        found.add("density pressure")
    if machine.tip is not None:
        if any(side.value == "end" for side in machine.tip.sides):
            found.add("tips on end")
        if machine.tip.roll_before_s is not None:
            found.add("rolls before")
    return found


def _counter(machine: Machine) -> set[str]:
    found = set()
    if machine.counter.lifetime:
        found.add("lifetime count")
    if machine.counter.resets_with_control:
        found.add("count restarts")
    return found
