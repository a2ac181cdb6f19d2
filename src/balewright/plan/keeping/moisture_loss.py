"""What moisture does: fermentation, juice that runs out, and the ends where nobody gives a loss."""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Final

from balewright.plan.keeping.trials import WELL_MADE_LOSS
from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval

#: Fermentation is over in 6 to 8 weeks; by the middle of it 95 % of its loss is made (`assumed`).
FERMENTED_MONTHS: Final = 7.0 * 7.0 / 30.4375
_AT_THE_END: Final = 3.0
#: A textbook's limits: fermentation costs no more than 5 %; juice little up to 70 % moisture and
#: as much as 10 % at 85 %.
MOST_FERMENTED_FRAC: Final = 0.05
_LITTLE_JUICE_FRAC: Final = 0.70
_MUCH_JUICE_FRAC: Final = 0.85
_JUICE_LOST_FRAC: Final = 0.10


class MoistureDoubt(StrEnum):
    """Moisture at which a source warns of a loss that it does not put a number to."""

    TOO_DRY = "poor fermentation"
    CLOSTRIDIA = "clostridia"


def fermented_share(months: float) -> float:
    """Share of the fermentation loss made after so many months (0 to 48); 0 at the start."""
    require_between("months", months, 0.0, 48.0)
    return 1.0 - math.exp(-_AT_THE_END * months / FERMENTED_MONTHS)


def fermentation_loss(moisture_frac: float) -> Interval:
    """Share of dry matter a well made, tight bale loses to fermentation.

    moisture_frac: wet basis, 0.05 to 0.9. A line through two published means, kept between
    nothing and 5 %. Source keys: `shinners-2009`, `iasri-silage`.
    """
    require_between("moisture_frac", moisture_frac, 0.05, 0.9)
    (dry, dry_frac), (wet, wet_frac) = WELL_MADE_LOSS
    line = dry_frac + (moisture_frac - dry) * (wet_frac - dry_frac) / (wet - dry)
    best = min(MOST_FERMENTED_FRAC, max(0.0, line))
    return Interval(min(best, dry_frac), best, MOST_FERMENTED_FRAC)


def juice_loss(moisture_frac: float) -> Interval:
    """Share of dry matter that runs out as juice; moisture wet basis, 0.05 to 0.9.

    Source key: `iasri-silage` ("as much as 10 %" at 85 %: its high end).
    """
    require_between("moisture_frac", moisture_frac, 0.05, 0.9)
    steep = _JUICE_LOST_FRAC / (_MUCH_JUICE_FRAC - _LITTLE_JUICE_FRAC)
    high = max(0.0, moisture_frac - _LITTLE_JUICE_FRAC) * steep
    return Interval(0.0, high / 2.0, high)


def moisture_doubts(moisture_frac: float) -> tuple[MoistureDoubt, ...]:
    """Losses that sources warn of at this moisture without a number; wet basis, 0.05 to 0.9.

    Source keys: `west-virginia-wrap` (25 to 40 %), `kentucky-botulism` (from 67 %).
    """
    require_between("moisture_frac", moisture_frac, 0.05, 0.9)
    if moisture_frac < 0.40:
        return (MoistureDoubt.TOO_DRY,)
    return (MoistureDoubt.CLOSTRIDIA,) if moisture_frac >= 0.67 else ()
