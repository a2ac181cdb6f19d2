"""When the whole fleet is reviewed: once a day at an hour of the house, never twice at once."""

from __future__ import annotations

import fcntl
import os
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, tzinfo
from pathlib import Path
from typing import Final

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.health.lines import HealthLine, HealthState, good, wrong
from balewright.store.running import cannot_write
from balewright.words.times import zone_named

REVIEWED: Final = "findings.reviewed"
"""Key under which the time of the last review of the whole fleet is kept."""
BEGUN: Final = "findings.review_begun"
"""Key under which it is kept when the newest one was begun."""
DAILY: Final = "findings.daily"
"""Key of the house rule; its body says `hour` and `zone`."""
USUAL_HOUR: Final = 5
"""Before the first bale of a summer's day, after the last of the day before: `assumed`."""
DUE_AFTER: Final = timedelta(hours=26)
"""A day, and two hours for a timer that starts late."""
_LOCK: Final = "review.lock"


@dataclass(frozen=True)
class DailyRule:
    """hour: 0..23, of the clock in `zone` (a name such as Etc/UTC; None: most machines' own)."""

    hour: int = USUAL_HOUR
    zone: str | None = None


def daily_rule(workplace: Workplace) -> DailyRule:
    """The rule in force."""
    kept = workplace.register.load_rule(DAILY)
    return DailyRule() if kept is None else DailyRule(kept.body["hour"], kept.body["zone"])


def set_daily_rule(workplace: Workplace, rule: DailyRule, by: str | None = None) -> None:
    """Set it in place of the one before. Raises BadInput for an hour or a zone that is none."""
    if not 0 <= rule.hour <= 23:
        raise BadInput(Fault("hour", "a whole hour from 0 to 23", str(rule.hour), "Write 5."))
    if rule.zone is not None:
        zone_named(rule.zone)
    body = {"hour": rule.hour, "zone": rule.zone}
    workplace.register.save_rule(DAILY, body, workplace.clock(), by)


def zone_of(workplace: Workplace, rule: DailyRule) -> str:
    """The zone the rule's hour is meant in: its own, else that of most machines, else UTC."""
    if rule.zone is not None:
        return rule.zone
    zones = Counter(entry.zone for entry in workplace.register.load_machines())
    return min(zones, key=lambda zone: (-zones[zone], zone), default="UTC")


def struck_last(now: datetime, hour: int, zone: tzinfo) -> datetime:
    """The latest moment, not after `now`, at which the clock of the zone showed that whole hour.

    An hour that a change of the clock leaves out counts from when it would have been.
    """
    local_day = now.astimezone(zone).date()
    struck = (
        datetime.combine(local_day - timedelta(days=back), time(hour), zone).astimezone(UTC)
        for back in range(3)
    )
    return next(at for at in struck if at <= now)


def is_daily_due(workplace: Workplace) -> bool:
    """Whether there are machines, and the hour struck since they were last all reviewed. A review
    that lies ahead of a clock that was put right says nothing."""
    machines = workplace.register.load_machines()
    last = last_daily_review(workplace)
    if not machines or last is None or last > workplace.clock():
        return bool(machines)
    rule = daily_rule(workplace)
    zone = zone_named(zone_of(workplace, rule))
    return last < struck_last(workplace.clock(), rule.hour, zone)


def note_review_begun(workplace: Workplace) -> None:
    """Keep that a review of every machine begins now."""
    workplace.register.save_rule(BEGUN, {}, workplace.clock())


def note_daily_review(workplace: Workplace) -> None:
    """Keep that every machine has just been reviewed."""
    workplace.register.save_rule(REVIEWED, {}, workplace.clock())


def last_daily_review(workplace: Workplace) -> datetime | None:
    """When every machine was last reviewed, None where that never happened."""
    kept = workplace.register.load_rule(REVIEWED)
    return None if kept is None else kept.set_at


def is_review_due(workplace: Workplace) -> bool:
    """Whether there are machines and the last review of them all is more than a day old."""
    last = last_daily_review(workplace)
    if last is not None and workplace.clock() - last <= DUE_AFTER:
        return False
    return bool(workplace.register.load_machines())


@contextmanager
def reviewing_alone(home: Path) -> Iterator[bool]:
    """Whether nobody else reviews the fleet of this home now; nobody may until the end. The lock
    dies with its process. Raises BadInput where the folder cannot be written."""
    try:
        handle = os.open(home / _LOCK, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise cannot_write(home, error) from error
    try:
        yield _take(handle)
    finally:
        os.close(handle)


def _take(handle: int) -> bool:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def look_at_review(workplace: Workplace) -> HealthLine:
    """When every machine was last reviewed, and whether that is overdue."""
    last, now = last_daily_review(workplace), workplace.clock()
    begun = workplace.register.load_rule(BEGUN)
    if is_review_due(workplace):
        if begun is not None and now - begun.set_at <= DUE_AFTER:
            return good("review_begun", at=_minute(begun.set_at))
        if last is None:
            return wrong("review", HealthState.LOOK, "never")
        age_days = round((now - last).total_seconds() / 86_400, 1)
        return wrong("review", HealthState.LOOK, "old", age_days=age_days)
    if last is None:
        return good("review_none")
    return good("review", last=_minute(last))


def _minute(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M}"
