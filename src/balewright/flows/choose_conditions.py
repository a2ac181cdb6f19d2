"""The conditions a machine works in, as far as anybody said: its sheet in force, or an example."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from balewright.cards.sheet_json import sheet_from_json
from balewright.flows.recorded_diameters import COLUMNS, diameters_of_sheet
from balewright.flows.workplace import Workplace
from balewright.plan.crop import Crop
from balewright.plan.film.recorded_spread import RecordedSpread
from balewright.plan.film.strip import Film
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.errors import BadInput, Fault

_EXAMPLE_FILM_M: Final = 0.75
_EXAMPLE_STRETCH_FRAC: Final = 0.70


class Origin(StrEnum):
    """Whose conditions they are."""

    IN_FORCE = "in force"
    KEPT = "kept"
    EXAMPLE = "example"


@dataclass(frozen=True)
class Chosen:
    """conditions; origin: whose they are; sheet_id: of the kept sheet, None without;
    recorded: how diameters of its bales differed, None where too few were measured.
    """

    machine: Machine
    conditions: Conditions
    origin: Origin
    sheet_id: str | None = None
    sheet: Sheet | None = None
    recorded: RecordedSpread | None = None


def choose_conditions(workplace: Workplace, serial: str) -> Chosen:
    """Those of the sheet that the machine's newest bale with one was made by; else those of the
    newest kept sheet for it; else an example, which is no fact about this machine.

    Raises BadInput for a serial, or a profile, that is not known here.
    """
    entry = workplace.register.load_machine(serial)
    if entry is None:
        cure = "Add the machine, or check the serial."
        raise BadInput(Fault("machine", "a serial of the register", repr(serial), cure))
    machine = workplace.profiles.get(entry.profile_key)
    if machine is None:
        cure = "Add that profile, or give the machine another one."
        raise BadInput(Fault(serial, "a known profile", repr(entry.profile_key), cure))
    bales = workplace.journal.read_bales(serial, COLUMNS)
    named = bales.column("sheet")[bales.mask("sheet")]
    for key in dict.fromkeys(reversed(named.tolist())):
        kept = workplace.register.load_sheet(str(key))
        if kept is not None and kept.profile_key == machine.key:
            chosen = _of(machine, sheet_from_json(kept.json), Origin.IN_FORCE, kept.id)
            return replace(chosen, recorded=diameters_of_sheet(bales, str(key)))
    for kept in workplace.register.load_sheets(serial):
        if kept.profile_key == machine.key:
            return _of(machine, sheet_from_json(kept.json), Origin.KEPT, kept.id)
    return Chosen(machine, _example(machine), Origin.EXAMPLE)


def _of(machine: Machine, sheet: Sheet, origin: Origin, sheet_id: str) -> Chosen:
    return Chosen(machine, sheet.conditions, origin, sheet_id, sheet)


def _example(machine: Machine) -> Conditions:
    """A plain day's work for a machine that nobody set up yet: wilted grass where it can wrap,
    hay where it cannot (common practice, no source).
    """
    wraps = machine.wrapper is not None
    film = None
    if machine.wrapper is not None:
        width_m = machine.wrapper.film_width_m.clamp(_EXAMPLE_FILM_M)
        film = Film(width_m, 25e-6, 1500.0, _EXAMPLE_STRETCH_FRAC)
    return Conditions(
        crop=Crop.GRASS_SILAGE if wraps else Crop.HAY,
        moisture_frac=0.55 if wraps else 0.14,
        windrow_kg_m=4.0 if wraps else 2.5,
        speed_m_s=2.5,
        slope_frac=0.03,
        dusty=False,
        stony=False,
        film=film,
        net_roll_m=3000.0,
        storage_months=10.0,
        bales=200,
    )
