"""What the cost of a bale is worked out from: machines owned, prices, the season.

Every amount of money is in the user's own currency, and no price has a default: a price is a
fact of a place and a year, and only the user knows it.
"""

from __future__ import annotations

from dataclasses import dataclass

from balewright.plan.cost.ownership import (
    MOST_MONEY,
    Ownership,
    Resale,
    capital_recovery_money,
    share_of_mean_money,
)
from balewright.plan.cost.running import LABOUR_FACTOR, Wear, WearOf
from balewright.quantities.checks import require_between, require_count


@dataclass(frozen=True)
class Owned:
    """One machine and how long it is kept.

    price_money: paid for it; list_price_money: of a new one today (repairs and resale are shares
    of it); years: it is kept, 0.5..60; interest_frac: a year, without inflation; tih_frac: tax,
    insurance and housing a year as a share of the mean value; resale, wear: the class it belongs
    to; resale_money: what it will fetch, None: by its class; hours_year: all its work in a year,
    None: only this season's.
    """

    price_money: float
    list_price_money: float
    years: float
    interest_frac: float
    tih_frac: float
    resale: Resale = Resale.BALER
    wear: Wear = WearOf.ROUND_BALER.value
    resale_money: float | None = None
    hours_year: float | None = None

    def __post_init__(self) -> None:
        require_between("price_money", self.price_money, 0.0, MOST_MONEY)
        require_between("list_price_money", self.list_price_money, 0.0, MOST_MONEY)
        require_between("years", self.years, 0.5, 60.0)
        require_between("interest_frac", self.interest_frac, 0.0, 1.0)
        require_between("tih_frac", self.tih_frac, 0.0, 1.0)
        if self.resale_money is not None:
            require_between("resale_money", self.resale_money, 0.0, self.price_money)
        if self.hours_year is not None:
            require_between("hours_year", self.hours_year, 1.0, 8760.0)

    def fetches_money(self, hours_year: float) -> float:
        """What it fetches in the end, never more than was paid; hours_year: 0..8760."""
        if self.resale_money is not None:
            return self.resale_money
        left_frac = self.resale.left_frac(self.years, hours_year)
        return min(self.price_money, left_frac * self.list_price_money)

    def year(self, hours_year: float) -> Ownership:
        """Owning it for a year at `hours_year` (0..8760)."""
        fetches_money = self.fetches_money(hours_year)
        return Ownership(
            capital_recovery_money(self.price_money, fetches_money, self.interest_frac, self.years),
            share_of_mean_money(self.price_money, fetches_money, self.tih_frac),
        )

    def repair_hour_money(self, hours_year: float) -> float:
        """Repairs an hour, averaged over the years it is kept."""
        return self.wear.hour_money(self.list_price_money, hours_year * self.years)


@dataclass(frozen=True)
class UnitPrices:
    """What is bought: money for a roll and metres on it, for a litre, for an hour of wages.

    A roll of no price (money 0) leaves that part out; metres are above 0.
    """

    film_roll_money: float
    film_roll_m: float
    binding_roll_money: float
    binding_roll_m: float
    fuel_money_l: float
    wage_money_h: float
    additive_money_l: float = 0.0

    def __post_init__(self) -> None:
        for name in (
            *("film_roll_money", "binding_roll_money", "fuel_money_l", "wage_money_h"),
            "additive_money_l",
        ):
            require_between(name, getattr(self, name), 0.0, MOST_MONEY)
        require_between("film_roll_m", self.film_roll_m, 1.0, 20_000.0)
        require_between("binding_roll_m", self.binding_roll_m, 1.0, 20_000.0)


@dataclass(frozen=True)
class Season:
    """dm_t_year: dry matter baled with this machine in a year; dm_t_ha: off a hectare and cut."""

    dm_t_year: float
    dm_t_ha: float

    def __post_init__(self) -> None:
        require_between("dm_t_year", self.dm_t_year, 0.1, 1e6)
        require_between("dm_t_ha", self.dm_t_ha, 0.05, 50.0)


@dataclass(frozen=True)
class Outlay:
    """All that does not change with a setting.

    machine: the baler or baler-wrapper; tractor: before it; people: 0..20 paid in the field;
    labour_factor_share: hours paid for an hour of field work, 1..3.
    """

    machine: Owned
    tractor: Owned
    prices: UnitPrices
    season: Season
    people: int = 1
    labour_factor_share: float = LABOUR_FACTOR.best

    def __post_init__(self) -> None:
        require_count("people", self.people, 0, 20)
        require_between("labour_factor_share", self.labour_factor_share, 1.0, 3.0)


@dataclass(frozen=True)
class Made:
    """One bale as it is made: what the settings come to.

    dm_kg: dry matter in it, 5..2000; bales_h: pace in the field, stops included, 0.5..300;
    film_m, binding_m: off the rolls, 0 where there is none; fuel_l_h: diesel in the field;
    additive_l: into the bale.
    """

    dm_kg: float
    bales_h: float
    film_m: float
    binding_m: float
    fuel_l_h: float
    additive_l: float = 0.0

    def __post_init__(self) -> None:
        require_between("dm_kg", self.dm_kg, 5.0, 2000.0)
        require_between("bales_h", self.bales_h, 0.5, 300.0)
        require_between("film_m", self.film_m, 0.0, 100_000.0)
        require_between("binding_m", self.binding_m, 0.0, 10_000.0)
        require_between("fuel_l_h", self.fuel_l_h, 0.0, 500.0)
        require_between("additive_l", self.additive_l, 0.0, 500.0)
