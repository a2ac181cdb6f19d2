"""What one machine is asked to tell ahead of the work, and the job that follows from it."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.findings.planned import PlannedBale
from balewright.plan.film.events import Happening
from balewright.plan.film.layers import Bale, LayerCount
from balewright.plan.film.recorded_spread import RecordedSpread
from balewright.plan.keeping.climate import COOL_MOIST, Climate
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.reason import Reason


@dataclass(frozen=True)
class Field:
    """The field and the stops, None where nobody said.

    gathered_m: width raked into a row, 0.5..40; run_m: length of a row, 10..10,000; turn_s: one
    turn at its end, 0..600; change_s: to change rolls, 0..3600.
    """

    gathered_m: float | None = None
    run_m: float | None = None
    turn_s: float | None = None
    change_s: float | None = None


@dataclass(frozen=True)
class Store:
    """Where bales lie: climate (an invented kind of place), the month they are wrapped in (1 is
    January), hours they lay unwrapped before, None where nobody said.
    """

    climate: Climate = COOL_MOIST
    start_month: int = 6
    waited_h: float | None = None


@dataclass(frozen=True)
class Money:
    """Prices in the user's own currency; None where nobody gave one, never a guess.

    film_money, binding_money: a roll; fuel_money_l; wage_money_h; dm_money_t: what a tonne of dry
    matter is worth; machine_money, tractor_money: paid for them; tractor_kw: at its PTO;
    tractor_h: all its work in a year; years: both are kept; interest_frac, tih_frac: a year (tih:
    tax, insurance, housing); bales_year: with this machine.
    """

    film_money: float | None = None
    binding_money: float | None = None
    fuel_money_l: float | None = None
    wage_money_h: float | None = None
    dm_money_t: float | None = None
    machine_money: float | None = None
    tractor_money: float | None = None
    tractor_kw: float | None = None
    tractor_h: float | None = None
    years: float | None = None
    interest_frac: float | None = None
    tih_frac: float | None = None
    bales_year: float | None = None


@dataclass(frozen=True)
class Asked:
    """One question to a machine.

    conditions: the job; diameter_m, wrap_turns: where the person wants to see others than the
    sheet would set, None for the sheet's own; recorded: how diameters of the machine's last bales
    differed, None where too few were measured.
    """

    conditions: Conditions
    diameter_m: float | None = None
    wrap_turns: float | None = None
    field: Field = Field()
    store: Store = Store()
    money: Money = Money()
    recorded: RecordedSpread | None = None
    events: tuple[Happening, ...] = ()


@dataclass(frozen=True)
class Outlook:
    """A machine, the sheet for what was asked, and the bale and turns that are looked at.

    wrap_turns: of every dispenser; need_layers: wanted; strip_m: width of the film on the bale;
    all three None where no film is laid.
    """

    asked: Asked
    machine: Machine
    sheet: Sheet
    bale: Bale
    wrap_turns: float | None
    need_layers: int | None
    strip_m: float | None

    @property
    def planned(self) -> PlannedBale:
        """The sheet as numbers."""
        return PlannedBale("", self.sheet, self.machine)

    def count(self, diameter_m: float | None = None, strip_m: float | None = None) -> LayerCount:
        """Layers at another diameter or strip; only where film is laid."""
        if self.wrap_turns is None or self.strip_m is None or self.machine.wrapper is None:
            raise ValueError("layers are counted only where film is laid")
        turns = (self.wrap_turns,) * self.machine.wrapper.dispensers
        return self.planned.count(
            diameter_m or self.bale.diameter_m, strip_m or self.strip_m, turns
        )


@dataclass(frozen=True)
class Told:
    """What stands under a picture.

    answer: the answer in one sentence; sureness: how sure it is and what moves it; sources: keys
    of the bibliography; unknown: what could not be told and why; cautions: what has to be read
    first, where somebody could get hurt.
    """

    answer: Reason
    sureness: tuple[Reason, ...] = ()
    sources: tuple[str, ...] = ()
    unknown: tuple[Reason, ...] = ()
    cautions: tuple[Reason, ...] = ()
