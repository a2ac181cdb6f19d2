"""A sheet's day in words: what pulls two ways, what to measure first, when a roll ends."""

from __future__ import annotations

from typing import Final

from balewright.plan.sheet.sheet import Conflict, Measure, Sheet
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, because
from balewright.words.say import catalogue, say, say_value

_SHOWN_CHANGES: Final = 6
"""So many ends of one roll are said; further ones are too far off to be planned."""


def conflicts_of(sheet: Sheet, language: str = "en") -> tuple[str, ...]:
    """Each conflict with both sides and what was settled, one paragraph each."""
    return tuple(_conflict(entry, language) for entry in sheet.conflicts)


def measures_of(sheet: Sheet, language: str = "en") -> tuple[str, ...]:
    """What to measure on the first bales, with the limits between which it is in order."""
    return tuple(_measure(entry, language) for entry in sheet.measures)


def rolls_of(sheet: Sheet, language: str = "en") -> tuple[str, ...]:
    """During which bales rolls end, and what to reach when one of two is lost."""
    ends = [_roll(sheet, roll, language) for roll in _rolls(sheet)]
    reaches = [
        say(
            because("day.lost_at", reach_turn=entry.reach_turn, at_turn=entry.at_turn),
            language,
        )
        for entry in sheet.lost_rolls
    ]
    if reaches:
        ends.append(say(because("day.lost", reaches=", ".join(reaches)), language))
    return tuple(ends)


def _conflict(conflict: Conflict, language: str) -> str:
    wants = " ".join(say(reason, language) for reason in conflict.wants)
    settled = say(conflict.settled, language)
    line = say(Reason(f"line.{conflict.line}"), language)
    return say(because("day.conflict", line=line, wants=wants, settled=settled), language)


def _measure(measure: Measure, language: str) -> str:
    name = f"measure.{measure.key}"
    what = catalogue(language).get(name) or say(Reason(f"line.{measure.key}"), language)
    why = say(measure.reason, language)
    if measure.target is None:
        return say(because("day.measure_look", what=what, why=why), language)
    target = say_value(measure.key, measure.target, language)
    if measure.low is None or measure.high is None:
        return say(because("day.measure", what=what, target=target, why=why), language)
    low, high = (say_value(measure.key, end, language) for end in (measure.low, measure.high))
    within = because("day.measure_within", what=what, target=target, low=low, high=high, why=why)
    return say(within, language)


def _rolls(sheet: Sheet) -> tuple[str, ...]:
    return tuple(dict.fromkeys(change.roll for change in sheet.roll_changes))


def _roll(sheet: Sheet, roll: str, language: str) -> str:
    ends = [change.bale for change in sheet.roll_changes if change.roll == roll]
    bales = [_bale(end, language) for end in ends[:_SHOWN_CHANGES]]
    if len(ends) > _SHOWN_CHANGES:
        bales.append(say(Reason("day.and_so_on"), language))
    name = say(Reason("roll." + roll.replace(" ", "_")), language)
    return say(because("day.roll", roll=name, bales=", ".join(bales)), language)


def _bale(end: Interval, language: str) -> str:
    low, best, high = (round(number) for number in (end.low, end.best, end.high))
    if low == high:
        return str(best)
    return say(because("day.bale_within", best=best, low=low, high=high), language)
