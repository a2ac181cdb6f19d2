"""Every measure that a machine of a profile can show, and what explains them honestly."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from balewright.findings.measures.chamber import CHAMBER
from balewright.findings.measures.drive import DRIVE
from balewright.findings.measures.explains import EXPLAINS
from balewright.findings.measures.film import BINDING, FILM
from balewright.findings.measures.measure import Family, Measure
from balewright.findings.measures.rates import RATES
from balewright.findings.measures.times import TIMES
from balewright.plan.machine import Machine
from balewright.records.bales import BaleTable
from balewright.records.columns import BY_NAME, Kind

MEASURES: Final = (*TIMES, *CHAMBER, *DRIVE, *BINDING, *FILM, *RATES)
"""The whole book; keys are unique."""
_OF_WRAPPER: Final = (
    "film1", "film2", "film_", "wrap_", "said_", "on_wrapper", "tipped", "rolls_on", "mode",
)  # fmt: skip
"""Beginnings of columns that only a machine with a wrapper fills."""


@lru_cache(maxsize=256)
def measures_of(machine: Machine) -> tuple[Measure, ...]:
    """The measures that fit what the machine is: no wrapper, no film; one dispenser, no pair.

    What it is decides, not the list of sensors in its profile: records may know more (a scale
    added later, the tractor's own values), and a measure without values costs nothing. Skip those
    whose columns the records do not have.
    """
    return tuple(measure for measure in MEASURES if _fits(measure, machine))


def is_recorded(measure: Measure, bales: BaleTable) -> bool:
    """Whether these bales hold what the measure cannot do without.

    Codes are told only where there were some: bales without any say that there were none, so the
    same bales give the same counts in one piece or in many.
    """
    return all(name in _TOLD_IF_ANY or bales.has(name) for name in measure.columns)


_TOLD_IF_ANY: Final = ("codes",)


def _fits(measure: Measure, machine: Machine) -> bool:
    wrapper = machine.wrapper
    if wrapper is None and any(name.startswith(_OF_WRAPPER) for name in measure.columns):
        return False
    if wrapper is not None and wrapper.dispensers == 1 and any(
        name.startswith("film2") for name in measure.columns
    ):  # fmt: skip
        return False
    return machine.knives is not None or measure.key != "knife_bar"


def sensors_of(machine: Machine) -> tuple[str, ...]:
    """Columns of sensors whose freezing or restlessness is worth watching, in table order.

    Continuous readings that a measure of this machine rests on; counts, times and what the
    machine only says of itself repeat honestly.
    """
    rests_on = {
        name
        for measure in measures_of(machine)
        if measure.family is Family.LEVEL
        for name in measure.columns
    }
    explaining = {"pitch_frac", "roll_frac", "air_c"}
    return tuple(
        name
        for name, column in BY_NAME.items()
        if column.kind is Kind.FLOAT
        and name in rests_on | explaining
        and name not in _SET
        and not name.startswith("said_")
    )


_SET: Final = ("wrap_turns", "binding_turns", "wrap_bale_turns")
"""Turns are made to a setting: equal ones are work done right."""

__all__ = ["EXPLAINS", "MEASURES", "is_recorded", "measures_of", "sensors_of"]
