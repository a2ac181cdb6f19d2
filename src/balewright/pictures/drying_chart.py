"""A sample in the microwave: its weight run by run, and the dry matter it comes down to."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

from balewright.pictures.plot import (
    BLUE,
    GREEN,
    ORANGE,
    Axis,
    Plot,
    Points,
    picture,
    words,
)
from balewright.plan.keeping.microwave import Drying, NextStep, Weighing
from balewright.quantities.reason import Reason, because

Say = Callable[[Reason], str]

_HIGH: Final = 250.0
_STEPS: Final = {
    NextStep.HEAT: "heat",
    NextStep.STOP: "stop",
    NextStep.STOP_CHARRED: "charred",
    NextStep.START_AGAIN: "again",
}


def draw_drying_chart(weighings: Sequence[Weighing], drying: Drying, say: Say) -> str:
    """The weighings as per cent of the wet sample, with the answer as a band, as an SVG.

    weighings and drying: what `follow_drying` was given and gave; say: a reason
    (`dry_matter.chart.*`) to a sentence.
    """
    wet_g = weighings[0].mass_g
    at = [(one.minutes, one.mass_g / wet_g * 100.0) for one in weighings]
    step = say(Reason(f"dry_matter.chart.{_STEPS[drying.step]}"))
    title = say(because("dry_matter.chart.title", step_said=step))
    last = max(at[-1][0], 4.0)
    x = Axis(0.0, last * 1.1, say(because("dry_matter.chart.x")))
    y = Axis(0.0, 114.0, say(because("dry_matter.chart.y")))
    plot = Plot(x, y, title, _HIGH)
    answer = drying.dry_matter_frac
    parts = [plot.frame()]
    told_answer = say(because("dry_matter.chart.open"))
    if answer is not None:
        low, high = answer.low * 100.0, answer.high * 100.0
        ends = (0.0, x.high)
        parts.append(plot.band([(end, low) for end in ends], [(end, high) for end in ends], GREEN))
        said = f"{answer.best * 100.0:.1f}\N{NO-BREAK SPACE}% ({low:.1f} to {high:.1f})"
        told_answer = say(because("dry_matter.chart.answer", answer_said=said))
        across, up = plot.at(0.0, low)
        parts.append(words(across + 6.0, up + 16.0, told_answer, size=12, weight="600"))
    parts.append(plot.line(at, BLUE))
    for (minutes, share), one in zip(at, weighings, strict=True):
        parts.append(plot.mark(minutes, share, ORANGE if one.charred else BLUE))
    parts += _weights(plot, at, weighings)
    weights = ", ".join(f"{one.mass_g:g}" for one in weighings)
    told = say(because("dry_matter.chart.desc", weights=weights, step=step, answer=told_answer))
    return picture(_HIGH, title, told, *parts)


def _weights(plot: Plot, at: Points, weighings: Sequence[Weighing]) -> list[str]:
    """The weight beside its point: the last always, others where there is room."""
    parts, free = [], math.inf
    for (minutes, share), one in reversed(list(zip(at, weighings, strict=True))):
        across, up = plot.at(minutes, share)
        if across > free:
            continue
        anchor = "end" if math.isinf(free) else "start"
        side = 4.0 if anchor == "end" else 2.0
        said = f"{one.mass_g:g}\N{NO-BREAK SPACE}g"
        parts.append(words(across + side, up - 9.0, said, anchor=anchor))
        free = across - (72.0 if math.isinf(free) else 40.0)
    return parts
