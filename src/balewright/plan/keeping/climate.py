"""Where and how long a bale lies: a temperature for each month, and film in the sun.

The named climates are invented means of a kind of place, not of any one place; give your own
monthly means where you have them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

S_PER_MONTH: Final = 365.25 / 12.0 * 86_400.0
KELVIN_AT_0_C: Final = 273.15
_YEAR: Final = 12


@dataclass(frozen=True)
class Climate:
    """Mean air temperature of January to December, and how much hotter film gets in the sun.

    monthly_c: twelve means, -50 to 50 C each; sun_share: share of film area and time in the sun,
    0 to 1; sun_excess_k: how much hotter than air it is there, 0 to 50 K. Both are `assumed`:
    0.15 and 15 K where nobody measured.
    """

    name: str
    monthly_c: tuple[float, ...]
    sun_share: float = 0.15
    sun_excess_k: float = 15.0

    def __post_init__(self) -> None:
        if len(self.monthly_c) != _YEAR:
            raise BadInput(
                Fault(
                    "monthly_c",
                    "twelve monthly means, January first",
                    f"{len(self.monthly_c)} of them",
                    "Give one mean temperature a month in degrees C.",
                )
            )
        for mean_c in self.monthly_c:
            require_between("monthly_c", mean_c, -50.0, 50.0)
        require_between("sun_share", self.sun_share, 0.0, 1.0)
        require_between("sun_excess_k", self.sun_excess_k, 0.0, 50.0)


#: Invented means of three kinds of place: `assumed`.
COOL_MOIST: Final = Climate(
    "cool-moist", (5.0, 5.0, 6.5, 8.5, 11.0, 13.5, 15.5, 15.0, 13.0, 10.5, 7.5, 5.5)
)
WARM_DRY: Final = Climate(
    "warm-dry", (3.0, 5.0, 9.5, 13.0, 17.5, 21.5, 24.0, 23.0, 19.0, 13.5, 8.0, 4.0)
)
COLD_WINTER: Final = Climate(
    "cold-winter", (-5.0, -4.0, 0.0, 6.0, 12.0, 16.0, 20.0, 21.0, 17.0, 11.0, 4.0, -2.0)
)
CLIMATES: Final[Mapping[str, Climate]] = MappingProxyType(
    {climate.name: climate for climate in (COOL_MOIST, WARM_DRY, COLD_WINTER)}
)


@dataclass(frozen=True)
class Stay:
    """A climate, the month the bale was wrapped in (1 is January) and how long it lies.

    months: 0 to 48, of equal length.
    """

    climate: Climate
    start_month: int
    months: float

    def __post_init__(self) -> None:
        require_count("start_month", self.start_month, 1, _YEAR)
        require_between("months", self.months, 0.0, 48.0)

    def slices(self) -> tuple[tuple[float, float], ...]:
        """(seconds, air in kelvin) month by month; the last one may be a part of a month."""
        found = []
        whole = int(self.months)
        for month in range(whole + 1):
            share = min(1.0, self.months - month)
            if share > 0.0:
                mean_c = self.climate.monthly_c[(self.start_month - 1 + month) % _YEAR]
                found.append((share * S_PER_MONTH, mean_c + KELVIN_AT_0_C))
        return tuple(found)
