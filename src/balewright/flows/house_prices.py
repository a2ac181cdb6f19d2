"""What things cost in this house, so that findings are told in money: a rule a manager sets."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from types import MappingProxyType
from typing import Final

from balewright.findings.worth import Prices
from balewright.flows.workplace import Workplace
from balewright.plan.cost.outlay import UnitPrices
from balewright.quantities.errors import BadInput, Fault

PRICES: Final = "findings.prices"
"""Key of the house rule; its body holds what is known, by the names below."""
MOST_MONEY: Final = 1e6
MOST_ROLL_M: Final = 20_000.0
CURRENCY_LENGTH: Final = 12


@dataclass(frozen=True)
class HousePrices:
    """Prices in the house's own currency; None where nobody gave one, never a guess.

    film_roll_money, binding_roll_money: a roll, film_roll_m, binding_roll_m: metres on it, 1 to
    20,000; fuel_money_l, additive_money_l: a litre; hour_money: an hour of machine, tractor and
    people in the field; bale_money: what one more bale costs all in all. Money is above 0, to a
    million. currency: its name, "" where nobody said.
    """

    film_roll_money: float | None = None
    film_roll_m: float | None = None
    binding_roll_money: float | None = None
    binding_roll_m: float | None = None
    fuel_money_l: float | None = None
    additive_money_l: float | None = None
    hour_money: float | None = None
    bale_money: float | None = None
    currency: str = ""

    @property
    def known(self) -> dict[str, float]:
        """What somebody gave, by name."""
        return {key: one for key, one in asdict(self).items() if isinstance(one, float)}

    @property
    def for_findings(self) -> Prices:
        """The same as `worth_of` takes them: a price of 0 in `units` is one nobody gave."""
        units = None
        if self.known.keys() & UNIT_PRICES:
            units = UnitPrices(
                film_roll_money=self.film_roll_money or 0.0,
                film_roll_m=self.film_roll_m or 1.0,
                binding_roll_money=self.binding_roll_money or 0.0,
                binding_roll_m=self.binding_roll_m or 1.0,
                fuel_money_l=self.fuel_money_l or 0.0,
                wage_money_h=0.0,  # in the hour's price
                additive_money_l=self.additive_money_l or 0.0,
            )
        return Prices(units, self.hour_money, self.bale_money)


UNIT_PRICES: Final = frozenset(
    ("film_roll_money", "binding_roll_money", "fuel_money_l", "additive_money_l")
)
NUMBERS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "film_roll_money": (0.01, MOST_MONEY),
        "film_roll_m": (1.0, MOST_ROLL_M),
        "binding_roll_money": (0.01, MOST_MONEY),
        "binding_roll_m": (1.0, MOST_ROLL_M),
        "fuel_money_l": (0.001, MOST_MONEY),
        "additive_money_l": (0.001, MOST_MONEY),
        "hour_money": (0.01, MOST_MONEY),
        "bale_money": (0.01, MOST_MONEY),
    }
)
"""Each number with the least and the most it may be."""
_ROLLS: Final = (("film_roll_money", "film_roll_m"), ("binding_roll_money", "binding_roll_m"))
NO_PRICES: Final = HousePrices()


def house_prices(workplace: Workplace) -> HousePrices:
    """The prices in force; all None where nobody set any."""
    kept = workplace.register.load_rule(PRICES)
    if kept is None:
        return NO_PRICES
    numbers = {key: float(one) for key, one in kept.body.items() if key in NUMBERS}
    return HousePrices(**numbers, currency=str(kept.body.get("currency", "")))


def set_house_prices(workplace: Workplace, prices: HousePrices, by: str | None = None) -> None:
    """Set them in place of those before; the next review of a machine counts with them.

    Raises BadInput with every price out of its range, a roll's price without its metres, and a
    currency of more than CURRENCY_LENGTH characters.
    """
    if faults := _faults(prices):
        raise BadInput(*faults)
    body: dict[str, float | str] = {**prices.known}
    if prices.currency:
        body["currency"] = prices.currency
    workplace.register.save_rule(PRICES, body, workplace.clock(), by)


def _faults(prices: HousePrices) -> list[Fault]:
    faults = []
    for name, value in prices.known.items():
        low, high = NUMBERS[name]
        if not (math.isfinite(value) and low <= value <= high):
            need = f"a number from {low:g} to {high:g}"
            faults.append(Fault(name, need, f"{value:g}", "Leave out what is not known."))
    for money, metres in _ROLLS:
        if money in prices.known and metres not in prices.known:
            cure = "Write the metres that stand on the roll."
            faults.append(Fault(metres, "the metres of a roll that has a price", "none", cure))
    if len(prices.currency) > CURRENCY_LENGTH:
        need = f"at most {CURRENCY_LENGTH} characters"
        faults.append(Fault("currency", need, str(len(prices.currency)), "Say it shorter."))
    return faults
