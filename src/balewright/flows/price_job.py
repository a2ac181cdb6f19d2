"""From a machine's sheet and the prices given to what a bale's cost is reckoned from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from balewright.flows.outlook import Outlook
from balewright.flows.pace_settings import pace_settings
from balewright.plan.cost.job import Draw, Job, made_of
from balewright.plan.cost.outlay import Made, Outlay, Owned, Season, UnitPrices
from balewright.plan.cost.ownership import Resale
from balewright.plan.cost.running import WearOf
from balewright.plan.machine import ChamberKind
from balewright.plan.power.need import Chamber
from balewright.quantities.si import KG_PER_T, M2_PER_HA

_MACHINE_KG: Final = {True: 6000.0, False: 4000.0}
"""A machine with and without a wrapper, its bales in it: assumed."""
_UNKNOWN_KW: Final = 100.0
"""Stands in where diesel is not asked for and its litres are thrown away."""
_RESALE: Final = ((60.0, Resale.TRACTOR_SMALL), (112.0, Resale.TRACTOR_MIDDLE))
_NOT_OF_COST: Final = "dm_money_t"


@dataclass(frozen=True)
class PricedJob:
    """job, made: the work and the bale; prices: those given, 0 where nobody gave one; missing:
    names of what nobody gave; outlay: None where anything is missing.
    """

    job: Job
    made: Made
    prices: UnitPrices
    missing: tuple[str, ...]
    outlay: Outlay | None


def price_job(outlook: Outlook) -> PricedJob:
    """The work of a machine with what it costs, where every price is known.

    A price that nobody gave is named, never assumed. Raises BadInput out of range.
    """
    job = _job(outlook)
    made, missing = made_of(job), tuple(_missing(outlook))
    outlay = None if missing else _outlay(outlook, made)
    return PricedJob(job, made, _prices(outlook), missing, outlay)


def _job(outlook: Outlook) -> Job:
    fixed = outlook.machine.chamber.kind is ChamberKind.FIXED
    draw = Draw(
        chamber=Chamber.FIXED if fixed else Chamber.VARIABLE,
        knives_in=round(outlook.sheet.number("knives_in") or 0),
        machine_kg=_MACHINE_KG[outlook.machine.wrapper is not None],
        rated_pto_kw=outlook.asked.money.tractor_kw or _UNKNOWN_KW,
    )
    return Job(pace_settings(outlook), draw)


def _missing(outlook: Outlook) -> Iterator[str]:
    """Names of what nobody gave and money cannot be told without."""
    for name, value in vars(outlook.asked.money).items():
        unused = name == "film_money" and outlook.wrap_turns is None
        if value is None and not unused and name != _NOT_OF_COST:
            yield name
    if outlook.asked.field.gathered_m is None:
        yield "gathered_m"


def _outlay(outlook: Outlook, made: Made) -> Outlay:
    money, given = outlook.asked.money, outlook.asked.conditions
    machine, tractor = money.machine_money or 0.0, money.tractor_money or 0.0
    kw = money.tractor_kw or 0.0
    resale = next((kind for most_kw, kind in _RESALE if kw < most_kw), Resale.TRACTOR_LARGE)
    dry = 1.0 - given.moisture_frac
    yield_t_ha = given.windrow_kg_m * dry / (outlook.asked.field.gathered_m or 1.0)
    return Outlay(
        machine=_owned(outlook, machine),
        tractor=replace(
            _owned(outlook, tractor),
            resale=resale,
            wear=WearOf.TRACTOR_FOUR_WHEEL.value,
            hours_year=money.tractor_h,
        ),
        prices=_prices(outlook),
        season=Season(
            (money.bales_year or 0.0) * made.dm_kg / KG_PER_T, yield_t_ha * M2_PER_HA / KG_PER_T
        ),
    )


def _owned(outlook: Outlook, paid_money: float) -> Owned:
    """Bought new at today's list price; years, interest and shelter are the same for both."""
    money = outlook.asked.money
    return Owned(
        price_money=paid_money,
        list_price_money=paid_money,
        years=money.years or 0.0,
        interest_frac=money.interest_frac or 0.0,
        tih_frac=money.tih_frac or 0.0,
    )


def _prices(outlook: Outlook) -> UnitPrices:
    money, given = outlook.asked.money, outlook.asked.conditions
    return UnitPrices(
        film_roll_money=money.film_money or 0.0,
        film_roll_m=given.film.roll_m if given.film is not None else 1.0,
        binding_roll_money=money.binding_money or 0.0,
        binding_roll_m=given.net_roll_m or 1.0,
        fuel_money_l=money.fuel_money_l or 0.0,
        wage_money_h=money.wage_money_h or 0.0,
    )
