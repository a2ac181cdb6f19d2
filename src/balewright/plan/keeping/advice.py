"""How many layers each source advises, side by side: they do not agree."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from balewright.quantities.checks import require_between
from balewright.quantities.si import M_PER_INCH

_MIL_M: Final = 1e-3 * M_PER_INCH
_WISCONSIN_MILS: Final = 6.0
_LONG_MONTHS: Final = 9.0
_SHORT_MONTHS: Final = 3.0


@dataclass(frozen=True)
class LayerAdvice:
    """What one source asks for: at least so many, and the most it names."""

    source: str
    least_layers: int
    most_layers: int


def advised_layers(months: float, roll_film_m: float) -> tuple[LayerAdvice, ...]:
    """Every source's advice for a stay.

    months: 0 to 48; roll_film_m: thickness of the film on the roll, 5e-6 to 100e-6 (one source
    asks for a total thickness). Raises BadInput outside. Source keys: those named.
    """
    require_between("months", months, 0.0, 48.0)
    require_between("roll_film_m", roll_film_m, 5e-6, 100e-6)
    long = 6 if months >= _LONG_MONTHS else 4
    mils = math.ceil(_WISCONSIN_MILS * _MIL_M / roll_film_m - 0.15)  # 25 um is sold as 1 mil
    short = (LayerAdvice("itokawa-1995", 4, 4),) if months <= _SHORT_MONTHS else ()
    return (
        *short,
        LayerAdvice("uk-baleage-q14", 4, 4),
        LayerAdvice("teagasc-tips", long, long),
        LayerAdvice("wisconsin-square-bales", mils, mils),
        LayerAdvice("en-14932", 6, 6),
        LayerAdvice("agroscope-2000", 6, 6),
        LayerAdvice("penn-state-baleage", 6, 8),
        LayerAdvice("shinners-press", 6, 7),
        LayerAdvice("muller-2011", 6, 8),
    )
