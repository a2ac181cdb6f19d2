"""Bales and mass by task: the sum of what its logs gained, set beside what else is known.

Counters move between logs, start at another task's value, are reset: so each log is counted by
its own differences, and what its start says against the log before is only named.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from balewright.readers.task_data.dictionary import Id, words_for
from balewright.readers.task_data.elements import Gathered
from balewright.readers.task_data.log_bales import LogBales
from balewright.readers.task_data.log_files import Assigned
from balewright.readers.task_data.result import TaskRecord
from balewright.readers.task_data.values import Task
from balewright.records.intake import Doubt
from balewright.records.quality import Mark


def count_tasks(
    tasks: Sequence[Task], assigned: Sequence[Assigned], found: Gathered, file: str
) -> tuple[TaskRecord, ...]:
    """Every task with what its logs counted.

    tasks, assigned: the tasks and their logs, place by place; found: for names; file: of the
    tasks, for messages.
    """
    counted = [tuple(each.counted) for each in assigned]
    records = [
        _record(task, each, bales, found)
        for task, each, bales in zip(tasks, assigned, counted, strict=True)
    ]
    starts = _compare_starts(tasks, counted)
    return tuple(
        replace(record, doubtful=record.doubtful + starts[place] + _compare_totals(record, file))
        for place, record in enumerate(records)
    )


def _record(
    task: Task, assigned: Assigned, counted: tuple[LogBales, ...], found: Gathered
) -> TaskRecord:
    counts = [each.count.gained for each in counted if each.count]
    masses_kg = [each.gained_kg for each in counted if each.gained_kg is not None]
    doubts = [*assigned.doubts, *_units_once(doubt for each in counted for doubt in each.doubts)]
    return TaskRecord(
        task=task,
        customer=_name(found, "CTR", task.customer),
        farm=_name(found, "FRM", task.farm),
        field=_name(found, "PFD", task.field),
        logs=tuple(assigned.logs),
        counted=counted,
        bales=sum(counts) if counts else None,
        mass_kg=sum(masses_kg) if masses_kg else None,
        refused=tuple(assigned.refusals),
        doubtful=tuple(doubts),
    )


def _units_once(doubts: Iterable[Doubt]) -> Iterator[Doubt]:
    """A contradicted unit is one doubt of a task, not one of each of its logs."""
    said = set()
    for doubt in doubts:
        if doubt.kind != Mark.UNIT_CONTRADICTED or doubt.text not in said:
            yield doubt
        said.add(doubt.text)


def _name(found: Gathered, kind: str, key: str) -> str | None:
    """The name behind an identifier; the identifier itself where nothing says its name."""
    value = found.kinds.get(kind, {}).get(key)
    return (value.name if value is not None else "") or key or None


def _compare_starts(
    tasks: Sequence[Task], counted: Sequence[tuple[LogBales, ...]]
) -> list[tuple[Doubt, ...]]:
    """What each log's start says against the log before it on the same machine."""
    doubts: list[list[Doubt]] = [[] for _ in tasks]
    logs = [
        (each.machine, each.log.begins_us or 0, place, each)
        for place, bales in enumerate(counted)
        for each in bales
        if each.count
    ]
    logs.sort(key=lambda entry: entry[:3])
    for (machine, _, before_place, before), (other, _, place, each) in pairwise(logs):
        if machine == other and (said := _start_against(before, each, before_place == place)):
            kind, text = said
            if before_place != place:
                text = text.format(before=f"task {tasks[before_place].job!r}")
            text = text.format(before=before.log.name)
            doubts[place].append(Doubt(each.log.file, "byte 0", kind, text))
    return [tuple(each) for each in doubts]


def _start_against(before: LogBales, each: LogBales, same_task: bool) -> tuple[Mark, str] | None:
    assert before.count is not None
    assert each.count is not None
    start, end = each.count.start, before.count.end
    if not same_task:
        if start != end or start == 0:
            return None
        mass = f" and {each.mass.start} kg" if each.mass and each.mass.start else ""
        return (
            Mark.COUNTER_CARRIED_OVER,
            f"the counters start at {start} bales{mass}, where {{before}} ended: no gain",
        )
    if start > end:
        moved = f"the count moved from {end} to {start} after {{before}}, with no log running"
        return Mark.COUNTER_LEAPT, f"{moved}: {start - end} bales are in no log and not counted"
    if start < end:
        said = f"the count starts again at {start} (it was {end} at the end of {{before}})"
        return Mark.COUNTER_STEPPED_BACK, f"{said}: each log counts by its own differences"
    return None


def _compare_totals(record: TaskRecord, file: str) -> tuple[Doubt, ...]:
    """The task's own totals (cumulative: the last stands for all) against the logs' gain."""
    doubts = []
    lost = "; a log of this task could not be read" if record.refused else ""
    for number, gained in ((Id.TOTAL_COUNT, record.bales), (Id.TOTAL_MASS, record.mass_kg)):
        totals = {
            total.element: total.raw
            for period in record.task.periods
            for total in period.totals
            if total.number == number
        }
        if totals and gained is not None and round(gained) not in totals.values():
            said = ", ".join(str(raw) for raw in totals.values())
            text = (
                f"{words_for(number)}: the task's own total says {said}, its logs gained "
                f"{gained:g}; the logs count{lost}"
            )
            doubts.append(Doubt(file, record.task.key, Mark.TOTAL_DIFFERS, text))
    return tuple(doubts)
