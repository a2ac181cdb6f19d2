"""How much a finding matters: money for each bale it lasts, and what it endangers.

The physics of the trade turns what moved into what it takes: film and binding by the ratio of
metres, bales by density (the same crop makes more soft bales), seconds by what an hour costs,
diesel by the load it goes with. No price has a default; without one there is no amount.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from balewright.findings.finding import Finding, FindingKind, Worth
from balewright.plan.cost.outlay import UnitPrices
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import KG_PER_T, S_PER_H

BREAK_S: Final = Interval(30.0, 120.0, 300.0)
"""Getting down, threading and starting again after a break of film or net: `assumed`."""
RETRY_S: Final = Interval(5.0, 15.0, 60.0)
"""A second start that the machine makes by itself or from the cab: `assumed`."""
TRIP_S: Final = Interval(20.0, 60.0, 600.0)
"""Clearing an overload, from reversing to digging out: `assumed`."""
LOAD_SHARE: Final = Interval(0.45, 0.60, 0.70)
"""Share of the diesel that goes with the load, between 0.4 and 0.9 of the rated power, by the
line 0.22 X + 0.096: source key `grisso-fuel`."""


@dataclass(frozen=True)
class Prices:
    """What the caller knows of money, in one currency; None: nobody said.

    units: film, binding, diesel, additive, as costs are worked out from, a price of 0 in it being
    one that nobody gave; hour_money: an hour of
    machine, tractor and people in the field; bale_money: what one more bale costs all in all.
    """

    units: UnitPrices | None = None
    hour_money: float | None = None
    bale_money: float | None = None


@dataclass(frozen=True)
class Usual:
    """What a bale of this machine usually takes, None where nobody knows: film_m (of all
    dispensers), binding_m, additive_l, fuel_l, wrap_turns, binding_turns; dispensers: 1 or 2;
    is_wrapper_slowest: whether work waits for the wrapper, None where nobody says."""

    film_m: float | None = None
    binding_m: float | None = None
    additive_l: float | None = None
    fuel_l: float | None = None
    wrap_turns: float | None = None
    binding_turns: float | None = None
    dispensers: int = 1
    is_wrapper_slowest: bool | None = None


_HUNDRED: Final = 100.0
_SLOWEST: Final = "wrapping"
"""What `Expected.held_back_by` says where work waits for the wrapper."""
NOTHING_KNOWN: Final = Usual()


def usual_of(sheet: Sheet, machine: Machine) -> Usual:
    """What a bale takes by its sheet; diesel is not in a sheet and stays unknown.

    Additive is the sheet's litres a tonne on the expected fresh mass.
    """
    expected, wrapper = sheet.expected, machine.wrapper
    rate_l_t = sheet.number("additive_l_t")
    additive_l = None if rate_l_t is None else rate_l_t * expected.mass_kg.best / KG_PER_T
    return Usual(
        film_m=expected.film_m_bale,
        binding_m=expected.net_m_bale,
        additive_l=additive_l,
        wrap_turns=sheet.number("wrap_turns"),
        binding_turns=sheet.number("binding_turns"),
        dispensers=1 if wrapper is None else wrapper.dispensers,
        is_wrapper_slowest=None if wrapper is None else expected.held_back_by == _SLOWEST,
    )


def worth_of(finding: Finding, prices: Prices, usual: Usual = NOTHING_KNOWN) -> Worth:
    """What a finding costs for each bale it lasts, and what it puts at risk.

    finding: a level's `moved` and `seen` in its unit, a rate's times a bale. Money below zero is
    saved (and may be bought with risk). Money is None where a price or the usual amount is not
    known, and where money is not the point.
    """
    found = _MONEY.get(finding.kind)
    money = found(finding, prices, usual) if found is not None else None
    risk = _RISKS.get(finding.kind)
    if finding.kind is FindingKind.METRES_MOVED:
        risk = "binding" if finding.part == "binding" else "film"
    return Worth(money, None if risk is None else _risk(risk))


def _risk(name: str) -> Reason:
    return because(f"worth.risk.{name}")


def _before(finding: Finding) -> float | None:
    """The level before, in the finding's unit; None where it is not known or not above zero."""
    if finding.moved is None or finding.seen is None:
        return None
    before = finding.seen.best - finding.moved.best
    return before if before > 0 else None


def _each(moved: Interval, amount: Callable[[float], float]) -> Interval:
    """The amount at both ends of a move and in between, put in order."""
    low, high = sorted((amount(moved.low), amount(moved.high)))
    return Interval(low, min(max(amount(moved.best), low), high), high, moved.confidence)


def _times(one: Interval, other: Interval) -> Interval:
    """Product of two intervals, ends against ends; no chance can be stated of it."""
    ends = [a * b for a in (one.low, one.high) for b in (other.low, other.high)]
    return Interval(min(ends), one.best * other.best, max(ends))


def _more_money(
    finding: Finding, amount: float | None, price_money: float | None, inverse: bool
) -> Interval | None:
    """Money for what is used more: in the ratio of now to before, or of before to now. A price of
    0 is none: what costs nothing would look as if it did not matter."""
    before, moved = _before(finding), finding.moved
    if before is None or moved is None or amount is None or not price_money:
        return None
    least = -0.9 * before  # a level that fell to nothing would make the inverse endless

    def money(value: float) -> float:
        now_share = 1.0 + max(value, least) / before
        return amount * ((1.0 / now_share if inverse else now_share) - 1.0) * price_money

    return _each(moved, money)


def _metres(finding: Finding, prices: Prices, usual: Usual) -> Interval | None:
    units = prices.units
    if units is None:
        return None
    if finding.measure == "binding_stretch_ratio":
        a_metre = units.binding_roll_money / units.binding_roll_m
        return _more_money(finding, usual.binding_m, a_metre, inverse=True)
    if finding.measure in ("binding_girths_turns", "binding_turns"):
        a_metre = units.binding_roll_money / units.binding_roll_m
        return _more_money(finding, usual.binding_m, a_metre, inverse=False)
    a_metre = units.film_roll_money / units.film_roll_m
    if finding.measure == "film_stretch_ratio":
        return _more_money(finding, usual.film_m, a_metre, inverse=True)
    if finding.measure in ("film1_stretch_ratio", "film2_stretch_ratio"):
        own_m = None if usual.film_m is None else usual.film_m / usual.dispensers
        return _more_money(finding, own_m, a_metre, inverse=True)
    return None  # one dispenser against the other does not say which of them takes more


def _density(finding: Finding, prices: Prices, _: Usual) -> Interval | None:
    """The same crop in softer bales is more bales; pressure is not yet density."""
    if finding.measure not in ("dry_kg_m3", "fresh_kg_m3"):
        return None
    return _more_money(finding, 1.0, prices.bale_money, inverse=True)


def _softer(finding: Finding, prices: Prices, _: Usual) -> Interval | None:
    """Against the sheet: bales it would have taken at the planned density, over those made."""
    planned, seen = finding.planned, finding.seen
    if planned is None or seen is None or seen.low <= 0 or prices.bale_money is None:
        return None
    money = [prices.bale_money * (planned / one - 1.0) for one in (seen.high, seen.best, seen.low)]
    return Interval(money[0], money[1], money[2], seen.confidence)


def _stretched(finding: Finding, prices: Prices, usual: Usual) -> Interval | None:
    """Against the sheet: film by the planned stretch over the one there is."""
    planned, seen, units = finding.planned, finding.seen, prices.units
    if planned is None or seen is None or units is None or usual.film_m is None:
        return None
    if not units.film_roll_money:
        return None
    film_money = usual.film_m * units.film_roll_money / units.film_roll_m
    money = [
        film_money * ((1.0 + planned) / (1.0 + max(one, -0.9)) - 1.0)
        for one in (seen.high, seen.best, seen.low)
    ]
    return Interval(money[0], money[1], money[2], seen.confidence)


def _burst(finding: Finding, prices: Prices, _: Usual) -> Interval | None:
    """Each burst bale is made again, over all bales."""
    if prices.bale_money is None or finding.seen is None or finding.unit != "share of bales":
        return None
    bale = Interval(prices.bale_money, prices.bale_money, prices.bale_money)
    return _times(finding.seen, bale)


def _time(finding: Finding, prices: Prices, usual: Usual) -> Interval | None:
    turns = {"wrap_turn_s": usual.wrap_turns, "bind_turn_s": usual.binding_turns}
    often = turns.get(finding.measure, 1.0)
    if prices.hour_money is None or finding.moved is None or often is None:
        return None
    second_money = prices.hour_money / S_PER_H * often
    cost = _each(finding.moved, lambda seconds: seconds * second_money)
    if finding.part not in ("wrapper", "tip") or usual.is_wrapper_slowest is True:
        return cost
    # the next bale fills meanwhile: all of it may be hidden
    best = 0.0 if usual.is_wrapper_slowest is False else cost.best / 2
    low, high = min(cost.low, 0.0), max(cost.high, 0.0)
    return Interval(low, min(max(best, low), high), high)


def _fuel(finding: Finding, prices: Prices, usual: Usual) -> Interval | None:
    if finding.measure != "pto_torque_nm" or prices.units is None:
        return None
    more = _more_money(finding, usual.fuel_l, prices.units.fuel_money_l, inverse=False)
    return None if more is None else _times(more, LOAD_SHARE)


def _additive(finding: Finding, prices: Prices, usual: Usual) -> Interval | None:
    if finding.measure == "undosed" or prices.units is None:
        return None
    return _more_money(finding, usual.additive_l, prices.units.additive_money_l, inverse=False)


def _stops(seconds: Interval) -> Callable[[Finding, Prices, Usual], Interval | None]:
    """Money for stops that come more often than before."""

    def money(finding: Finding, prices: Prices, _: Usual) -> Interval | None:
        if prices.hour_money is None or finding.moved is None:
            return None
        often = _HUNDRED if finding.unit == "a hundred bales" else 1.0
        second = prices.hour_money / S_PER_H / often
        an_hour = Interval(seconds.low * second, seconds.best * second, seconds.high * second)
        return _times(finding.moved, an_hour)

    return money


_MONEY: Final = MappingProxyType(
    {
        FindingKind.METRES_MOVED: _metres,
        FindingKind.DENSITY_MOVED: _density,
        FindingKind.DENSITY_LOW: _softer,
        FindingKind.STRETCH_OFF: _stretched,
        FindingKind.BURST: _burst,
        FindingKind.PHASE_TIME_MOVED: _time,
        FindingKind.FEED_MOVED: lambda finding, prices, usual: (
            _time(finding, prices, usual) if finding.measure == "fill_s" else None
        ),
        FindingKind.DRIVE_MOVED: _fuel,
        FindingKind.ADDITIVE_MOVED: _additive,
        FindingKind.BREAKS_MORE: _stops(BREAK_S),
        FindingKind.STARTS_REPEATED: _stops(RETRY_S),
        FindingKind.BINDING_MISSED: _stops(RETRY_S),
        FindingKind.OVERLOADS_MORE: _stops(TRIP_S),
    }
)
_RISKS: Final = MappingProxyType(
    {
        FindingKind.LAYERS_SHORT: "mould",
        FindingKind.NOT_WRAPPED: "mould",
        FindingKind.WRAPPED_LATE: "heat",
        FindingKind.MOISTURE_OUTSIDE: "moisture",
        FindingKind.STRETCH_UNEQUAL: "film",
        FindingKind.STRETCH_OFF: "film",
        FindingKind.BINDING_SHORT: "binding",
        FindingKind.BINDING_MISSED: "binding",
        FindingKind.BURST: "binding",
        FindingKind.DENSITY_LOW: "soft",
        FindingKind.DENSITY_MOVED: "soft",
        FindingKind.PRESSURE_MOVED: "pressure",
        FindingKind.SHAPE_MOVED: "shape",
        FindingKind.GATE_OPENING_OFF: "shape",
        FindingKind.TEMPERATURE_MOVED: "oil",
        FindingKind.DRIVE_MOVED: "drive",
        FindingKind.OVERLOADS_MORE: "drive",
        FindingKind.SUPPLY_LOW: "supply",
        FindingKind.CARTRIDGE_STUCK: "bearings",
        FindingKind.ADDITIVE_MOVED: "additive",
        FindingKind.SENSOR_FROZEN: "blind",
        FindingKind.SENSOR_RESTLESS: "blind",
        FindingKind.SENSOR_MOVED: "blind",
        FindingKind.NOT_WATCHED: "blind",
        FindingKind.BREAKS_MORE: "film",
        FindingKind.ROLL_WORSE: "film",
    }
)
