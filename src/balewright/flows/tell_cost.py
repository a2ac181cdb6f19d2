"""What a bale would cost: in money where every price is given, else in metres, minutes, litres."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from balewright.flows.outlook import Outlook, Told
from balewright.flows.price_job import PricedJob, price_job
from balewright.plan.cost.answer import CostAnswer, answer_cost
from balewright.plan.cost.bale_cost import cost_of
from balewright.plan.cost.job import made_of
from balewright.plan.cost.outlay import Made
from balewright.plan.cost.running import LABOUR_FACTOR
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import KG_PER_T, S_PER_H


@dataclass(frozen=True)
class CostTold:
    """needs: metres, seconds, litres a bale, None where unknown; answer: in money, None where a
    price is missing.
    """

    made: Made
    work_s: float
    fuel_l: float | None
    answer: CostAnswer | None
    told: Told


def tell_cost(outlook: Outlook) -> CostTold:
    """The parts of a bale's cost and what one step of a setting changes, at the prices given.

    A price that nobody gave is asked for, never assumed. Raises BadInput where a price or a
    setting is out of its range.
    """
    priced = price_job(outlook)
    made, work_s = priced.made, S_PER_H / priced.made.bales_h
    unknown = outlook.asked.money.tractor_kw is None
    fuel_l = None if unknown else made.fuel_l_h / made.bales_h
    if priced.outlay is None:
        return CostTold(made, work_s, fuel_l, None, _without(outlook, priced, fuel_l))
    answer = answer_cost(priced.job, priced.outlay)
    return CostTold(made, work_s, fuel_l, answer, _with(outlook, priced, answer))


def _with(outlook: Outlook, priced: PricedJob, answer: CostAnswer) -> Told:
    cost = answer.cost
    said = because(
        "outlook.cost.money",
        bale_money=_amount(cost.bale_money),
        t_money=_amount(cost.money_t_dm),
        ha_money=_amount(cost.money_ha),
    )
    sources = ("iowa-a3-29", "d497-values-memory", "grisso-fuel", "given", "assumed")
    sureness = [_mass(outlook, priced)]
    if cost.beyond_life:
        sureness.append(because("outlook.cost.beyond"))
    unknown = (_weight(priced), because("outlook.cost.new"))
    return Told(said, tuple(sureness), sources, unknown)


def _mass(outlook: Outlook, priced: PricedJob) -> Reason:
    """What a lighter and a heavier bale cost a tonne: nobody knows how dense it will be."""
    job, outlay = priced.job, priced.outlay
    assert outlay is not None
    mass, best = outlook.sheet.expected.mass_kg, job.settings.bale.dry_matter_kg_m3
    tonnes = []
    for kg in (mass.high, mass.low):
        bale = replace(job.settings.bale, dry_matter_kg_m3=best * kg / mass.best)
        other = replace(job, settings=replace(job.settings, bale=bale))
        tonnes.append(cost_of(made_of(other), outlay).money_t_dm)
    low, high = sorted(tonnes)
    return because(
        "outlook.cost.mass",
        low_kg=round(mass.low, -1),
        high_kg=round(mass.high, -1),
        low_money=_amount(low),
        high_money=_amount(high),
    )


def _without(outlook: Outlook, priced: PricedJob, fuel_l: float | None) -> Told:
    made = priced.made
    values = {"work_min": 60.0 / made.bales_h, "binding_m": made.binding_m}
    if made.film_m > 0.0:
        said = because("outlook.cost.parts", film_m=made.film_m, **values)
    else:
        said = because("outlook.cost.parts.dry", **values)
    unknown = [_asked(len(priced.missing))]
    known = tuple(_known(outlook, priced, fuel_l))
    if fuel_l is None:
        unknown.append(because("outlook.cost.no_fuel"))
    else:
        unknown.append(_weight(priced))
    return Told(said, known, ("geometry", "grisso-2020", "grisso-fuel", "assumed"), tuple(unknown))


def _asked(count: int) -> Reason:
    return because("outlook.cost.asked.one" if count == 1 else "outlook.cost.asked", count=count)


def _known(outlook: Outlook, priced: PricedJob, fuel_l: float | None) -> Iterator[Reason]:
    """What the prices that were given come to, part by part."""
    money, made, prices = outlook.asked.money, priced.made, priced.prices
    wage = (money.wage_money_h or 0.0) * LABOUR_FACTOR.best
    for name, given, part in (
        ("film", money.film_money, made.film_m / prices.film_roll_m * prices.film_roll_money),
        ("binding", money.binding_money,
         made.binding_m / prices.binding_roll_m * prices.binding_roll_money),
        ("labour", money.wage_money_h, wage / made.bales_h),
        ("fuel", money.fuel_money_l if fuel_l else None, (fuel_l or 0.0) * prices.fuel_money_l),
    ):  # fmt: skip
        if given is not None:
            yield because(f"outlook.cost.known.{name}", part_money=_amount(part))


def _weight(priced: PricedJob) -> Reason:
    return because("outlook.cost.weight", machine_t=priced.job.draw.machine_kg / KG_PER_T)


def _amount(money: float) -> str:
    """Two decimals, as in the picture beside the words."""
    return f"{money:,.2f}"
