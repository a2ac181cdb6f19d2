"""What falls due on a machine, at which bale and in how many days at its recent pace."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from balewright.plan.machine import Machine
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, because
from balewright.work.usage import ItemUsage, Usage, service_items

SOON_DAYS: Final = 7.0
FARTHEST_DAYS: Final = 400.0
"""A pace that would take longer than a season is no forecast: the end is held here."""


class DueState(StrEnum):
    """How urgent an item is, most urgent first."""

    OVERDUE = "overdue"
    SOON = "soon"
    UNKNOWN = "unknown"
    LATER = "later"


@dataclass(frozen=True)
class WorkDue:
    """One item. caution: key of the words that come before the work; since, left, every: bales or
    hours as `unit` says (left < 0: overdue by so many); due_at_bale: the number at which it falls
    due; due_days: days from now at the recent pace (earliest, likely, latest), None where no pace
    is known; is_known: whether an event tells when it was last done.
    """

    machine: str
    item: str
    state: DueState
    unit: str
    every: float
    since: float
    left: float
    due_at_bale: int | None
    due_days: Interval | None
    minutes: float
    caution: str
    is_known: bool
    words: Reason


_RANK: Final = {state: place for place, state in enumerate(DueState)}


def forecast_work(machine: Machine, usage: Usage) -> tuple[WorkDue, ...]:
    """Every item of the profile, most urgent first.

    An item of which no event is known counts from the first bale and is UNKNOWN: it may have been
    done without a record.
    """
    wanted = {item.key for item in service_items(machine)}
    due = [_forecast(usage, one) for one in usage.items if one.item.key in wanted]
    return tuple(sorted(due, key=lambda one: (_RANK[one.state], one.left / one.every, one.item)))


def _forecast(usage: Usage, one: ItemUsage) -> WorkDue:
    item = one.item
    by_bales = item.every_bales is not None
    every = float(item.every_bales or item.every_hours or 1.0)
    since = float(one.bales) if by_bales else one.hours
    left = every - since
    daily = usage.daily_bales if by_bales else usage.daily_hours
    days = _days(left, daily) if one.is_known else None
    state = _state(left, days, one.is_known)
    at_bale = None
    if by_bales and usage.latest_bale is not None and one.is_known:
        at_bale = usage.latest_bale + round(left)
    return WorkDue(
        machine=usage.machine,
        item=item.key,
        state=state,
        unit="bales" if by_bales else "hours",
        every=every,
        since=since,
        left=left,
        due_at_bale=at_bale,
        due_days=days,
        minutes=item.minutes,
        caution=item.caution,
        is_known=one.is_known,
        words=_say(item.key, state, "bales" if by_bales else "hours", (every, since, left)),
    )


def _days(left: float, daily: Interval | None) -> Interval | None:
    """Days until `left` is used up: soon at the busiest week's pace, late at the quietest."""
    if left <= 0:
        return Interval(0.0, 0.0, 0.0)
    if daily is None:
        return None

    def _at(pace: float) -> float:
        return min(left / pace, FARTHEST_DAYS) if pace > 0 else FARTHEST_DAYS

    return Interval(_at(daily.high), _at(daily.best), _at(daily.low))


def _state(left: float, days: Interval | None, is_known: bool) -> DueState:
    if not is_known:
        return DueState.UNKNOWN
    if left <= 0:
        return DueState.OVERDUE
    return DueState.SOON if days is not None and days.low <= SOON_DAYS else DueState.LATER


def _say(key: str, state: DueState, unit: str, amounts: tuple[float, float, float]) -> Reason:
    every, since, left = (round(amount) for amount in amounts)
    item = key.replace("-", " ")
    if state is DueState.OVERDUE:
        return because(f"due.overdue.{unit}", item=item, over=-left, every=every)
    if state is DueState.UNKNOWN:
        return because(f"due.unknown.{unit}", item=item, since=since, every=every)
    return because(f"due.left.{unit}", item=item, left=left, every=every)
