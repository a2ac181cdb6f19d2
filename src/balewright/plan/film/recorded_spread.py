"""How much a quantity varies, from what was recorded; and how well a few bales can tell."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from balewright.plan.film.spread import Floats, Spread, SpreadShape
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

#: Fewer readings say nothing of a spread: at five the upper end is three times the best value.
FEWEST: Final = 5
_CONFIDENCE: Final = 0.95


@dataclass(frozen=True)
class RecordedSpread:
    """What the readings say.

    readings: how many were known; deviation: standard deviation with its interval of confidence;
    next_bale: how the next bale's value is spread, not knowing the deviation any better.
    """

    readings: int
    deviation: Interval
    next_bale: Spread


def recorded_spread(values: ArrayLike) -> RecordedSpread | None:
    """The spread of recorded values (NaN: unknown); None where fewer than five are known.

    For normal values: deviation from chi-squared; the next value from Student's t with a scale of
    deviation times sqrt(1 + 1/n), wider the fewer there are. What was measured badly counts as
    spread too, so this is rather too wide. Raises BadInput for infinities and values beyond 1e6.
    Source key: `scipy-stats`.
    """
    known = _known("values", values)
    number = len(known)
    if number < FEWEST:
        return None
    freedom = number - 1
    best, deviation = float(known.mean()), float(known.std(ddof=1))
    tail = 0.5 * (1.0 - _CONFIDENCE)
    squares = freedom * deviation**2
    return RecordedSpread(
        readings=number,
        deviation=Interval(
            low=math.sqrt(squares / special.chdtri(freedom, tail)),
            best=deviation,
            high=math.sqrt(squares / special.chdtri(freedom, 1.0 - tail)),
            confidence=_CONFIDENCE,
        ),
        next_bale=Spread(
            SpreadShape.STUDENT, best, deviation * math.sqrt(1.0 + 1.0 / number), freedom
        ),
    )


def stretches_from_metres(
    film_m: ArrayLike, all_turns: ArrayLike, diameter_m: ArrayLike, length_m: float
) -> Floats:
    """Pre-stretch bale by bale from metres off the rolls (NaN where anything is unknown).

    film_m: off all rolls together; all_turns: wrap turns of all dispensers together; diameter_m:
    of each bale, all of one length; length_m: 0.3 to 3. Stretch = turns x 2 (D + L) / metres - 1:
    the film path of the flat model, so a tail or film that gathers at a shoulder shifts all bales
    alike and spoils the middle more than the spread. Source key: `geometry`.
    """
    require_between("length_m", length_m, 0.3, 3.0)
    metres, turns, across = (
        np.asarray(one, dtype=np.float64) for one in (film_m, all_turns, diameter_m)
    )
    if not metres.shape == turns.shape == across.shape:
        raise BadInput(
            Fault(
                place="film_m",
                need="columns of one length",
                given=f"{metres.shape}, {turns.shape}, {across.shape}",
                cure="Give metres, turns and diameter of the same bales.",
            )
        )
    with np.errstate(divide="ignore", invalid="ignore"):
        stretch = turns * 2.0 * (across + length_m) / metres - 1.0
    return np.where((metres > 0.0) & (turns > 0.0) & (across > 0.0), stretch, np.nan)


def _known(name: str, values: ArrayLike) -> Floats:
    column = np.asarray(values, dtype=np.float64)
    known = column[~np.isnan(column)]
    if column.ndim != 1 or not (np.abs(known) <= 1e6).all():
        raise BadInput(
            Fault(
                place=name,
                need="a column of finite numbers, NaN where unknown",
                given=f"shape {column.shape}, up to {np.abs(known).max(initial=0.0):g}",
                cure="Leave out what was not read, and check the unit.",
            )
        )
    return known
