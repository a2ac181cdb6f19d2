"""What others were paid to bale and wrap: published rates, each with its place and year.

They are facts of that place and year, in its money, never a price for here and now.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class CustomRate:
    """low_money, high_money: a bale, the same where one mean was reported; what: was done; place,
    year (None: not told), currency; source: key of the bibliography.
    """

    low_money: float
    high_money: float
    currency: str
    what: str
    place: str
    year: int | None
    source: str


def _one(money: float, currency: str, what: str, where: tuple[str, int], source: str) -> CustomRate:
    return CustomRate(money, money, currency, what, *where, source)


CUSTOM_RATES: Final = (
    CustomRate(12.70, 13.81, "USD", "baling, large round bales", "Indiana", 2023, "purdue-2023"),
    _one(3.40, "USD", "wrapping on top of it", ("Indiana", 2023), "purdue-2023"),
    _one(10.80, "USD", "baling, not wrapped", ("Iowa", 2021), "iowa-2021"),
    _one(13.20, "USD", "baling and wrapping", ("Iowa", 2021), "iowa-2021"),
    _one(9.80, "USD", "baling, not wrapped", ("Iowa", 2010), "custom-2010"),
    _one(11.00, "USD", "baling and wrapping", ("Iowa", 2010), "custom-2010"),
    _one(11.69, "USD", "baling with net", ("Nebraska", 2010), "custom-2010"),
    CustomRate(7.00, 8.00, "USD", "wrapping, film included", "Pennsylvania", None, "penn-wrap"),
    _one(12.00, "EUR", "mowing, baling, wrapping, no film", ("Ireland", 2022), "teagasc-2022"),
    _one(14.00, "EUR", "baling, four layers, film", ("Ireland", 2019), "irl-2019"),
)
