"""What needs attention today, over all machines."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from balewright.findings.episode import Episode, EpisodeState
from balewright.findings.finding import Weight
from balewright.flows.list_due import list_due
from balewright.flows.workplace import Workplace
from balewright.quantities.reason import Reason
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.work.due import DueState

FRESH: Final = timedelta(days=7)
"""Assumed: so long a trouble that has ended is still told where its bales are spoilt or dear."""
_DAY_US: Final = 86_400 * MICROSECONDS_PER_S
_RANK: Final = {weight: place for place, weight in enumerate(Weight)}
_DUE_WEIGHT: Final = {DueState.OVERDUE: Weight.COST, DueState.SOON: Weight.NOTE}


@dataclass(frozen=True)
class Attention:
    """One thing to look at. kind: `findings` or `due`, the part of the machine's page it is on;
    since_us: when it began, None where that is not known; key: of the episode, None for work;
    lasts: whether it goes on; certain_frac: chance that it is real, None where it is settled;
    money_day: what it costs a day at the pace it was seen at, None where no price is known.
    """

    serial: str
    name: str
    weight: Weight
    words: Reason
    since_us: int | None
    kind: str
    key: str | None = None
    lasts: bool = True
    certain_frac: float | None = None
    money_day: float | None = None


@dataclass(frozen=True)
class Today:
    """items: most urgent first; machines: how many of them have one; fleet: how many there are;
    waiting: open alarms that are not told, for too many like them would be false.
    """

    items: tuple[Attention, ...]
    machines: int
    fleet: int
    waiting: int = 0


def read_today(workplace: Workplace) -> Today:
    """Admitted episodes that last or have just ended, and work overdue or due within a week.

    Worst weight first; in it what lasts before what has ended; then what costs most a day, each
    sum counted by how sure it is; then what began last, because it can still be stopped. What was
    set aside, or is told by another of the same matter, stays out.
    """
    register = workplace.register
    names = {entry.serial: entry.name for entry in register.load_machines()}
    lasting = register.load_episodes(states=(EpisodeState.OPEN,))
    after_us = round((workplace.clock() - FRESH).timestamp() * MICROSECONDS_PER_S)
    ended = [one for one in register.load_closed(after_us) if _is_worth_telling(one)]
    items = [
        _attention(one, names[one.finding.machine])
        for one in (*(one for one in lasting if one.is_told), *ended)
        if one.finding.machine in names
    ]
    items += [
        Attention(one.machine, names[one.machine], _DUE_WEIGHT[one.state], one.words, None, "due")
        for one in list_due(workplace)
        if one.state in _DUE_WEIGHT
    ]
    waiting = sum(not one.admitted and one.under is None for one in lasting)
    return Today(
        tuple(sorted(items, key=_urgency)),
        len({item.serial for item in items}),
        len(names),
        waiting,
    )


def _is_worth_telling(closed: Episode) -> bool:
    """Its bales still lie somewhere; a note has nobody to act on it any more."""
    return closed.may_be_shown and closed.finding.weight is not Weight.NOTE


def _attention(one: Episode, name: str) -> Attention:
    finding = one.finding
    return Attention(
        finding.machine,
        name,
        finding.weight,
        finding.words,
        one.outbreaks[-1].since_us if one.outbreaks else finding.since_us,
        "findings",
        one.key,
        one.state is EpisodeState.OPEN,
        finding.certain_frac,
        _money_day(one),
    )


def _money_day(one: Episode) -> float | None:
    """Money a bale times bales a day, as many as were judged while it lasted."""
    finding = one.finding
    money = None if finding.worth is None else finding.worth.money_bale
    if money is None or finding.since_us is None or finding.until_us is None:
        return None
    days = max((finding.until_us - finding.since_us) / _DAY_US, 1.0)
    return money.best * finding.looked_at / days


def _urgency(item: Attention) -> tuple[int, bool, float, int, str, str, str]:
    sure = 1.0 if item.certain_frac is None else item.certain_frac
    return (
        _RANK[item.weight],
        not item.lasts,
        -(item.money_day or 0.0) * sure,
        -(item.since_us or 0),
        item.serial,
        item.kind,
        item.key or "",
    )
