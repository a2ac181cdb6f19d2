"""What a machine costs while it works: repairs, fuel, lubricants, labour."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

from balewright.plan.cost.ownership import MOST_MONEY
from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval

LUBRICANT_FRAC: Final = 0.15
"""Lubricants as a share of the money for fuel. Source key: `iowa-2005`."""
LABOUR_FACTOR: Final = Interval(1.1, 1.1, 1.2)
"""Hours paid for an hour of field work: travel and service are in it. Source key: `iowa-2005`."""
FUEL_YEAR_L_KWH: Final = 0.223
"""Diesel over a year for each hour and kW of rated PTO power. Source key: `grisso-fuel`."""
_MOST_HOURS: Final = 100_000.0


@dataclass(frozen=True)
class Wear:
    """Repairs so far as a share of today's list price: first x (hours / 1000) ^ growth.

    first_frac: after 1000 h, 0..2; growth_exponent: 1 (even) to 3.
    """

    first_frac: float
    growth_exponent: float

    def __post_init__(self) -> None:
        require_between("first_frac", self.first_frac, 0.0, 2.0)
        require_between("growth_exponent", self.growth_exponent, 1.0, 3.0)

    def share_frac(self, hours: float) -> float:
        """Share of the list price spent on repairs after `hours` (0..100 000) of work."""
        require_between("hours", hours, 0.0, _MOST_HOURS)
        return float(self.first_frac * (hours / 1000.0) ** self.growth_exponent)

    def money(self, list_price_money: float, hours: float) -> float:
        """Repairs in money after `hours`, at today's list price. Source key: `iowa-table-3`."""
        require_between("list_price_money", list_price_money, 0.0, MOST_MONEY)
        return list_price_money * self.share_frac(hours)

    def hour_money(self, list_price_money: float, hours: float, before_h: float = 0.0) -> float:
        """Repairs for each of the next `hours` of a machine that has done `before_h` already."""
        require_between("hours", hours, 1e-6, _MOST_HOURS)
        spent = self.money(list_price_money, before_h)
        return (self.money(list_price_money, before_h + hours) - spent) / hours


class WearOf(Enum):
    """Repair factors of ASAE D497, from memory (source key `d497-values-memory`).

    Those of tractors and of tillage tools give back the published table (`iowa-table-3`).
    """

    ROUND_BALER = Wear(0.43, 1.8)
    TRACTOR_TWO_WHEEL = Wear(0.007, 2.0)
    TRACTOR_FOUR_WHEEL = Wear(0.003, 2.0)
    MOULDBOARD_PLOUGH = Wear(0.29, 1.8)
    TANDEM_DISK = Wear(0.18, 1.7)
    CHISEL_PLOUGH = Wear(0.28, 1.4)


def fuel_year_l_h(rated_pto_kw: float) -> float:
    """Diesel an hour over a year's mixed work of a tractor of `rated_pto_kw` (1..1000).

    A yearly mean, not the fuel of one job. Source key: `grisso-fuel`.
    """
    require_between("rated_pto_kw", rated_pto_kw, 1.0, 1000.0)
    return FUEL_YEAR_L_KWH * rated_pto_kw


def lubricant_money(fuel_money: float) -> float:
    """Money for oil and grease beside `fuel_money`. Source key: `iowa-2005`."""
    require_between("fuel_money", fuel_money, 0.0, MOST_MONEY)
    return LUBRICANT_FRAC * fuel_money


def labour_money(
    field_h: float, wage_money_h: float, factor_share: float = LABOUR_FACTOR.best
) -> float:
    """Wages for `field_h` of field work; factor_share: hours paid an hour of field work, 1..3.

    Source key: `iowa-2005`.
    """
    require_between("field_h", field_h, 0.0, _MOST_HOURS)
    require_between("wage_money_h", wage_money_h, 0.0, MOST_MONEY)
    require_between("factor_share", factor_share, 1.0, 3.0)
    return field_h * wage_money_h * factor_share
