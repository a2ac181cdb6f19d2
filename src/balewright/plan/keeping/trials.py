"""What published storage trials saw, as values: losses of dry matter, and mould on the surface.

Only what stands in the sources is a finding here. What a source does not say and a comparison
needs (which treatment an end of a range belongs to, how long, which climate) is our reading; each
entry says so in `reading`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from balewright.plan.film.strip import Bale
from balewright.plan.keeping.climate import COLD_WINTER, COOL_MOIST, WARM_DRY, Stay
from balewright.plan.keeping.oxygen import Cover
from balewright.quantities.interval import Interval

#: One layer of 25 um film as a wrapper lays it at 70 % stretch, 18.5 um; and the bale that the
#: trials' losses are worked out for. Neither stands in the sources: `assumed`.
TRIAL_LAYER_M: Final = 18.5e-6
TRIAL_BALE: Final = Bale(diameter_m=1.2, length_m=1.2)
TRIAL_DRY_MATTER_KG_M3: Final = 180.0

_ITALIAN: Final = Stay(WARM_DRY, start_month=6, months=14.0)
_ITALIAN_420_D: Final = Stay(WARM_DRY, start_month=6, months=420.0 / 30.4375)
_IRISH_295_D: Final = Stay(COOL_MOIST, start_month=6, months=295.0 / 30.4375)
_IRISH_7: Final = Stay(COOL_MOIST, start_month=6, months=7.0)
_IRISH_18: Final = Stay(COOL_MOIST, start_month=6, months=18.0)
_JAPANESE_11: Final = Stay(COLD_WINTER, start_month=6, months=11.0)


@dataclass(frozen=True)
class LossSeen:
    """A storage loss of dry matter: source, layers, film, stay, loss, and what is our reading."""

    source: str
    layers: int
    barrier_ratio: float
    stay: Stay
    loss_frac: float
    reading: str

    @property
    def cover(self) -> Cover:
        """The film of this treatment, as laid."""
        return Cover(TRIAL_LAYER_M, self.barrier_ratio)


class Mould(StrEnum):
    """What was seen on the surface."""

    CLEAN = "clean"
    SOME = "some"
    MOULDY = "mouldy"


@dataclass(frozen=True)
class MouldSeen:
    """Mould after a stay: source, layers, film, stay, what was seen, share covered if given."""

    source: str
    layers: int
    barrier_ratio: float
    stay: Stay
    seen: Mould
    cover_frac: Interval | None = None

    @property
    def cover(self) -> Cover:
        """The film of this treatment, as laid."""
        return Cover(TRIAL_LAYER_M, self.barrier_ratio)


#: The ends of the published range are read as its plainest and its tightest cover; the means of
#: the survey of ten comparisons as six layers against four, as in the trials that name layers.
#: Some of those ten may be the same trials.
LOSSES_SEEN: Final = (
    LossSeen("borreani-2008", 2, 1.0, _ITALIAN, 0.123, "most of the range: two plain layers"),
    LossSeen("borreani-2008", 8, 20.0, _ITALIAN, 0.050, "least of the range: eight barrier layers"),
    LossSeen("wilkinson-2014", 6, 1.0, _ITALIAN, 0.0768, "mean of plain film: six layers"),
    LossSeen("wilkinson-2014", 4, 20.0, _ITALIAN, 0.0456, "mean of barrier film: four layers"),
)

#: Mould in cool places and in cold winters.
COOL_MOULD_SEEN: Final = (
    MouldSeen("keles-2009", 2, 1.0, _IRISH_295_D, Mould.MOULDY),
    MouldSeen("keles-2009", 4, 1.0, _IRISH_295_D, Mould.CLEAN),
    MouldSeen("keles-2009", 6, 1.0, _IRISH_295_D, Mould.CLEAN),
    MouldSeen("mceniry-2011", 2, 1.0, _IRISH_7, Mould.MOULDY),
    MouldSeen("mceniry-2011", 4, 1.0, _IRISH_7, Mould.CLEAN),
    MouldSeen("mceniry-2011", 4, 1.0, _IRISH_18, Mould.SOME),
    MouldSeen("nonaka-1999", 2, 1.0, _JAPANESE_11, Mould.MOULDY),
    MouldSeen("nonaka-1999", 4, 1.0, _JAPANESE_11, Mould.CLEAN),
    MouldSeen("nonaka-1999", 6, 1.0, _JAPANESE_11, Mould.CLEAN),
)
#: Mould on lucerne baled dry in a warm place; middle of "20 to more than 50 %" is our reading.
WARM_MOULD_SEEN: Final = (
    MouldSeen("borreani-2010", 6, 1.0, _ITALIAN_420_D, Mould.MOULDY, Interval(0.20, 0.35, 0.50)),
    MouldSeen("borreani-2010", 4, 18.0, _ITALIAN_420_D, Mould.SOME, Interval(0.0, 0.075, 0.15)),
    MouldSeen("borreani-2010", 4, 370.0, _ITALIAN_420_D, Mould.SOME, Interval(0.0, 0.035, 0.07)),
    MouldSeen("borreani-2008", 4, 20.0, _ITALIAN, Mould.SOME, Interval(0.0, 0.075, 0.15)),
)
MOULD_SEEN: Final = COOL_MOULD_SEEN + WARM_MOULD_SEEN

#: Wrapped lucerne in the USA: mean loss of dry matter at two moistures (middle of the range
#: given), film and stay not told.
WELL_MADE_LOSS: Final = ((0.35, 0.023), (0.475, 0.035))
