"""The intake report as lines of text: what was kept, machine by machine, refused and doubtful."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from balewright.quantities.reason import ReasonValue, because
from balewright.words.marks import say_mark, say_mark_cure

if TYPE_CHECKING:
    from balewright.flows.take_in_report import IntakeReport
    from balewright.store.noted import MachineSeen, NotedGroup, NumberSpan, Spot

SHOWN_GROUPS = 20
SHOWN_MACHINES = 20
SHOWN_SPOTS = 3


def report_lines(report: IntakeReport) -> Iterator[str]:
    """The report, a line at a time."""
    yield from _head(report)
    if report.unknown_machines:
        names = _listed(report.unknown_machines)
        yield _say("intake.unknown_machines", machines=names)
    if report.refused:
        yield _say("intake.refusals", refused=report.refused)
        yield from _groups(report.notes.refusals, is_doubt=False)
    if report.doubtful:
        yield _say("intake.doubts", doubtful=report.doubtful)
        yield from _groups(report.notes.doubts, is_doubt=True)


def _head(report: IntakeReport) -> Iterator[str]:
    if report.state == "refused":
        yield _say("intake.refused", name=report.name)
        return
    if report.state == "already taken":
        yield _say("intake.already", name=report.name)
    if report.not_of is not None:
        yield _say("intake.not_of", machine=report.not_of, machines=_listed(report.machines))
    counts: dict[str, ReasonValue] = {"kept": report.kept, "events": report.events}
    yield _say("intake.taken", name=report.name, form=report.form, **counts)
    if report.notes.only_machine is not None:
        yield _say("intake.only_machine", machine=report.notes.only_machine)
    machines = report.notes.machines
    if not report.machines:
        empty = not report.kept and not report.events
        yield _say("intake.holds_nothing" if empty else "intake.no_machine")
    elif not machines:  # noted by an earlier version
        yield _say("intake.machines", machines=_listed(report.machines))
    for machine in machines[:SHOWN_MACHINES]:
        yield f"  {machine_line(machine)}"
    more = len(machines[SHOWN_MACHINES:]) + report.notes.machines_more
    if more:
        yield f"  {_say('intake.machines.more', count=more)}"
    if report.first_us is not None and report.last_us is not None:
        yield _say("intake.span", first=_moment(report.first_us), last=_moment(report.last_us))


def machine_line(machine: MachineSeen) -> str:
    """What a file holds of one machine, on one line."""
    parts = [_say("intake.machine", serial=machine.serial, count=machine.bales)]
    if machine.events:
        parts.append(_say("intake.machine.events", count=machine.events))
    if machine.numbers:
        numbers = ", ".join(_numbers(span, len(machine.numbers)) for span in machine.numbers)
        parts.append(_say("intake.machine.numbers", numbers=numbers))
    if machine.days:
        parts.append(_say("intake.machine.days", days=machine.days))
    if machine.jobs:
        jobs = _listed(machine.jobs)
        if machine.jobs_more:
            jobs = _say("intake.machine.jobs.more", jobs=jobs, count=machine.jobs_more)
        parts.append(_say("intake.machine.jobs", jobs=jobs))
    return "; ".join([*parts, *_news(machine)])


def _news(machine: MachineSeen) -> Iterator[str]:
    if machine.new is None or machine.known is None or machine.again is None:
        yield _say("intake.machine.not_told")
        return
    yield _say("intake.machine.new", count=machine.new)
    if machine.known:
        yield _say("intake.machine.known", count=machine.known)
    if machine.again:
        yield _say("intake.machine.again", count=machine.again)


def _numbers(span: NumberSpan, spans: int) -> str:
    ends = sorted({span.lowest_no, span.highest_no})
    numbers = "–".join(map(str, ends))
    if spans > 1 and span.epoch is not None:
        return _say("intake.machine.numbers.epoch", numbers=numbers, epoch=span.epoch)
    return numbers


def _groups(groups: tuple[NotedGroup, ...], is_doubt: bool) -> Iterator[str]:
    for group in groups[:SHOWN_GROUPS]:
        yield f"  {_group(group, is_doubt)}"
        spots = ", ".join(_spot(spot, is_doubt) for spot in group.first[:SHOWN_SPOTS])
        yield f"    {_say('intake.group.first', spots=spots)}".rstrip()
        if is_doubt and (cure := say_mark_cure(group.reason)) is not None:
            yield f"    {_say('intake.group.do', cure=cure)}"
    more = sum(group.count for group in groups[SHOWN_GROUPS:])
    if more:
        yield f"  {_say('intake.more', more=more)}"


def _group(group: NotedGroup, is_doubt: bool) -> str:
    if not group.reason:
        return _say("intake.group.others", count=group.count)
    reason = say_mark(group.reason) if is_doubt else group.reason
    if group.column:
        return _say("intake.group.column", count=group.count, column=group.column, reason=reason)
    return _say("intake.group", count=group.count, reason=reason)


def _spot(spot: Spot, is_doubt: bool) -> str:
    place = spot.place if spot.place.startswith(spot.file) else f"{spot.file}, {spot.place}"
    if not spot.text:
        return place
    return f"{place} ({spot.text})" if is_doubt else f"{place} “{spot.text}”"


def _listed(names: tuple[str, ...]) -> str:
    shown = ", ".join(names[:SHOWN_MACHINES])
    more = len(names) - SHOWN_MACHINES
    return f"{shown}, {_say('intake.more', more=more)}" if more > 0 else shown


def _moment(at_us: int) -> str:
    from balewright.words.times import say_time, zone_named

    return say_time(at_us, zone_named("UTC"))


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
