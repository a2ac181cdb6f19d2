"""Take a file into the journal, for good: whole or not at all, and once however often it comes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import numpy as np

from balewright.flows.orders import Orders
from balewright.flows.reading_of import reading_of
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.readers.open_records import Records, open_records
from balewright.readers.reading import Reading
from balewright.records.counters import CounterSpan, spans_of, widen
from balewright.records.identity import bale_times
from balewright.records.intake import Batch, Doubt, Refusal
from balewright.records.quality import Mark
from balewright.store.entries import IntakeEntry, IntakeState
from balewright.store.journal import Intake
from balewright.store.originals import Original, Originals

SHOWN: Final = 200
"""Refusals and doubts kept in full; the totals count all."""

MAX_MACHINES: Final = 5_000
"""Machines one file can speak of; more is a wrong column."""

MAX_WORDS: Final = 10_000
"""Jobs of one file that are looked up in the register for doubts; more is a wrong column."""


@dataclass(frozen=True)
class IntakeReport:
    """What became of a file.

    state: taken, already taken (nothing changed; the rest is what was noted then) or refused
    (nothing kept; `refusals` say why); kept, events, refused, doubtful: totals; refusals, doubts:
    the first SHOWN of each; machines: serials the file speaks of; unknown_machines: those that
    are not in the register, whose bales are kept all the same; first_us, last_us: span of the
    bales' times, UTC microseconds.
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


def take_in_file(
    workplace: Workplace,
    path: Path,
    name: str | None = None,
    opener: Callable[[Path, Reading], Records] = open_records,
    reading: Reading | None = None,
) -> IntakeReport:
    """Take one file or task-data folder in.

    path: what to read; it is copied first, so it may change or go afterwards; name: what people
    call it (an upload's own name); reading: what the reader may need besides the bytes, None for
    what the register knows (`reading_of`). Streams in bounded memory, tells `progress`, commits
    once. Raises BadInput when the file cannot be got at or the journal cannot be written; a file
    that can be got at but not understood gives a report with state `refused`.
    """
    named = name or path.name or str(path)
    originals = Originals(workplace.home / "originals")
    with workplace.journal.intake() as intake:
        try:
            tell = _Telling(workplace, "copying")
            original = originals.receive(path, intake.token, named, tell)
            earlier = workplace.register.load_intake(original.sha256)
            if earlier is not None and earlier.state is IntakeState.TAKEN:
                return _report(workplace, earlier, IntakeState.ALREADY_TAKEN)
            asked = _Asked(named, original, originals, opener, reading or reading_of(workplace))
            return _take(workplace, intake, asked)
        finally:
            originals.discard(intake.token)


@dataclass(frozen=True)
class _Asked:
    name: str
    original: Original
    originals: Originals
    opener: Callable[[Path, Reading], Records]
    reading: Reading


@dataclass(frozen=True)
class _Telling:
    workplace: Workplace
    stage: str

    def __call__(self, done: int, total: int | None) -> None:
        self.workplace.progress(self.stage, done, total)


def _take(workplace: Workplace, intake: Intake, asked: _Asked) -> IntakeReport:
    original, tally = asked.original, _Tally(asked.name)
    intake.source = original.sha256
    tally.note(original.left_out)
    try:
        records = asked.opener(original.path, asked.reading)
    except BadInput as error:
        return _refuse(workplace, asked, tally, error)
    batches = _Reading(records.batches)
    for batch in batches:
        tally.add(batch)
        intake.add(batch.bales, batch.events, batch.places)
        workplace.progress("reading", tally.kept, None)
        if len(tally.machines) > MAX_MACHINES:
            break
    if batches.error or len(tally.machines) > MAX_MACHINES or tally.is_all_refused:
        return _refuse(workplace, asked, tally, batches.error)
    workplace.progress("writing", tally.kept, tally.kept)
    orders = Orders(workplace.register.load_jobs())
    tally.note_first(orders.doubt_words(tally.words, records.jobs, asked.name))
    entry = tally.entry(original.sha256, records.form, workplace)

    def keep_original() -> None:
        asked.originals.keep(intake.token, original.sha256)

    if intake.commit(entry, tally.spans, records.jobs, keep_original):
        return _report(workplace, entry, IntakeState.TAKEN)
    earlier = workplace.register.load_intake(original.sha256)
    return _report(workplace, earlier or entry, IntakeState.ALREADY_TAKEN)


def _refuse(
    workplace: Workplace, asked: _Asked, tally: _Tally, error: BadInput | None
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
    entry = IntakeEntry(
        sha256=asked.original.sha256,
        name=asked.name[:255],
        form="",
        state=IntakeState.REFUSED,
        at=workplace.clock(),
        refused=tally.refused,
        refusals=tuple(tally.refusals[:SHOWN]),
    )
    workplace.register.save_refused(entry)
    return _report(workplace, entry, IntakeState.REFUSED)


def _report(workplace: Workplace, entry: IntakeEntry, state: IntakeState) -> IntakeReport:
    known = {machine.serial for machine in workplace.register.load_machines()}
    return IntakeReport(
        sha256=entry.sha256,
        name=entry.name,
        form=entry.form,
        state=state,
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
    )


class _Reading:
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


@dataclass
class _Tally:
    """What was seen of a file so far."""

    name: str
    kept: int = 0
    events: int = 0
    refused: int = 0
    doubtful: int = 0
    unplaced: int = 0
    refusals: list[Refusal] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    machines: set[str] = field(default_factory=set)
    words: set[str] = field(default_factory=set)
    spans: dict[str, tuple[CounterSpan, ...]] = field(default_factory=dict)
    times: list[int] = field(default_factory=list)

    @property
    def is_all_refused(self) -> bool:
        """Whether something was refused and nothing kept."""
        return self.refused > 0 and self.kept == 0 and self.events == 0

    def note(self, refusals: tuple[Refusal, ...], doubts: tuple[Doubt, ...] = ()) -> None:
        """Count all, keep the first ones."""
        self.refused += len(refusals)
        self.doubtful += len(doubts)
        self.refusals += refusals[: SHOWN - len(self.refusals)]
        self.doubts += doubts[: SHOWN - len(self.doubts)]

    def note_first(self, doubts: tuple[Doubt, ...]) -> None:
        """Count doubts about the whole file, and keep them before those about its lines."""
        self.doubtful += len(doubts)
        self.doubts = [*doubts, *self.doubts][:SHOWN]

    def add(self, batch: Batch) -> None:
        """Take a batch into account."""
        bales = batch.bales
        self.note(batch.refusals, batch.doubts)
        self.kept += bales.rows
        self.events += len(batch.events)
        self.machines.update(bales.column("machine")[bales.mask("machine")].tolist())
        self.machines.update(event.machine for event in batch.events)
        if len(self.words) < MAX_WORDS:
            self.words.update(bales.column("job")[bales.mask("job")].tolist())
        for machine, spans in spans_of(bales).items():
            self.spans[machine] = widen((*self.spans.get(machine, ()), *spans))
        times, timed = bale_times(bales)
        if bool(timed.any()):
            ends = (int(times[timed].min()), int(times[timed].max()))
            self.times = [min([*self.times, *ends]), max([*self.times, *ends])]
        placed = bales.mask("machine") & (bales.mask("bale_no") | timed)
        self.unplaced += bales.rows - int(np.count_nonzero(placed))

    def entry(self, sha256: str, form: str, workplace: Workplace) -> IntakeEntry:
        """The ledger's line."""
        if self.unplaced:
            text = (
                f"{self.unplaced} bales have no machine, or neither number nor time: "
                "they are counted as they come and cannot be told from their doubles"
            )
            self.note((), (Doubt(self.name, "whole file", Mark.IDENTITY_UNKNOWN, text),))
        return IntakeEntry(
            sha256=sha256,
            name=self.name[:255],
            form=form,
            state=IntakeState.TAKEN,
            at=workplace.clock(),
            kept=self.kept,
            events=self.events,
            refused=self.refused,
            doubtful=self.doubtful,
            refusals=tuple(self.refusals),
            doubts=tuple(self.doubts),
            machines=tuple(sorted(self.machines)),
            first_us=min(self.times, default=None),
            last_us=max(self.times, default=None),
        )
