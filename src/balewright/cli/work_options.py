"""Options that cost and optimum share: the work, the machines, and what all is paid with."""

from __future__ import annotations

import argparse
from typing import Final

from balewright.cli.ranges import Number
from balewright.plan.cost.job import Draw, Job
from balewright.plan.cost.outlay import Outlay, Owned, Season, UnitPrices
from balewright.plan.cost.ownership import Resale
from balewright.plan.cost.running import WearOf
from balewright.plan.film.strip import Bale
from balewright.plan.pace.settings import BindWork, MadeBale, Row, Settings, WrapWork
from balewright.plan.power.need import Chamber

MOST_MONEY: Final = 1e9
WORK_NUMBERS: Final = {
    "--diameter-m": Number(0.3, 3, "diameter of the bale, m", required=True),
    "--length-m": Number(0.3, 3, "width of the bale, along its axis, m", required=True),
    "--moisture": Number(0, 0.85, "moisture, wet basis: 0.55 for 55 per cent", required=True),
    "--windrow-kg-m": Number(0.2, 30, "fresh crop in a metre of windrow, kg", required=True),
    "--wrap-rpm": Number(1, 80, "wrap turns a minute", 30),
    "--stretch": Number(0, 1.5, "pre-stretch: 0.70 for 70 per cent", 0.70),
    "--binding-turns": Number(0, 60, "turns of net or binding film", 2.5),
    "--field-share": Number(0.2, 1, "share of the paid time in which bales are made", 0.75),
    "--knives": Number(0, 60, "knives that are in", 0),
    "--machine-kg": Number(300, 60_000, "the machine with bales in it, kg", 6000),
    "--tractor-kw": Number(5, 1000, "rated PTO power of the tractor, kW", required=True),
    "--additive-l-t": Number(0, 50, "additive, litres on a tonne of fresh crop", 0),
    "--dm-t-year": Number(0.1, 1e6, "dry matter baled in a year, t", required=True),
    "--dm-t-ha": Number(0.05, 50, "dry matter off a hectare and cut, t", required=True),
    "--price": Number(0, MOST_MONEY, "paid for the machine", required=True),
    "--list-price": Number(0, MOST_MONEY, "list price of a new one; else what was paid"),
    "--years": Number(0.5, 60, "years it is kept", required=True),
    "--interest": Number(0, 1, "a year, less inflation: 0.04 for 4 per cent", required=True),
    "--tih": Number(0, 1, "tax, insurance, housing a year, of the mean value", required=True),
    "--tractor-price": Number(0, MOST_MONEY, "paid for the tractor", required=True),
    "--tractor-list-price": Number(0, MOST_MONEY, "list price of a new one; else what was paid"),
    "--tractor-years": Number(0.5, 60, "years it is kept", required=True),
    "--tractor-hours": Number(1, 8760, "hours of all its work in a year", required=True),
    "--film-roll-money": Number(0, MOST_MONEY, "a roll of wrap film", 0),
    "--film-roll-m": Number(1, 20_000, "metres on it", 1500),
    "--binding-roll-money": Number(0, MOST_MONEY, "a roll of net or binding film", required=True),
    "--binding-roll-m": Number(1, 20_000, "metres on it", required=True),
    "--fuel-money-l": Number(0, MOST_MONEY, "a litre of diesel", required=True),
    "--wage-money-h": Number(0, MOST_MONEY, "an hour of wages", required=True),
    "--additive-money-l": Number(0, MOST_MONEY, "a litre of additive", 0),
}
_SMALL_KW: Final = 60.0
_LARGE_KW: Final = 112.0
"""30 to 79, 80 to 149, 150 and more hp: the classes of what a tractor fetches."""


def add_work_options(parser: argparse.ArgumentParser) -> None:
    """Those of them that are no plain numbers; the numbers are `WORK_NUMBERS`."""
    add = parser.add_argument
    add("--chamber", choices=("variable", "fixed"), required=True, help="kind of chamber")
    add("--dispensers", type=int, choices=(1, 2), default=2, help="rolls on; default 2")
    add("--people", type=int, metavar="N", default=1, help="paid in the field; default 1")


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
        Draw(chamber, round(options.knives), options.machine_kg, options.tractor_kw),
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
        options.film_roll_money,
        options.film_roll_m,
        options.binding_roll_money,
        options.binding_roll_m,
        options.fuel_money_l,
        options.wage_money_h,
        options.additive_money_l,
    )
    season = Season(options.dm_t_year, options.dm_t_ha)
    return Outlay(machine, tractor, prices, season, people=options.people)


def _class_of(tractor_kw: float) -> Resale:
    if tractor_kw < _SMALL_KW:
        return Resale.TRACTOR_SMALL
    return Resale.TRACTOR_MIDDLE if tractor_kw < _LARGE_KW else Resale.TRACTOR_LARGE
