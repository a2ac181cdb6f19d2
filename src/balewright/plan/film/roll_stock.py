"""How many rolls to load for a day, so that they are enough with a wanted chance.

Metres a bale vary: fat and lean bales from one to the next, a stretch (or a setting) that is off
all day, film wasted where it breaks; and rolls are not all as long as their label. Sums of many
are close to normal, so the chance follows from means and variances.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from scipy.special import ndtr

from balewright.plan.film.rolls import RollBought
from balewright.plan.film.strip import Bale, film_path_m
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

_MOST_ROLLS: Final = 10_000


@dataclass(frozen=True)
class UseSpread:
    """Metres one dispenser draws for a bale, and how they vary.

    mean_m: a bale, above 0; bale_spread_m: standard deviation from bale to bale, up to the mean;
    day_spread_m: standard uncertainty of the mean itself, the same on every bale of the day, up to
    0.4 of it; break_share: breaks
    a bale, 0 to 1; break_m: metres wasted at each.
    """

    mean_m: float
    bale_spread_m: float = 0.0
    day_spread_m: float = 0.0
    break_share: float = 0.0
    break_m: float = 0.0

    def __post_init__(self) -> None:
        require_between("mean_m", self.mean_m, 1e-3, 1e5)
        require_between("bale_spread_m", self.bale_spread_m, 0.0, self.mean_m)
        require_between("day_spread_m", self.day_spread_m, 0.0, 0.4 * self.mean_m)
        require_between("break_share", self.break_share, 0.0, 1.0)
        require_between("break_m", self.break_m, 0.0, 1000.0)

    def total(self, bales: int) -> tuple[float, float]:
        """Mean and variance of the metres for so many bales; breaks come as a Poisson stream."""
        mean_m = bales * (self.mean_m + self.break_share * self.break_m)
        variance = bales * self.bale_spread_m**2 + (bales * self.day_spread_m) ** 2
        return mean_m, variance + bales * self.break_share * self.break_m**2


@dataclass(frozen=True)
class Stock:
    """Film at hand.

    left_m: on each dispenser's roll now, rest included, 0 for an empty one; roll: what is loaded
    next; roll_spread_m: standard deviation of a new roll's length.
    """

    left_m: tuple[float, ...]
    roll: RollBought
    roll_spread_m: float = 0.0

    def __post_init__(self) -> None:
        require_count("dispensers", len(self.left_m), 1, 2)
        for left_m in self.left_m:
            require_between("left_m", left_m, 0.0, 20_000.0)
        require_between("roll_spread_m", self.roll_spread_m, 0.0, 0.2 * self.roll.film.roll_m)

    def usable_m(self, dispenser: int) -> float:
        """Metres that the roll on this dispenser still lays."""
        return max(0.0, self.left_m[dispenser] - self.roll.rest_m)


@dataclass(frozen=True)
class Loading:
    """rolls: new rolls to load, on top of what is on the machine; each: for each dispenser;
    chance_share: the chance that each of them is enough on its own, the lowest of them;
    on_average: new rolls begun for the mean use, which is too few every other day.
    """

    rolls: int
    each: tuple[int, ...]
    chance_share: float
    on_average: int


def use_spread(
    bale: Bale,
    turns: float,
    stretch_frac: float,
    diameter_spread_m: float = 0.0,
    stretch_spread_frac: float = 0.0,
) -> UseSpread:
    """Metres of one dispenser for a bale, from how bales and stretch vary.

    turns: of this dispenser; diameter_spread_m: from bale to bale; stretch_spread_frac: how well
    the day's stretch is known. Breaks are added by the caller. Source key: `geometry`.
    """
    require_between("turns", turns, 0.5, 20_000.0)
    require_between("stretch_frac", stretch_frac, 0.0, 2.0)
    require_between("diameter_spread_m", diameter_spread_m, 0.0, 0.5)
    require_between("stretch_spread_frac", stretch_spread_frac, 0.0, 0.5)
    mean_m = turns * film_path_m(bale) / (1.0 + stretch_frac)
    return UseSpread(
        mean_m=mean_m,
        bale_spread_m=2.0 * turns * diameter_spread_m / (1.0 + stretch_frac),
        day_spread_m=mean_m * stretch_spread_frac / (1.0 + stretch_frac),
    )


def rolls_to_load(
    uses: tuple[UseSpread, ...], stock: Stock, bales: int, assurance_share: float = 0.95
) -> Loading:
    """New rolls for `bales` bales, so that film is enough with the wanted chance.

    uses: one for each dispenser; bales: 1 to 100,000; assurance_share: 0.5 to 0.999. Both rolls go
    round the same bales, so they run long together, and each gets the whole assurance. Raises
    BadInput where rolls and dispensers do not match or 10,000 rolls are not enough.
    Source keys: `geometry`, `label`, `given`.
    """
    require_count("bales", bales, 1, 100_000)
    require_between("assurance_share", assurance_share, 0.5, 0.999)
    if len(uses) != len(stock.left_m):
        raise BadInput(
            Fault(
                place="left_m",
                need=f"what is left for each of {len(uses)} dispensers",
                given=repr(stock.left_m),
                cure="Give one number for each dispenser; 0 for an empty one.",
            )
        )
    each = tuple(
        _rolls(use, stock, place, (bales, assurance_share)) for place, use in enumerate(uses)
    )
    chances = [
        chance_enough(use, stock, place, (bales, rolls))
        for place, (use, rolls) in enumerate(zip(uses, each, strict=True))
    ]
    return Loading(
        rolls=sum(each),
        each=each,
        chance_share=min(chances),
        on_average=sum(_rolls(use, stock, place, (bales, 0.5)) for place, use in enumerate(uses)),
    )


def chance_enough(use: UseSpread, stock: Stock, dispenser: int, plan: tuple[int, int]) -> float:
    """The chance that what is left and some new rolls last one dispenser for some bales.

    dispenser: 0 or 1; plan: (bales, new rolls).
    """
    bales, rolls = plan
    mean_m, variance = use.total(bales)
    have_m = stock.usable_m(dispenser) + rolls * stock.roll.usable_m
    variance += rolls * stock.roll_spread_m**2
    if variance == 0.0:
        return float(have_m >= mean_m - 1e-9)
    return float(ndtr((have_m - mean_m) / math.sqrt(variance)))


def _rolls(use: UseSpread, stock: Stock, dispenser: int, plan: tuple[int, float]) -> int:
    bales, assurance_share = plan
    for rolls in range(_MOST_ROLLS + 1):
        if chance_enough(use, stock, dispenser, (bales, rolls)) >= assurance_share:
            return rolls
    raise BadInput(
        Fault(
            "bales",
            f"a job of {_MOST_ROLLS:,} rolls or fewer, and a spread that rolls can answer",
            f"{bales}",
            "Give fewer bales, or check the metres.",
        )
    )
