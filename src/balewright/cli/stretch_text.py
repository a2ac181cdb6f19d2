"""The answer of `balewright stretch` in sentences."""

from __future__ import annotations

from typing import Final

from balewright.cli.stretch_answer import Answered
from balewright.plan.film.settle import Shown
from balewright.plan.film.stretch import StretchFound
from balewright.plan.film.strip import DEFAULT_NECK_IN
from balewright.quantities.interval import Interval
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import M_PER_MM
from balewright.words.say import say

_POINTS: Final = 100.0
_MOST_DRAWN: Final = 1.5
"""Film breaks before that in work (assumed): the question is then what was counted."""
#: parts of the error budget -> their words; what is left belongs to the other dispenser.
_PARTS: Final = {
    "diameter": "diameter",
    "length": "length",
    "shoulder": "shoulder",
    "tension": "tension",
    "counter": "counter",
    "counter 1": "own_counter",
    "tail 1": "own_tail",
}


def print_answer(answered: Answered) -> None:
    """Print what each way of looking gave; the caution first."""
    print(_say("caution"))
    _print_marks(answered)
    if answered.metres is not None:
        _print_metres(answered.metres)
    for place, one in enumerate(answered.tension or ()):
        print(_say("tension", roll=place + 1, **_ends(one)))
    if answered.turned is not None:
        turned = answered.turned
        print(
            _say(
                "turned",
                width_mm=turned.width_m.best / M_PER_MM,
                overlap_frac=turned.overlap_frac.best,
                advance_mm=turned.advance_m.best / M_PER_MM,
                turn_said=f"{turned.bale_turn.best:.4f}",
                low_said=f"{turned.bale_turn.low:.4f}",
                high_said=f"{turned.bale_turn.high:.4f}",
            )
        )
        if turned.overlap_frac.best < 0.0:
            print(_say("no_overlap"))
    if answered.neck_in is not None:
        neck_in = answered.neck_in
        print(
            _say(
                "neck_in",
                best_said=f"{neck_in.best:.2f}",
                low_said=f"{neck_in.low:.2f}",
                high_said=f"{neck_in.high:.2f}",
                default_said=f"{DEFAULT_NECK_IN:.3f}",
            )
        )
    if answered.from_width is not None:
        print(_say("from_width", **_ends(answered.from_width)))


def _print_marks(answered: Answered) -> None:
    marks, verdict, limits = answered.marks, answered.verdict, answered.limits
    if marks is None:
        return
    if marks.stretch_frac is None:
        print(_say("marks_one", best_frac=round(marks.readings.mean, 6)))
    else:
        print(_say("marks_found", readings=marks.readings.count, **_ends(marks.stretch_frac)))
    if verdict is None or limits is None:
        return
    print(_say(verdict.shown.value, low_frac=limits.low, high_frac=limits.high))
    if verdict.shown is not Shown.NOT_YET:
        return
    if verdict.more_marks is not None:
        print(_say("more", more_marks=verdict.more_marks))
    else:
        print(_say("more_some" if verdict.settled_by_more else "more_never"))


def _print_metres(metres: StretchFound) -> None:
    for place, one in enumerate(metres.each_frac):
        print(_say("metres_found", roll=place + 1, **_ends(one)))
    if any(not 0.0 <= one.best <= _MOST_DRAWN for one in metres.each_frac):
        print(_say("unlikely"))
    shares = sorted(metres.budget.shares, key=lambda part: -part[1])
    said = [
        f"{_say(f'part.{_PARTS[name]}')} {100.0 * share:.0f} %"
        for name, share in shares
        if name in _PARTS and share >= 0.005
    ]
    print(_say("budget", parts_said=", ".join(said)))
    if metres.gap_frac is not None:
        gap = metres.gap_frac
        print(
            _say(
                "gap",
                gap_said=f"{_POINTS * gap.best:+.1f}",
                low_said=f"{_POINTS * gap.low:+.1f}",
                high_said=f"{_POINTS * gap.high:+.1f}",
            )
        )


def _ends(found: Interval) -> dict[str, ReasonValue]:
    return {
        "best_frac": round(found.best, 6),
        "low_frac": round(found.low, 6),
        "high_frac": round(found.high, 6),
    }


def _say(key: str, **values: ReasonValue) -> str:
    return say(because(f"stretch.{key}", **values))
