"""Options that cost and optimum share: the work, the machines, and what all is paid with."""

from __future__ import annotations

import argparse
from typing import Final

from balewright.cli.ranges import Number, add_numbers
from balewright.plan.cost.job import Draw, Job
from balewright.plan.cost.outlay import Outlay, Owned, Season, UnitPrices
from balewright.plan.cost.ownership import Resale
from balewright.plan.cost.running import WearOf
from balewright.plan.film.strip import Bale
from balewright.plan.pace.settings import BindWork, MadeBale, Row, Settings, WrapWork
from balewright.plan.power.need import Chamber
from balewright.quantities.errors import BadInput, Fault

MOST_MONEY: Final = 1e9
_WORK: Final = {
    "--diameter-m": Number(0.3, 3, "diameter of the bale, m", required=True),
    "--length-m": Number(0.3, 3, "width of the bale, along its axis, m", required=True),
    "--moisture": Number(0, 0.85, "moisture, wet basis: 0.55 or 55%", required=True, share=True),
    "--windrow-kg-m": Number(0.2, 30, "fresh crop in a metre of windrow, kg", required=True),
    "--dm-t-ha": Number(0.05, 50, "dry matter off a hectare and cut, t", required=True),
    "--dm-t-year": Number(0.1, 1e6, "dry matter baled in a year, t", required=True),
    "--stretch": Number(0, 1.5, "pre-stretch: 0.70 or 70%", 0.70, share=True),
    "--wrap-rpm": Number(1, 80, "wrap turns a minute", 30),
    "--binding-turns": Number(0, 60, "turns of net or binding film", 2.5),
    "--knives": Number(0, 60, "knives that are in", 0, whole=True),
    "--additive-l-t": Number(0, 50, "additive, litres on a tonne of fresh crop", 0),
    "--field-share": Number(
        0.2, 1, "share of the paid time in which bales are made", 0.75, share=True
    ),
    "--people": Number(0, 20, "people paid in the field", 1, whole=True),
}
_MACHINE: Final = {
    "--machine-kg": Number(300, 60_000, "the machine with bales in it, kg", 6000),
    "--price": Number(0, MOST_MONEY, "paid for the machine", required=True),
    "--list-price": Number(0, MOST_MONEY, "list price of a new one; none: what was paid"),
    "--years": Number(0.5, 60, "years it is kept", required=True),
    "--interest": Number(0, 1, "a year, less inflation: 0.04 or 4%", required=True, share=True),
    "--tih": Number(
        0,
        1,
        "tax, insurance and housing a year, a share of the mean value",
        required=True,
        share=True,
    ),
}
_TRACTOR: Final = {
    "--tractor-kw": Number(5, 1000, "rated PTO power of the tractor, kW", required=True),
    "--tractor-price": Number(0, MOST_MONEY, "paid for the tractor", required=True),
    "--tractor-list-price": Number(0, MOST_MONEY, "list price of a new one; none: what was paid"),
    "--tractor-years": Number(0.5, 60, "years it is kept", required=True),
    "--tractor-hours": Number(1, 8760, "hours of all its work in a year", required=True),
}
_PRICES: Final = {
    "--film-roll-money": Number(0, MOST_MONEY, "a roll of wrap film"),
    "--film-roll-m": Number(1, 20_000, "metres on it", 1500),
    "--binding-roll-money": Number(0, MOST_MONEY, "a roll of net or binding film", required=True),
    "--binding-roll-m": Number(1, 20_000, "metres on it", required=True),
    "--fuel-money-l": Number(0, MOST_MONEY, "a litre of diesel", required=True),
    "--wage-money-h": Number(0, MOST_MONEY, "an hour of wages", required=True),
    "--additive-money-l": Number(0, MOST_MONEY, "a litre of additive"),
}
WORK_NUMBERS: Final = {**_WORK, **_MACHINE, **_TRACTOR, **_PRICES}
_SMALL_KW: Final = 60.0
_LARGE_KW: Final = 112.0
"""30 to 79, 80 to 149, 150 and more hp: the classes of what a tractor fetches."""


def add_work_options(parser: argparse.ArgumentParser) -> None:
    """All of them, in their groups."""
    work = parser.add_argument_group("the bale, the field and the settings")
    add_numbers(work, _WORK)
    work.add_argument(
        "--dispensers", type=int, choices=(1, 2), default=2, help="rolls on; default 2"
    )
    machine = parser.add_argument_group("the machine; --interest and --tih for the tractor too")
    chambers = ("variable", "fixed")
    machine.add_argument("--chamber", choices=chambers, required=True, help="kind of chamber")
    add_numbers(machine, _MACHINE)
    add_numbers(parser.add_argument_group("the tractor"), _TRACTOR)
    add_numbers(parser.add_argument_group("prices, in your own currency"), _PRICES)


def check_prices(options: argparse.Namespace, wrapped: bool) -> None:
    """Raise BadInput where something is used that has no price: none is assumed."""
    faults = []
    if wrapped and not options.film_roll_money:
        need, cure = "the price of a roll", "A wrapped bale takes film: say what a roll costs."
        faults.append(Fault("--film-roll-money", need, "none", cure))
    if options.additive_l_t and options.additive_money_l is None:
        need, cure = "the price of a litre", "Say what it costs, or leave --additive-l-t out."
        faults.append(Fault("--additive-money-l", need, "none", cure))
    if faults:
        raise BadInput(*faults)


def wrap_of(options: argparse.Namespace, turns: float) -> WrapWork:
    """Wrapping with so many turns of each roll."""
    return WrapWork(
        turns,
        options.wrap_rpm,
        dispensers=options.dispensers,
        pre_stretch_frac=options.stretch,
    )


def job_of(
    options: argparse.Namespace, wrap: WrapWork | None, dm_kg_m3: float, speed_m_s: float
) -> Job:
    """The work of these options with a wrapping, a dry matter density and a speed."""
    chamber = Chamber[options.chamber.upper()]
    size = Bale(options.diameter_m, options.length_m)
    return Job(
        Settings(
            row=Row(options.windrow_kg_m, speed_m_s),
            bale=MadeBale(size, dm_kg_m3, options.moisture),
            bind=BindWork(options.binding_turns),
            wrap=wrap,
        ),
        Draw(chamber, options.knives, options.machine_kg, options.tractor_kw),
        field_frac=options.field_share,
        additive_l_t=options.additive_l_t,
    )


def outlay_of(options: argparse.Namespace) -> Outlay:
    """What is owned, prices and the season."""
    listed = options.price if options.list_price is None else options.list_price
    machine = Owned(options.price, listed, options.years, options.interest, options.tih)
    listed = options.tractor_list_price
    tractor = Owned(
        options.tractor_price,
        options.tractor_price if listed is None else listed,
        options.tractor_years,
        options.interest,
        options.tih,
        _class_of(options.tractor_kw),
        WearOf.TRACTOR_FOUR_WHEEL.value,
        hours_year=options.tractor_hours,
    )
    prices = UnitPrices(
        options.film_roll_money or 0.0,
        options.film_roll_m,
        options.binding_roll_money,
        options.binding_roll_m,
        options.fuel_money_l,
        options.wage_money_h,
        options.additive_money_l or 0.0,
    )
    season = Season(options.dm_t_year, options.dm_t_ha)
    return Outlay(machine, tractor, prices, season, people=options.people)


def _class_of(tractor_kw: float) -> Resale:
    if tractor_kw < _SMALL_KW:
        return Resale.TRACTOR_SMALL
    return Resale.TRACTOR_MIDDLE if tractor_kw < _LARGE_KW else Resale.TRACTOR_LARGE
