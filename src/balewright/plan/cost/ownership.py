"""What a machine costs a year whether it works or not: value lost, interest, tax and shelter.

Two published ways stand side by side. Capital recovery is the exact one: the even yearly sum that
pays the price less what the machine still fetches, with interest on what is not paid yet.
The older one takes a straight line for the value and interest on the mean of both ends.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Final

from balewright.quantities.checks import require_between

MOST_MONEY: Final = 1e12
"""Above any machine in any currency; a guard against a slipped decimal."""
MOST_YEARS: Final = 60.0
_NO_INTEREST: Final = 1e-14
"""Below it the factor is 1/years to the last digit."""


@dataclass(frozen=True)
class Ownership:
    """One year of owning, in the user's own currency.

    capital_money: value lost and interest together; tih_money: tax, insurance and housing.
    """

    capital_money: float
    tih_money: float

    @property
    def year_money(self) -> float:
        """Both together."""
        return self.capital_money + self.tih_money


class Resale(Enum):
    """What a machine still fetches: root of the share left = a - b sqrt(years) - c sqrt(hours).

    hours: of use in a year. The coefficients are those of ASAE D497, from memory (source key
    `d497-values-memory`); those of tractors give back the published tables (`iowa-pm-710`).
    """

    TRACTOR_SMALL = (0.9809, 0.0934, 0.0058)
    """30 to 79 hp (22 to 59 kW)."""
    TRACTOR_MIDDLE = (0.9421, 0.0999, 0.0008)
    """80 to 149 hp (60 to 111 kW)."""
    TRACTOR_LARGE = (0.9756, 0.1187, 0.0019)
    """150 hp (112 kW) and more."""
    BALER = (0.8521, 0.1014, 0.0)
    """Balers; the standard has no row of its own for a baler-wrapper."""

    def left_frac(self, years: float, hours_year: float) -> float:
        """Share of today's list price left after `years` (0..60) at `hours_year` (0..8760).

        Valid for machines in average condition. Raises BadInput outside the ranges.
        """
        require_between("years", years, 0.0, MOST_YEARS)
        require_between("hours_year", hours_year, 0.0, 8760.0)
        start, by_age, by_use = self.value
        root = start - by_age * math.sqrt(years) - by_use * math.sqrt(hours_year)
        return max(0.0, root) ** 2


def capital_recovery_factor(interest_frac: float, years: float) -> float:
    """Share of a sum that an even yearly payment must be to pay it back with interest.

    interest_frac: a year, 0..1, without inflation where the prices are without it; years:
    0.5..60. Source key: `iowa-a3-29`.
    """
    require_between("interest_frac", interest_frac, 0.0, 1.0)
    require_between("years", years, 0.5, MOST_YEARS)
    if interest_frac < _NO_INTEREST:
        return 1.0 / years
    return -interest_frac / math.expm1(-years * math.log1p(interest_frac))


def real_interest_frac(interest_frac: float, inflation_frac: float) -> float:
    """Interest without inflation, by difference as extension services do. Key: `iowa-2005`."""
    require_between("interest_frac", interest_frac, 0.0, 1.0)
    require_between("inflation_frac", inflation_frac, 0.0, interest_frac)
    return interest_frac - inflation_frac


def capital_recovery_money(
    price_money: float, resale_money: float, interest_frac: float, years: float
) -> float:
    """Value lost and interest a year: (price - resale) x factor + resale x interest.

    price_money: paid; resale_money: what it fetches after `years`, 0..price. Exact for even
    payments at the end of each year. Source key: `iowa-a3-29`.
    """
    require_between("price_money", price_money, 0.0, MOST_MONEY)
    require_between("resale_money", resale_money, 0.0, price_money)
    factor = capital_recovery_factor(interest_frac, years)
    return (price_money - resale_money) * factor + resale_money * interest_frac


def straight_line_money(price_money: float, resale_money: float, years: float) -> float:
    """Value lost a year by a straight line. Source key: `iasri-14`."""
    require_between("price_money", price_money, 0.0, MOST_MONEY)
    require_between("resale_money", resale_money, 0.0, price_money)
    require_between("years", years, 0.5, MOST_YEARS)
    return (price_money - resale_money) / years


def share_of_mean_money(price_money: float, resale_money: float, share_frac: float) -> float:
    """A yearly share (interest; tax, insurance and housing) of the mean of price and resale.

    share_frac: 0..1 a year. Source keys: `iowa-calculator`, `iasri-14`.
    """
    require_between("price_money", price_money, 0.0, MOST_MONEY)
    require_between("resale_money", resale_money, 0.0, price_money)
    require_between("share_frac", share_frac, 0.0, 1.0)
    return (price_money + resale_money) / 2.0 * share_frac
