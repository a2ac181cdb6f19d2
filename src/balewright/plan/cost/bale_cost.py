"""The cost of a bale, part by part, and the same money a tonne, a hectare, an hour and a year."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final

from balewright.plan.cost.outlay import Made, Outlay
from balewright.plan.cost.running import LUBRICANT_FRAC
from balewright.quantities.checks import require_between
from balewright.quantities.si import KG_PER_T

MACHINE_LIFE_H: Final = 1500.0
"""Hours a round baler is reckoned to last; repairs beyond are guessed. `d497-values-memory`."""
FIXED: Final = ("machine_money", "tractor_money")
"""Parts that the year costs whether bales are made or not; all others come with the bales."""


@dataclass(frozen=True)
class Parts:
    """What one bale costs: owning the machine and the tractor; repairs of both; fuel;
    lubricants; labour; film; binding; additive. They sum to the whole.
    """

    machine_money: float
    tractor_money: float
    repair_money: float
    fuel_money: float
    lubricant_money: float
    labour_money: float
    film_money: float
    binding_money: float
    additive_money: float

    def items(self) -> tuple[tuple[str, float], ...]:
        """(name, money a bale) in the order of the fields."""
        return tuple((field.name, getattr(self, field.name)) for field in fields(self))


@dataclass(frozen=True)
class BaleCost:
    """One bale, and what it is a share of.

    parts: a bale; dm_kg: in it; bales_h, bales_ha, bales_year: how many; machine_h: hours of the
    machine in a year; life_h: over all the years it is kept.
    """

    parts: Parts
    dm_kg: float
    bales_h: float
    bales_ha: float
    bales_year: float
    machine_h: float
    life_h: float

    @property
    def bale_money(self) -> float:
        """All parts of one bale."""
        return sum(money for _, money in self.parts.items())

    @property
    def fixed_money(self) -> float:
        """The share of a bale in what the year costs anyway."""
        return self.parts.machine_money + self.parts.tractor_money

    @property
    def variable_money(self) -> float:
        """What one bale more would cost."""
        return self.bale_money - self.fixed_money

    @property
    def money_t_dm(self) -> float:
        """A tonne of dry matter."""
        return self.bale_money * KG_PER_T / self.dm_kg

    @property
    def money_ha(self) -> float:
        """A hectare and cut."""
        return self.bale_money * self.bales_ha

    @property
    def money_h(self) -> float:
        """An hour in the field."""
        return self.bale_money * self.bales_h

    @property
    def area_ha_h(self) -> float:
        """Hectares an hour, all stops in it."""
        return self.bales_h / self.bales_ha

    @property
    def money_year(self) -> float:
        """The season."""
        return self.bale_money * self.bales_year

    @property
    def beyond_life(self) -> bool:
        """Whether the machine is kept for more hours than it is reckoned to last."""
        return self.life_h > MACHINE_LIFE_H


def cost_of(made: Made, outlay: Outlay) -> BaleCost:
    """What a bale costs, in the currency of `outlay`.

    made: the bale as the settings make it (dry matter kg, pace bales/h, metres off the rolls,
    fuel l/h); outlay: machines, prices and season. The season is a mass of dry matter, so denser
    bales are fewer bales: compare settings by `money_t_dm`, not by the bale alone.

    Owning the machine is spread over the season's bales, owning the tractor over its own hours
    of the year. Raises BadInput where the season takes more than 8760 hours. About 15 us a call.
    Valid for one machine and tractor used as stated; land, crop, mowing and hauling are not in it.
    Source keys: `iowa-a3-29`, `iasri-14`.
    """
    season, prices = outlay.season, outlay.prices
    bales_year = season.dm_t_year * KG_PER_T / made.dm_kg
    machine_h = bales_year / made.bales_h
    require_between("machine_h", machine_h, 0.0, 8760.0)
    machine_year_h = outlay.machine.hours_year or machine_h
    tractor_year_h = outlay.tractor.hours_year or machine_h
    bale_h = 1.0 / made.bales_h
    fuel_money = made.fuel_l_h * bale_h * prices.fuel_money_l
    hour_money = outlay.machine.repair_hour_money(machine_year_h)
    hour_money += outlay.tractor.repair_hour_money(tractor_year_h)
    paid_h = bale_h * outlay.people * outlay.labour_factor_share
    parts = Parts(
        machine_money=outlay.machine.year(machine_year_h).year_money / machine_year_h * bale_h,
        tractor_money=outlay.tractor.year(tractor_year_h).year_money / tractor_year_h * bale_h,
        repair_money=hour_money * bale_h,
        fuel_money=fuel_money,
        lubricant_money=LUBRICANT_FRAC * fuel_money,
        labour_money=paid_h * prices.wage_money_h,
        film_money=made.film_m * prices.film_roll_money / prices.film_roll_m,
        binding_money=made.binding_m * prices.binding_roll_money / prices.binding_roll_m,
        additive_money=made.additive_l * prices.additive_money_l,
    )
    return BaleCost(
        parts=parts,
        dm_kg=made.dm_kg,
        bales_h=made.bales_h,
        bales_ha=season.dm_t_ha * KG_PER_T / made.dm_kg,
        bales_year=bales_year,
        machine_h=machine_h,
        life_h=machine_year_h * outlay.machine.years,
    )
