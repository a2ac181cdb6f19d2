"""What nobody has to say to `balewright sheet`, but who says it gets a better sheet."""

from __future__ import annotations

import argparse
import math
from typing import Any, Final

from balewright.plan.keeping.additive import Product
from balewright.plan.keeping.climate import CLIMATES
from balewright.plan.machine import BindingKind
from balewright.plan.sheet.sheet import Additive, GateReading, Row
from balewright.quantities.errors import BadInput, Fault

#: option -> lowest, highest, cure; in the units they are typed in.
_RANGES: Final = {
    "--row-width-m": (0.2, 6.0, "Give metres across a row, as in 1.1."),
    "--diameter-spread-m": (0.0, 0.3, "Give a standard deviation in metres, as in 0.02."),
    "--rate-l-t": (0.001, 200.0, "Give litres a tonne, as in 2."),
    "--active": (0.05, 1.0, "Give the share of pure propionic acid, as in 0.55."),
    "--density-kg-l": (0.7, 1.6, "Give kilograms a litre, as in 1.02."),
    "--tank-l": (1.0, 5000.0, "Give litres, as in 200."),
}


def add_more(parser: argparse.ArgumentParser) -> None:
    """The options, in a group of their own."""
    more = parser.add_argument_group("more, where it is known")
    more.add_argument("--climate", help=f"where bales lie: {', '.join(CLIMATES)}")
    more.add_argument("--row-width-m", type=float, help="width of the windrow")
    more.add_argument("--left-m", type=float, nargs="+", metavar="N",
                      help="metres on each film roll now; 0 for an empty one")  # fmt: skip
    more.add_argument("--diameter-spread-m", type=float,
                      help="standard deviation of diameters, as measured")  # fmt: skip
    more.add_argument("--gate", action="append", default=[], metavar="OPENING,SETTING,FEED",
                      help="one full chamber as read: mm, mm, and t/h or light, middle, heavy; "
                           "three or more give a fitted size setting")  # fmt: skip
    more.add_argument("--rate-l-t", type=float, help="silage additive as its label says")
    more.add_argument("--active", type=float, help="or hay acid: pure acid in the product")
    more.add_argument("--density-kg-l", type=float, help="and its density")
    more.add_argument("--tank-l", type=float, help="a full tank of it")
    more.add_argument("--binding", metavar="|".join(BindingKind),
                      help="what shall bind, where the machine has more than one")  # fmt: skip
    more.add_argument("--weighed", action="store_true", help="bales go over a scale")


def more_from(options: argparse.Namespace) -> dict[str, Any]:
    """Fields of Conditions; BadInput with the option's name and the cure."""
    _check(options)
    climate = options.climate
    if climate is not None and climate not in CLIMATES:
        need = f"one of {', '.join(CLIMATES)}"
        raise BadInput(Fault("--climate", need, repr(climate), "Leave it out if none is near."))
    return {
        "binding": _binding(options.binding),
        "climate": climate,
        "row_width_m": options.row_width_m,
        "rolls_left_m": tuple(options.left_m or ()),
        "diameter_spread_m": options.diameter_spread_m,
        "gate_readings": tuple(_reading(given) for given in options.gate),
        "additive": _additive(options),
        "weighed": options.weighed,
    }


def _check(options: argparse.Namespace) -> None:
    faults = []
    for option, (low, high, cure) in _RANGES.items():
        value = getattr(options, option[2:].replace("-", "_"))
        if value is not None and not low <= value <= high:
            need = f"a number from {low:g} to {high:g}"
            faults.append(Fault(option, need, f"{value:g}", cure))
    if faults:
        raise BadInput(*faults)


def _binding(given: str | None) -> BindingKind | None:
    if given is None or given in list(BindingKind):
        return None if given is None else BindingKind(given)
    need = f"one of {', '.join(BindingKind)}"
    raise BadInput(Fault("--binding", need, repr(given), "Leave it out to take what it has."))


def _additive(options: argparse.Namespace) -> Additive | None:
    share, density, rate_l_t = options.active, options.density_kg_l, options.rate_l_t
    if (share, density, rate_l_t) == (None, None, None):
        return None
    if rate_l_t is not None and (share, density) == (None, None):
        return Additive(rate_l_t=rate_l_t, tank_l=options.tank_l)
    if rate_l_t is not None or None in (share, density):
        need = "--rate-l-t, or --active together with --density-kg-l"
        raise BadInput(Fault("additive", need, "something else", "Both stand on the label."))
    return Additive(acid=Product(share, density), tank_l=options.tank_l)


def _reading(given: str) -> GateReading:
    """24,18,36 or 24,18,heavy."""
    parts = [part.strip() for part in given.split(",")]
    try:
        opening_mm, setting_mm = float(parts[0]), float(parts[1])
        row = Row(parts[2]) if parts[2] in list(Row) else None
        feed_t_h = None if row is not None else float(parts[2])
    except (IndexError, ValueError):
        opening_mm = math.nan
    if len(parts) != 3 or math.isnan(opening_mm):
        need = "OPENING,SETTING,FEED: millimetres, millimetres, and t/h or light, middle, heavy"
        raise BadInput(Fault("--gate", need, repr(given), "Write 24,18,36 or 24,18,heavy."))
    return GateReading(opening_mm, setting_mm, feed_t_h, row)
