"""Take a file into the journal, for good: whole or not at all, and once however often it comes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from balewright.flows.compact_journal import settle_intake
from balewright.flows.orders import Orders
from balewright.flows.reading_of import reading_of
from balewright.flows.take_in_part import SpeaksOfOthers, identity_in_part, of_one_machine
from balewright.flows.take_in_report import IntakeReport, report_of
from balewright.flows.take_in_tally import MAX_WORDS, SHOWN, Tally
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.readers.open_records import Records, open_records
from balewright.readers.reading import Reading
from balewright.records.intake import Batch, Refusal
from balewright.store.entries import IntakeState
from balewright.store.journal import Intake
from balewright.store.originals import Original, Originals
from balewright.store.refused_writes import NothingKept

__all__ = ["MAX_WORDS", "SHOWN", "Handed", "IntakeReport", "take_in_file", "take_in_handed"]

MAX_MACHINES: Final = 5_000
"""Machines one file can speak of; more is a wrong column."""


@dataclass(frozen=True)
class Handed:
    """What is to be taken in, and how.

    path: a file or task-data folder; it is copied first, so it may change or go afterwards; name:
    what people call it, None for the path's own; opener: reads it; reading: what the reader may
    need besides the bytes, None for what the register knows (`reading_of`); only_machine: serial
    of the only machine it may speak of: rows of others are refused by line.
    """

    path: Path
    name: str | None = None
    opener: Callable[[Path, Reading], Records] = open_records
    reading: Reading | None = None
    only_machine: str | None = None


def take_in_file(
    workplace: Workplace,
    path: Path,
    name: str | None = None,
    opener: Callable[[Path, Reading], Records] = open_records,
    reading: Reading | None = None,
) -> IntakeReport:
    """Take one file or task-data folder in: `take_in_handed` of a `Handed` of these."""
    return take_in_handed(workplace, Handed(path, name, opener, reading))


def take_in_handed(workplace: Workplace, handed: Handed) -> IntakeReport:
    """Take one file or task-data folder in.

    Streams in bounded memory, tells `progress`, commits once. Raises BadInput when the file cannot
    be got at or the journal cannot be written, and Stopped where `progress` does: nothing of the
    file is then kept. A file that can be got at but not understood gives a report with state
    `refused`.
    """
    try:
        report = _take_in(workplace, handed, in_part=False)
    except SpeaksOfOthers:
        report = _take_in(workplace, handed, in_part=True)
    except NothingKept:
        _give_room_back(workplace)
        raise
    if report.state is IntakeState.TAKEN:
        settle_intake(workplace, report.machines)
    return report


def _give_room_back(workplace: Workplace) -> None:
    """Remove an original of which the register took no note, unless an intake runs: its own may
    be between copy and ledger. Where the register says nothing the next start does it."""
    with suppress(BadInput):
        register, journal = workplace.register, workplace.journal
        Originals(workplace.home / "originals").sweep(journal.running, register.load_taken)


def _take_in(workplace: Workplace, handed: Handed, in_part: bool) -> IntakeReport:
    """in_part: rows of other machines are refused and leave the file another identity, so that
    somebody who may speak of them can still take the whole of it in.
    """
    named = handed.name or handed.path.name or str(handed.path)
    originals = Originals(workplace.home / "originals")
    with workplace.journal.intake() as intake:
        try:
            tell = _Telling(workplace, "copying")
            original = originals.receive(handed.path, intake.token, named, tell)
            if in_part and handed.only_machine is not None:
                original = replace(
                    original, sha256=identity_in_part(original.sha256, handed.only_machine)
                )
            earlier = workplace.register.load_intake(original.sha256)
            if earlier is not None and earlier.state is IntakeState.TAKEN and earlier.holds:
                named_machine = handed.reading.machine if handed.reading else None
                return report_of(workplace, earlier, IntakeState.ALREADY_TAKEN, named_machine)
            return _take(workplace, intake, _Asked(named, original, originals, handed, in_part))
        finally:
            originals.discard(intake.token)


@dataclass(frozen=True)
class _Asked:
    name: str
    original: Original
    originals: Originals
    handed: Handed
    in_part: bool

    def open(self, tell: _Telling) -> Records:
        """The records, of one machine alone where only that may be spoken of."""
        reading = self.handed.reading or reading_of(tell.workplace)
        listening = self.handed.reading.tell if self.handed.reading else None

        def tell_both(done: int, total: int | None) -> None:
            tell(done, total)
            if listening is not None:
                listening(done, total)

        records = self.handed.opener(self.original.path, replace(reading, tell=tell_both))
        if self.handed.only_machine is None:
            return records
        batches = of_one_machine(records.batches, self.handed.only_machine, self.in_part)
        return replace(records, batches=batches)


@dataclass
class _Telling:
    """Passes on what is told; `rows` only while no reader told its bytes."""

    workplace: Workplace
    stage: str
    last: tuple[int, int | None] | None = None

    def __call__(self, done: int, total: int | None) -> None:
        self.last = (done, total)
        self.workplace.progress(self.stage, done, total)

    def rows(self, kept: int) -> None:
        """After a batch: somebody may want to stop, whatever the reader tells."""
        self.workplace.progress(self.stage, *(self.last or (kept, None)))


def _take(workplace: Workplace, intake: Intake, asked: _Asked) -> IntakeReport:
    original = asked.original
    zones = {one.serial: one.zone for one in workplace.register.load_machines()}
    tally, tell = Tally(asked.name, zones), _Telling(workplace, "reading")
    intake.source = original.sha256
    tally.note(original.left_out)
    try:
        records = asked.open(tell)
    except BadInput as error:
        return _refuse(workplace, asked, tally, error)
    batches = _Batches(records.batches)
    for batch in batches:
        tally.add(batch)
        intake.add(batch.bales, batch.events, batch.places)
        tell.rows(tally.kept)
        if len(tally.machines) > MAX_MACHINES:
            break
    holds_nothing = not batches.error and not tally.kept + tally.events
    known = workplace.register.load_intake(original.sha256) if holds_nothing else None
    if known is not None and known.state is IntakeState.TAKEN:
        return report_of(workplace, known, IntakeState.ALREADY_TAKEN)
    if batches.error or len(tally.machines) > MAX_MACHINES or tally.is_all_refused:
        return _refuse(workplace, asked, tally, batches.error)
    workplace.progress("writing", 0, tally.kept)
    orders = Orders(workplace.register.load_jobs())
    tally.note_first(orders.doubt_words(tally.words, records.jobs, asked.name))
    only = asked.handed.only_machine if asked.in_part else None
    entry = tally.entry(original.sha256, records.form, workplace, only)

    def keep_original() -> None:
        workplace.progress("writing", tally.kept, tally.kept)  # the last moment to stop
        asked.originals.keep(intake.token, original.sha256)
        # Outlines count once their file is in the ledger; kept before, none can be missed.
        workplace.register.save_outlines(records.outlines, original.sha256)

    if intake.commit(entry, tally.spans, records.jobs, keep_original):
        return report_of(workplace, entry, IntakeState.TAKEN)
    earlier = workplace.register.load_intake(original.sha256)
    return report_of(workplace, earlier or entry, IntakeState.ALREADY_TAKEN)


def _refuse(
    workplace: Workplace, asked: _Asked, tally: Tally, error: BadInput | None
) -> IntakeReport:
    """Note that nothing of the file was kept, and why."""
    if error is not None:
        tally.note(
            tuple(
                Refusal(asked.name, fault.place, fault.given, f"Needs {fault.need}. {fault.cure}")
                for fault in error.faults
            )
        )
    elif len(tally.machines) > MAX_MACHINES:
        cure = "Check which column is called `machine`: it must hold the machine's serial."
        reason = f"Speaks of more than {MAX_MACHINES} machines. {cure}"
        tally.note((Refusal(asked.name, "machine", "", reason),))
    entry = tally.refused_entry(asked.original.sha256, workplace)
    workplace.register.save_refused(entry)
    return report_of(workplace, entry, IntakeState.REFUSED)


class _Batches:
    """A reader's batches; what the reader refuses ends them and is kept as `error`.

    Set apart from the writing, whose errors are not the file's.
    """

    def __init__(self, batches: Iterator[Batch]) -> None:
        self._batches = batches
        self.error: BadInput | None = None

    def __iter__(self) -> Iterator[Batch]:
        try:
            yield from self._batches
        except BadInput as error:
            self.error = error
