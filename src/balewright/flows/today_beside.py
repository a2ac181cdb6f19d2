"""What stands beside Today's list: silent sensors, what has gone, when all was last reviewed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from balewright.findings.episode import Episode, EpisodeState
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.rolls_compared import find_rolls_worse
from balewright.flows.admit_findings import discovery_rule
from balewright.flows.daily_review import is_review_due, last_daily_review
from balewright.flows.kept_batches import load_batches
from balewright.flows.workplace import Workplace
from balewright.quantities.si import MICROSECONDS_PER_S

LATELY: Final = timedelta(days=1)


@dataclass(frozen=True)
class BesideToday:
    """silent: keys of open episodes of columns that went silent; closed: name of the machine and
    episode that bales showed gone within a day, the newest first; reviewed_at: when the whole
    fleet was last reviewed, None never; is_due: whether it should be again; batches: of film or
    net that the last daily review found worse than the rest.
    """

    silent: frozenset[str]
    closed: tuple[tuple[str, Episode], ...]
    reviewed_at: datetime | None
    is_due: bool
    batches: tuple[Finding, ...] = ()


def read_beside_today(workplace: Workplace) -> BesideToday:
    """All that Today says beside its list. Nothing is reviewed by asking."""
    register = workplace.register
    names = {entry.serial: entry.name for entry in register.load_machines()}
    after_us = round((workplace.clock() - LATELY).timestamp() * MICROSECONDS_PER_S)
    closed = [
        (names[one.finding.machine], one)
        for one in register.load_closed(after_us)
        if one.finding.machine in names and one.may_be_shown
    ]
    closed.sort(key=lambda pair: (-(pair[1].closed_us or 0), pair[1].key))
    return BesideToday(
        silent=frozenset(
            one.key
            for one in register.load_episodes(states=(EpisodeState.OPEN,))
            if one.finding.kind is FindingKind.NOT_WATCHED
        ),
        closed=tuple(closed),
        reviewed_at=last_daily_review(workplace),
        is_due=is_review_due(workplace),
        batches=_worse_batches(workplace),
    )


def _worse_batches(workplace: Workplace) -> tuple[Finding, ...]:
    kept = load_batches(workplace)
    if kept is None:
        return ()
    return find_rolls_worse(kept.compared, discovery_rule(workplace).rate_frac)
