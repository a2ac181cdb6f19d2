"""What needs attention today, over all machines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.findings.finding import Weight
from balewright.flows.list_due import list_due
from balewright.flows.workplace import Workplace
from balewright.quantities.reason import Reason
from balewright.work.due import DueState

_RANK: Final = {weight: place for place, weight in enumerate(Weight)}
_DUE_WEIGHT: Final = {DueState.OVERDUE: Weight.COST, DueState.SOON: Weight.NOTE}


@dataclass(frozen=True)
class Attention:
    """One thing to look at. kind: `findings` or `due`, the part of the machine's page it is on;
    since_us: when it began, None where that is not known.
    """

    serial: str
    name: str
    weight: Weight
    words: Reason
    since_us: int | None
    kind: str


@dataclass(frozen=True)
class Today:
    """items: most urgent first; machines: how many of them have one; fleet: how many there are."""

    items: tuple[Attention, ...]
    machines: int
    fleet: int


def read_today(workplace: Workplace) -> Today:
    """Findings of the last reviews and work that is overdue or due within a week.

    Worst weight first; in it what began last comes first, because it can still be stopped.
    """
    names = {entry.serial: entry.name for entry in workplace.register.load_machines()}
    items = [
        Attention(one.machine, names[one.machine], one.weight, one.words, one.since_us, "findings")
        for one in workplace.register.load_findings()
        if one.machine in names
    ]
    items += [
        Attention(one.machine, names[one.machine], _DUE_WEIGHT[one.state], one.words, None, "due")
        for one in list_due(workplace)
        if one.state in _DUE_WEIGHT
    ]
    items.sort(key=lambda item: (_RANK[item.weight], -(item.since_us or 0), item.serial, item.kind))
    return Today(tuple(items), len({item.serial for item in items}), len(names))
