"""What became of a file, as a value: for the shell, the desk, a device and a watched folder."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from balewright.flows.workplace import Workplace
from balewright.records.intake import Doubt, Refusal
from balewright.store.entries import IntakeEntry, IntakeState
from balewright.store.noted import NO_NOTES, IntakeNotes


@dataclass(frozen=True)
class IntakeReport:
    """What became of a file.

    state: taken, already taken (nothing changed; the rest is what was noted then) or refused
    (nothing kept; `refusals` say why); kept, events, refused, doubtful: totals; refusals, doubts:
    the first of each, one by one; machines: serials the file speaks of; unknown_machines: those
    that are not in the register, whose bales are kept all the same; first_us, last_us: span of
    the bales' times, UTC microseconds; notes: all refusals and doubts in groups, and machine by
    machine; not_of: of a file already taken the machine that was named now and that it does not
    speak of: it stays as it was read then.
    """

    sha256: str
    name: str
    form: str
    state: IntakeState
    kept: int
    events: int
    refused: int
    doubtful: int
    refusals: tuple[Refusal, ...]
    doubts: tuple[Doubt, ...]
    machines: tuple[str, ...]
    unknown_machines: tuple[str, ...]
    first_us: int | None
    last_us: int | None
    notes: IntakeNotes = NO_NOTES
    not_of: str | None = None


def report_of(
    workplace: Workplace,
    entry: IntakeEntry,
    state: IntakeState | None = None,
    named: str | None = None,
) -> IntakeReport:
    """The report of a ledger line.

    state: what became of the file now, None for the line's own; named: the machine that somebody
    said the file is of.
    """
    is_other = state is IntakeState.ALREADY_TAKEN and bool(entry.machines)
    is_other = is_other and named is not None and named not in entry.machines
    known = {machine.serial for machine in workplace.register.load_machines()}
    return IntakeReport(
        sha256=entry.sha256,
        name=entry.name,
        form=entry.form,
        state=state or entry.state,
        kept=entry.kept,
        events=entry.events,
        refused=entry.refused,
        doubtful=entry.doubtful,
        refusals=entry.refusals,
        doubts=entry.doubts,
        machines=entry.machines,
        unknown_machines=tuple(serial for serial in entry.machines if serial not in known),
        first_us=entry.first_us,
        last_us=entry.last_us,
        notes=entry.notes,
        not_of=named if is_other else None,
    )


def report_to_json(report: IntakeReport) -> dict[str, Any]:
    """The report as plain JSON values: the same object in the shell, on the desk and over HTTP."""
    return {**asdict(report), "state": report.state.value}
