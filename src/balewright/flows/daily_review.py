"""When the whole fleet was last reviewed, and whether that is due again."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from balewright.flows.workplace import Workplace

REVIEWED: Final = "findings.reviewed"
"""Key under which the time of the last review of the whole fleet is kept."""
DUE_AFTER: Final = timedelta(hours=26)
"""A day, and two hours for a timer that starts late."""


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
