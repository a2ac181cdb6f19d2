"""What finding and mending a fault costs this house: a rule a manager sets, told in money."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Final

from balewright.cause.next_check.costs import Costs
from balewright.flows.house_prices import house_prices
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault

SERVICE_COSTS: Final = "cause.costs"
"""Key of the house rule; its body holds what is known, by the names of `Costs`."""
MOST: Final = 1e6
AMOUNTS: Final = tuple(
    one.name for one in fields(Costs) if one.name not in ("parts_to_hand", "there")
)
"""What a number is kept for."""


def service_costs(workplace: Workplace) -> Costs:
    """The costs in force, with an hour of standing and a lost bale as the house prices say them.

    Without the price of a technician's hour nothing is counted in money: hours and money do not
    add up.
    """
    kept = workplace.register.load_rule(SERVICE_COSTS)
    body = {} if kept is None else kept.body
    known = {name: float(body[name]) for name in AMOUNTS if name in body}
    if "hour_money" not in known:
        return amounts({name: one for name, one in known.items() if name.endswith(("_h", "days"))})
    prices = house_prices(workplace)
    if prices.hour_money is not None:
        known.setdefault("standing_money_h", prices.hour_money)
    if prices.bale_money is not None:
        known.setdefault("bale_money", prices.bale_money)
    return amounts(known)


def amounts(known: Mapping[str, float]) -> Costs:
    """Costs of these amounts, by name. Raises BadInput for one that is not kept or out of range."""
    faults = [
        Fault(name, "an amount of " + ", ".join(AMOUNTS), name, "Use one of these names.")
        for name in known
        if name not in AMOUNTS
    ]
    faults += [
        Fault(name, f"a number from 0 to {MOST:g}", f"{one:g}", "Leave out what is not known.")
        for name, one in known.items()
        if not 0.0 <= one <= MOST
    ]
    if faults:
        raise BadInput(*faults)
    costs = Costs()
    for name, one in known.items():
        costs = replace(costs, **{name: one})  # type: ignore[arg-type]
    return costs


def set_service_costs(
    workplace: Workplace, known: Mapping[str, float], by: str | None = None
) -> None:
    """Set them in place of those before. Raises BadInput as `amounts`."""
    amounts(known)
    workplace.register.save_rule(SERVICE_COSTS, dict(known), workplace.clock(), by)
