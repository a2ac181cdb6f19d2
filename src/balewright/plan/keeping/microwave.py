"""Dry matter by microwave: dry, weigh, dry again, until a rule says that it is dry.

Fire first: a dry sample burns. Keep a cup of water in the oven, stay beside it, and never heat a
sample that has begun to char. The rules of the sources differ, and so may their answers: each is
kept under its own name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

CAUTION_FIRE: Final = "dry_matter.caution.fire"
CAUTION_WATER: Final = "dry_matter.caution.water"
MOST_WEIGHINGS: Final = 100
_LEAST_WEIGHINGS: Final = 3
"""Wet, after the first run, after one more: both rules compare two runs."""
_USABLE_FRAC: Final = 0.03
"""A charred sample is of use where the last good run took no more than this share of it (ours,
after the 3 points that `victoria-microwave` allows)."""


@dataclass(frozen=True)
class StopRule:
    """When a sample counts as dry.

    stop_loss_frac: a run that loses less than this share of the wet sample ends it; 0 means that
    the weight must stay as it was, within the scale's step; first_minutes, then_minutes: the
    first run and the ones after it; source: bibliography key.
    """

    first_minutes: float
    then_minutes: float
    stop_loss_frac: float
    source: str


#: Stop rules by name. A gram of a 100 g sample is 0.01 of it.
STOP_RULES: Final = MappingProxyType(
    {
        "one-gram": StopRule(3.0, 1.0, 0.01, "saskatchewan-microwave"),
        "no-change": StopRule(2.0, 1.0, 0.0, "kentucky-microwave"),
    }
)


@dataclass(frozen=True)
class Weighing:
    """One weighing. minutes: heated so far, 0 for the wet sample; mass_g: sample without plate;
    charred: whether it had begun to char.
    """

    minutes: float
    mass_g: float
    charred: bool = False


class NextStep(StrEnum):
    """What to do after the last weighing."""

    HEAT = "heat again"
    STOP = "stop: it is dry"
    STOP_CHARRED = "stop: it charred; the weight before counts"
    START_AGAIN = "start again: it charred before it was dry"


@dataclass(frozen=True)
class Drying:
    """Where a sample stands.

    step: what to do; heat_minutes: for how long, None when done; dry_matter_frac: the answer with
    what the scale and the last drop of water leave open, None until it stops; last_loss_g: what
    the last run took, None before the first; at_most_frac: dry matter cannot be above this.
    """

    step: NextStep
    heat_minutes: float | None
    dry_matter_frac: Interval | None
    last_loss_g: float | None
    at_most_frac: float
    source: str


def follow_drying(
    weighings: Sequence[Weighing], rule: StopRule = STOP_RULES["one-gram"], scale_g: float = 1.0
) -> Drying:
    """What to do next with a sample in the microwave, or its dry matter.

    weighings: from the wet sample on, in order, 1..100; rule: when it counts as dry; scale_g: the
    scale's step (0.001..10 g). A sample that charred counts by the weight before, if that was
    nearly dry. The interval's low end takes off as much again as the last run took (a run takes
    half of the water that is left, or more: ours), and both ends what the scale's step can hide.
    Raises BadInput for weighings that cannot be. Valid for 20 g and more of forage, chopped short.
    Source key: that of the rule.
    """
    require_between("scale_g", scale_g, 0.001, 10.0)
    _check(weighings, scale_g)
    wet, done = weighings[0], [one for one in weighings if not one.charred]
    at_most_frac = min(1.0, (done[-1].mass_g + scale_g / 2.0) / wet.mass_g)
    if len(weighings) == 1:
        return Drying(NextStep.HEAT, rule.first_minutes, None, None, at_most_frac, rule.source)
    loss_g = None if len(done) == 1 else max(done[-2].mass_g - done[-1].mass_g, 0.0)
    dry = (
        loss_g is not None
        and len(done) >= _LEAST_WEIGHINGS
        and _is_dry(loss_g, wet.mass_g, rule, scale_g)
    )
    answer = None if loss_g is None else _answer(done, loss_g, scale_g)
    if weighings[-1].charred:
        if loss_g is None or loss_g > _USABLE_FRAC * wet.mass_g:
            return Drying(NextStep.START_AGAIN, None, None, loss_g, at_most_frac, rule.source)
        return Drying(NextStep.STOP_CHARRED, None, answer, loss_g, at_most_frac, rule.source)
    if dry:
        return Drying(NextStep.STOP, None, answer, loss_g, at_most_frac, rule.source)
    return Drying(NextStep.HEAT, rule.then_minutes, None, loss_g, at_most_frac, rule.source)


def _is_dry(loss_g: float, wet_g: float, rule: StopRule, scale_g: float) -> bool:
    if rule.stop_loss_frac == 0.0:
        return loss_g < scale_g / 2.0
    return loss_g < rule.stop_loss_frac * wet_g


def _answer(done: Sequence[Weighing], loss_g: float, scale_g: float) -> Interval:
    wet_g, last_g, half_g = done[0].mass_g, done[-1].mass_g, scale_g / 2.0
    low = max(last_g - loss_g - 3.0 * half_g, 0.0) / (wet_g + half_g)
    high = min((last_g + half_g) / (wet_g - half_g), 1.0)
    best = last_g / wet_g
    return Interval(min(low, best), best, max(high, best))


def _check(weighings: Sequence[Weighing], scale_g: float) -> None:
    if not 1 <= len(weighings) <= MOST_WEIGHINGS:
        need = f"1 to {MOST_WEIGHINGS} weighings"
        raise BadInput(Fault("weighings", need, f"{len(weighings)}", "Begin with the wet sample."))
    for place, one in enumerate(weighings):
        require_between("minutes", one.minutes, 0.0, 600.0)
        require_between("mass_g", one.mass_g, 0.0, 10_000.0)
        if place and one.minutes <= weighings[place - 1].minutes:
            need = "minutes that grow from weighing to weighing"
            raise BadInput(Fault("minutes", need, f"{one.minutes:g}", "Count all heating so far."))
        if place and weighings[place - 1].charred and not one.charred:
            need = "charred, as the weighing before it"
            raise BadInput(Fault("charred", need, "not charred", "Char does not go away."))
        if place and one.mass_g > weighings[place - 1].mass_g + scale_g:
            before_g = weighings[place - 1].mass_g
            raise BadInput(
                Fault(
                    "mass_g",
                    f"no more than the {before_g:g} g before it",
                    f"{one.mass_g:g}",
                    "A sample only gets lighter: weigh again, without the plate.",
                )
            )
    if weighings[0].minutes != 0.0 or weighings[0].charred:
        need = "the wet sample first, at 0 minutes"
        raise BadInput(Fault("weighings", need, f"{weighings[0].minutes:g} minutes", "Add it."))
    if weighings[0].mass_g < max(20.0, 10.0 * scale_g):
        need = f"a wet sample of {max(20.0, 10.0 * scale_g):g} g or more"
        raise BadInput(Fault("mass_g", need, f"{weighings[0].mass_g:g}", "Take about 100 g."))
