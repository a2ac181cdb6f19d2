"""An intake report as the page shows it: sentences and cells, nothing to work out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from balewright.desk.reading import reading
from balewright.desk.wording import words
from balewright.flows.take_in_report import IntakeReport
from balewright.store.noted import MachineSeen, NotedGroup, Spot
from balewright.words.marks import say_mark, say_mark_cure

MACHINES_NAMED: Final = 20


@dataclass(frozen=True)
class GroupLine:
    """Refusals or doubts that are alike, in words. cure: None where the reason says it."""

    count: int
    column: str
    reason: str
    cure: str | None
    first: tuple[Spot, ...]


@dataclass(frozen=True)
class MachineLine:
    """One machine of a file. numbers: its spans in words; is_known: whether it has a page."""

    seen: MachineSeen
    numbers: str
    jobs: str
    is_known: bool


def account_of(report: IntakeReport) -> dict[str, Any]:
    """What the page needs of a report."""
    return {
        "report": report,
        "its_machines": ", ".join(report.machines[:MACHINES_NAMED]),
        "refused": [_line(group, is_doubt=False) for group in report.notes.refusals],
        "doubted": [_line(group, is_doubt=True) for group in report.notes.doubts],
        "machine_lines": [_machine(seen, report) for seen in report.notes.machines],
        "unknown_machines": report.unknown_machines[:20],
        "unknown_more": max(0, len(report.unknown_machines) - 20),
    }


def _line(group: NotedGroup, is_doubt: bool) -> GroupLine:
    if not group.reason:
        reason, cure = words("intake.group.others"), None
    elif is_doubt:
        reason = say_mark(group.reason, reading())
        cure = say_mark_cure(group.reason, reading())
    else:
        reason, cure = group.reason[:1].upper() + group.reason[1:], None
    return GroupLine(group.count, group.column, reason, cure, group.first)


def _machine(seen: MachineSeen, report: IntakeReport) -> MachineLine:
    spans = []
    for span in seen.numbers:
        numbers = "–".join(map(str, sorted({span.lowest_no, span.highest_no})))
        if len(seen.numbers) > 1 and span.epoch is not None:
            numbers = words("intake.numbers.epoch", numbers=numbers, epoch=span.epoch)
        spans.append(numbers)
    jobs = ", ".join(seen.jobs)
    if seen.jobs_more:
        jobs = words("intake.jobs.more", jobs=jobs, count=seen.jobs_more)
    is_known = seen.serial not in report.unknown_machines
    return MachineLine(seen, ", ".join(spans), jobs, is_known)
