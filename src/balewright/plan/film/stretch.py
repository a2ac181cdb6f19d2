"""The stretch that really happened, worked back from the metres a dispenser drew.

The film laid in a wrap turn is the way round the bale. Metres drawn, stretched by the dispenser
and pulled a little further on the way to the bale, make it:

    turns x path = metres x (1 + stretch) x (1 + tension)

Everything but the metres is known only so well, and that decides how good the answer is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from balewright.plan.film.error_budget import Budget, Part, combine
from balewright.plan.film.strip import Bale, film_path_m
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

#: What four rounded shoulders save of the way, for each metre of their radius: each puts a
#: quarter circle in place of a corner.
_SAVED: Final = 8.0 - 2.0 * math.pi


@dataclass(frozen=True)
class Doubts:
    """How well the other quantities are known: best values and standard uncertainties.

    diameter_spread_m, length_spread_m: of the bale; shoulder_m, shoulder_spread_m: radius of its
    shoulders under film; tension_frac, tension_spread_frac: how much further the film is pulled
    between dispenser and bale; counter_spread_frac: what all counters of a machine share (the
    wheel's size); own_counter_spread_frac, own_tail_spread_turns: what each dispenser has to
    itself (slip of its wheel; where its film began and ended). All `assumed`; give your own.
    """

    diameter_spread_m: float = 0.02
    length_spread_m: float = 0.01
    shoulder_m: float = 0.05
    shoulder_spread_m: float = 0.035
    tension_frac: float = 0.01
    tension_spread_frac: float = 0.013
    counter_spread_frac: float = 0.01
    own_counter_spread_frac: float = 0.0035
    own_tail_spread_turns: float = 0.03

    def __post_init__(self) -> None:
        require_between("diameter_spread_m", self.diameter_spread_m, 0.0, 0.5)
        require_between("length_spread_m", self.length_spread_m, 0.0, 0.5)
        require_between("shoulder_m", self.shoulder_m, 0.0, 0.5)
        require_between("shoulder_spread_m", self.shoulder_spread_m, 0.0, 0.5)
        require_between("tension_frac", self.tension_frac, -0.2, 0.5)
        for name in ("tension", "counter", "own_counter"):
            spread = getattr(self, f"{name}_spread_frac")
            require_between(f"{name}_spread_frac", spread, 0.0, 0.5)
        require_between("own_tail_spread_turns", self.own_tail_spread_turns, 0.0, 5.0)


@dataclass(frozen=True)
class Drawn:
    """What the counters said.

    turns: wrap turns a bale, of each dispenser, above 0; metres_m: metres a bale off each roll, as
    counted before the stretch; bales: how many bales that is the mean of.
    """

    bale: Bale
    turns: tuple[float, ...]
    metres_m: tuple[float, ...]
    bales: int = 1

    def __post_init__(self) -> None:
        require_count("dispensers", len(self.turns), 1, 2)
        require_count("bales", self.bales, 1, 1_000_000)
        if len(self.metres_m) != len(self.turns):
            raise BadInput(
                Fault(
                    place="metres_m",
                    need=f"metres for each of {len(self.turns)} dispensers",
                    given=repr(self.metres_m),
                    cure="Give one number for each dispenser.",
                )
            )
        for turns, metres_m in zip(self.turns, self.metres_m, strict=True):
            require_between("turns", turns, 0.5, 20_000.0)
            require_between("metres_m", metres_m, 0.1, 1e6)


@dataclass(frozen=True)
class StretchFound:
    """Stretch of each dispenser, and of one against the other.

    each_frac: stretch with its interval at 95 %; ratio: (1 + stretch of the first) / (1 + stretch
    of the second), None for one dispenser; gap_frac: the same as a difference of stretch, on the
    scale of their mean; budgets: what the first dispenser's and the gap's errors are made of.
    """

    each_frac: tuple[Interval, ...]
    ratio: Interval | None
    gap_frac: Interval | None
    budget: Budget
    gap_budget: Budget | None


def rounded_path_m(bale: Bale, shoulder_m: float) -> float:
    """Way of the film once round a bale with rounded shoulders.

    shoulder_m: their radius, 0 to half the smaller side. Source key: `geometry`.
    """
    require_between("shoulder_m", shoulder_m, 0.0, min(bale.diameter_m, bale.length_m) / 2.0)
    return film_path_m(bale) - _SAVED * shoulder_m


def metres_drawn_m(
    bale: Bale, turns: float, stretch_frac: float, shoulder_m: float, tension_frac: float
) -> float:
    """Metres off one roll: the forward model, before the stretch. Source key: `geometry`.

    turns: wrap turns; stretch_frac: of the dispenser, 0 to 2; tension_frac: further pull.
    """
    require_between("turns", turns, 0.0, 20_000.0)
    require_between("stretch_frac", stretch_frac, 0.0, 2.0)
    require_between("tension_frac", tension_frac, -0.2, 0.5)
    laid_m = turns * rounded_path_m(bale, shoulder_m)
    return laid_m / ((1.0 + stretch_frac) * (1.0 + tension_frac))


def stretch_from_metres(drawn: Drawn, doubts: Doubts | None = None) -> StretchFound:
    """Stretch of each dispenser with its honest error.

    With the assumed doubts one bale gives it to about 8 points, and one dispenser against the
    other to about 2: bale, shoulders, tension and wheel are the same for both and drop out. More
    bales help only against what differs from bale to bale. Metres counted after the stretch do not
    hold it (`tension_from_metres`). Source keys: `geometry`, `jcgm-100`, `assumed`.
    """
    known = doubts or Doubts()
    rolls = range(len(drawn.turns))
    parts = _parts(drawn, known)
    each = [combine(lambda at, roll=roll: _stretch(drawn, at, roll), parts) for roll in rolls]  # type: ignore[misc]
    gap = ratio = None
    if len(drawn.turns) == 2:
        mean = 1.0 + math.fsum(budget.value for budget in each) / 2.0

        def quotient(at: Mapping[str, float]) -> float:
            return (1.0 + _stretch(drawn, at, 0)) / (1.0 + _stretch(drawn, at, 1))

        ratio = combine(quotient, parts)
        gap = combine(lambda at: mean * math.log(quotient(at)), parts)
    return StretchFound(
        each_frac=tuple(budget.interval() for budget in each),
        ratio=None if ratio is None else ratio.interval(),
        gap_frac=None if gap is None else gap.interval(),
        budget=each[0],
        gap_budget=gap,
    )


def tension_from_metres(drawn: Drawn, doubts: Doubts | None = None) -> tuple[Interval, ...]:
    """How much further the film was pulled after the stretch, for each dispenser.

    drawn: its metres counted after the stretch, which hold no stretch but do hold this.
    Source keys: `geometry`, `jcgm-100`, `assumed`.
    """
    known = doubts or Doubts()
    parts = [part for part in _parts(drawn, known) if part.name != "tension"]

    def further(at: Mapping[str, float], roll: int) -> float:
        return _stretch(drawn, {**at, "tension": 0.0}, roll)

    rolls = range(len(drawn.turns))
    return tuple(
        combine(lambda at, roll=roll: further(at, roll), parts).interval()  # type: ignore[misc]
        for roll in rolls
    )


def _parts(drawn: Drawn, doubts: Doubts) -> list[Part]:
    """What both dispensers share, then what each has to itself; a tail differs bale by bale."""
    tail_turns = doubts.own_tail_spread_turns / math.sqrt(drawn.bales)
    parts = [
        Part("diameter", drawn.bale.diameter_m, doubts.diameter_spread_m),
        Part("length", drawn.bale.length_m, doubts.length_spread_m),
        Part("shoulder", doubts.shoulder_m, doubts.shoulder_spread_m),
        Part("tension", doubts.tension_frac, doubts.tension_spread_frac),
        Part("counter", 0.0, doubts.counter_spread_frac),
    ]
    for roll in range(len(drawn.turns)):
        parts.append(Part(f"counter {roll + 1}", 0.0, doubts.own_counter_spread_frac))
        parts.append(Part(f"tail {roll + 1}", 0.0, tail_turns))
    return parts


def _stretch(drawn: Drawn, at: Mapping[str, float], roll: int) -> float:
    path_m = 2.0 * (at["diameter"] + at["length"]) - _SAVED * at["shoulder"]
    laid_m = (drawn.turns[roll] + at[f"tail {roll + 1}"]) * path_m
    counted_m = drawn.metres_m[roll] * (1.0 + at["counter"]) * (1.0 + at[f"counter {roll + 1}"])
    return laid_m / (counted_m * (1.0 + at["tension"])) - 1.0
