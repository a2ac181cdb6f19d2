"""How long originals are kept, and letting go what is older: bales stay, tracing ends."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.entries import IntakeEntry, IntakeState
from balewright.store.originals import Originals

RETENTION: Final = "originals.keep"
"""Key of the house rule; its body says `days`, None for good."""

SHORTEST_DAYS: Final = 30
"""A dispute about a bale comes with the bill; less would lose what settles it."""

LONGEST_DAYS: Final = 36_500
BY_RULE: Final = "rule"


@dataclass(frozen=True)
class OriginalsKept:
    """What is kept of originals.

    days: the rule, None for good; contents, size_bytes: what is there; due: contents of the
    ledger that the rule lets go now; due_bytes: their size.
    """

    days: int | None
    contents: int
    size_bytes: int
    due: tuple[IntakeEntry, ...]
    due_bytes: int


def see_originals(workplace: Workplace) -> OriginalsKept:
    """The rule, what is kept, and what the rule lets go now."""
    days = _days(workplace)
    sizes = Originals(workplace.home / "originals").sizes()
    due = () if days is None else _due(workplace, days)
    due_bytes = sum(sizes.get(entry.sha256, 0) for entry in due)
    return OriginalsKept(days, len(sizes), sum(sizes.values()), due, due_bytes)


def set_retention(workplace: Workplace, days: int | None, by: str | None = None) -> None:
    """Set the rule. days: whole days from SHORTEST_DAYS to LONGEST_DAYS, None for good. Nothing
    is let go yet. Raises BadInput for anything else."""
    if days is not None and not SHORTEST_DAYS <= days <= LONGEST_DAYS:
        need = f"whole days from {SHORTEST_DAYS} to {LONGEST_DAYS}, or for good"
        cure = "A bale that is disputed can only be traced while its original is there."
        raise BadInput(Fault("days", need, str(days), cure))
    workplace.register.save_rule(RETENTION, {"days": days}, workplace.clock(), by)


def apply_retention(workplace: Workplace) -> tuple[IntakeEntry, ...]:
    """Let go what the rule says; what was let go. A crash half way is healed by the next call."""
    days = _days(workplace)
    due = () if days is None else _due(workplace, days)
    originals = Originals(workplace.home / "originals")
    for done, entry in enumerate(due):
        workplace.progress("letting originals go", done, len(due))
        workplace.register.note_original_gone(entry.sha256, workplace.clock(), BY_RULE)
        originals.let_go(entry.sha256)
    return due


def _days(workplace: Workplace) -> int | None:
    rule = workplace.register.load_rule(RETENTION)
    return None if rule is None else rule.body.get("days")


def _due(workplace: Workplace, days: int) -> tuple[IntakeEntry, ...]:
    """Taken contents older than the rule that are noted as kept or lie there still. An entry of
    the future (a clock that was wrong) is never due."""
    before = workplace.clock() - timedelta(days=days)
    gone = workplace.register.load_originals_gone()
    here = Originals(workplace.home / "originals").sizes()
    return tuple(
        entry
        for entry in workplace.register.load_intakes()
        if entry.state is IntakeState.TAKEN
        and entry.at < before
        and (entry.sha256 not in gone or entry.sha256 in here)
    )
