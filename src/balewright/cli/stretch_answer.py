"""What `balewright stretch` found, before it is printed or drawn."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.plan.film.on_bale import BaleTurned
from balewright.plan.film.settle import Limits
from balewright.plan.film.stretch import StretchFound
from balewright.plan.film.two_marks import MarkedStretch, StretchVerdict
from balewright.quantities.interval import Interval


@dataclass(frozen=True)
class Answered:
    """What each way of looking gave; None where it was not asked."""

    limits: Limits | None
    marks: MarkedStretch | None = None
    verdict: StretchVerdict | None = None
    metres: StretchFound | None = None
    tension: tuple[Interval, ...] | None = None
    turned: BaleTurned | None = None
    neck_in: Interval | None = None
    from_width: Interval | None = None
