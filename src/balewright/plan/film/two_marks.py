"""The stretch from two marks on the film: so far apart on the roll, so far apart on the bale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from balewright.plan.film.error_budget import Budget, Part, combine
from balewright.plan.film.readings import Readings, read_again
from balewright.plan.film.settle import Limits, Shown, judge, readings_to_settle
from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval

#: Standard uncertainty of a length read with a tape on a bale, where nobody repeated it: `assumed`.
TAPE_M: Final = 0.001


@dataclass(frozen=True)
class Marks:
    """A two-mark test. apart_m: distance of the marks on the roll, 0.02 to 2; on_bale_m: readings
    of their distance on the bale; apart_spread_m: how well they were set, the same for every
    reading, 0 to 0.05.
    """

    apart_m: float
    on_bale_m: tuple[float, ...]
    apart_spread_m: float = 0.0005

    def __post_init__(self) -> None:
        require_between("apart_m", self.apart_m, 0.02, 2.0)
        require_between("apart_spread_m", self.apart_spread_m, 0.0, 0.05)


@dataclass(frozen=True)
class MarkedStretch:
    """What the marks say.

    readings: of the stretch as a fraction; values_frac: each of them; stretch_frac: its interval
    at 95 %, with the error of setting the marks in it; None for a single reading; budget: what the
    error is made of.
    """

    readings: Readings
    values_frac: tuple[float, ...]
    stretch_frac: Interval | None
    budget: Budget


@dataclass(frozen=True)
class StretchVerdict:
    """shown: inside, below or above the limits, or not shown yet; more_marks: how many more
    readings would settle it at 80 % assurance, None where it is settled or more would not do it;
    settled_by_more: whether more readings can settle it.
    """

    shown: Shown
    more_marks: int | None
    settled_by_more: bool


def read_marks(marks: Marks) -> MarkedStretch:
    """The stretch from repeated readings, with Student's interval.

    Raises BadInput for readings that are no stretched film (shorter than the marks were apart, or
    over three times as long). Source keys: `jcgm-100`, `scipy-stats`.
    """
    lengths = read_again("on_bale_m", marks.on_bale_m, 0.9 * marks.apart_m, 3.0 * marks.apart_m)
    parts = (
        Part("marks on the roll", marks.apart_m, marks.apart_spread_m),
        lengths.part("marks on the bale", TAPE_M),
    )

    def stretch(at: Mapping[str, float]) -> float:
        return at["marks on the bale"] / at["marks on the roll"] - 1.0

    budget = combine(stretch, parts)
    spread = None if lengths.spread is None else lengths.spread / marks.apart_m
    return MarkedStretch(
        readings=Readings(lengths.count, lengths.mean / marks.apart_m - 1.0, spread),
        values_frac=tuple(one / marks.apart_m - 1.0 for one in marks.on_bale_m),
        stretch_frac=None if lengths.spread is None else budget.interval(),
        budget=budget,
    )


def judge_marks(found: MarkedStretch, limits: Limits) -> StretchVerdict:
    """Whether the stretch is shown in the limits, out of them, or not yet, and what would tell.

    Source keys: `label`, `powertost`.
    """
    shown = judge(found.stretch_frac, limits)
    if shown is not Shown.NOT_YET or found.readings.spread is None:
        return StretchVerdict(shown, None, shown is Shown.NOT_YET)
    total = readings_to_settle(found.readings, limits)
    more = None if total is None else max(1, total - found.readings.count)
    return StretchVerdict(shown, more, total is not None)


def label_limits(stretch_frac: float, give_or_take_frac: float) -> Limits:
    """Limits from a label: 0.70 and 0.03 are 67 to 73 %."""
    require_between("stretch_frac", stretch_frac, 0.0, 2.0)
    require_between("give_or_take_frac", give_or_take_frac, 0.001, 0.5)
    return Limits(stretch_frac - give_or_take_frac, stretch_frac + give_or_take_frac)
