"""What was seen of a file so far, in bounded memory, and the ledger's line it becomes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from balewright.flows.take_in_groups import Groups
from balewright.flows.take_in_machines import Machines
from balewright.flows.workplace import Workplace
from balewright.records.counters import CounterSpan, spans_of, widen
from balewright.records.identity import bale_times
from balewright.records.intake import Batch, Doubt, Refusal
from balewright.records.quality import Mark
from balewright.store.entries import IntakeEntry, IntakeState
from balewright.store.noted import IntakeNotes

SHOWN: Final = 200
"""Refusals and doubts kept one by one; the groups and totals count all."""

MAX_WORDS: Final = 10_000
"""Jobs of one file that are looked up in the register for doubts; more is a wrong column."""


@dataclass
class Tally:
    """Fills as a file is read. name: of the file; zones: IANA zone by serial."""

    name: str
    zones: Mapping[str, str]
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
    refused_groups: Groups = field(default_factory=Groups)
    doubt_groups: Groups = field(default_factory=Groups)

    def __post_init__(self) -> None:
        self.by_machine = Machines(self.zones)

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
        self.refused_groups.add_refusals(refusals)
        self.doubt_groups.add_doubts(doubts)

    def note_first(self, doubts: tuple[Doubt, ...]) -> None:
        """Count doubts about the whole file, and keep them before those about its lines."""
        self.doubtful += len(doubts)
        self.doubts = [*doubts, *self.doubts][:SHOWN]
        self.doubt_groups.add_doubts(doubts)

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
        self.by_machine.add(bales, batch.events)

    def entry(
        self, sha256: str, form: str, workplace: Workplace, only_machine: str | None = None
    ) -> IntakeEntry:
        """The ledger's line of a file that is taken in; before it is committed."""
        if self.unplaced:
            text = (
                f"{self.unplaced} bales have no machine, or neither number nor time: "
                "they are counted as they come and cannot be told from their doubles"
            )
            self.note((), (Doubt(self.name, "whole file", Mark.IDENTITY_UNKNOWN, text),))
        notes = IntakeNotes(
            refusals=self.refused_groups.largest_first(),
            doubts=self.doubt_groups.largest_first(),
            machines=self.by_machine.tell(self.spans, workplace.journal),
            machines_more=self.by_machine.more,
            only_machine=only_machine,
        )
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
            notes=notes,
        )

    def refused_entry(self, sha256: str, workplace: Workplace) -> IntakeEntry:
        """The ledger's line of a file of which nothing is kept."""
        return IntakeEntry(
            sha256=sha256,
            name=self.name[:255],
            form="",
            state=IntakeState.REFUSED,
            at=workplace.clock(),
            refused=self.refused,
            refusals=tuple(self.refusals),
            notes=IntakeNotes(refusals=self.refused_groups.largest_first()),
        )
