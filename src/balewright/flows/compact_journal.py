"""Merge the journal's many small files, so that questions stay quick."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, replace

from balewright.flows.workplace import Workplace, keep_quiet
from balewright.quantities.errors import BadInput
from balewright.records.corrected import list_in_force
from balewright.store.compaction import Merged, compact_bucket, list_due
from balewright.store.intake_files import bucket_of
from balewright.store.named_bales import COUNTING


@dataclass(frozen=True)
class CompactReport:
    """What was merged. rows: as taken in; bales: rows once doubles are one."""

    merged: tuple[Merged, ...]

    @property
    def rows(self) -> int:
        """Rows in what was merged."""
        return sum(one.rows for one in self.merged)

    @property
    def bales(self) -> int:
        """Bales in what was merged."""
        return sum(one.bales for one in self.merged)

    @property
    def files(self) -> tuple[int, int]:
        """How many files became how many."""
        return sum(one.files[0] for one in self.merged), sum(one.files[1] for one in self.merged)


def compact_journal(workplace: Workplace) -> CompactReport:
    """Merge every bucket in which that changes a file. No answer changes. Tells `progress`."""
    return _compact(workplace, list_due(workplace.journal, every=True))


def compact_due(workplace: Workplace, machines: Iterable[str]) -> CompactReport:
    """Merge the buckets of these machines whose new files have become many; after an intake."""
    touched = {bucket_of(machine) for machine in machines}
    return _compact(workplace, [b for b in list_due(workplace.journal) if b in touched])


def settle_intake(workplace: Workplace, machines: Iterable[str]) -> None:
    """After a file of these machines was taken in: merge what has become many.

    Quietly, and nothing that goes wrong here is the file's: it is in, and the next intake or
    `compact_journal` does what was left.
    """
    with suppress(BadInput):
        for machine in workplace.register.load_corrected_machines().intersection(machines):
            settle_marks(workplace, machine)
        compact_due(replace(workplace, progress=keep_quiet), machines)


def settle_marks(workplace: Workplace, machine: str) -> None:
    """Take a number that a correction struck out of the machine's counter marks again, where a
    further file brought it back.
    """
    force = list_in_force(workplace.register.load_corrections(machine))
    if any(one.column in COUNTING for one in force):
        workplace.register.save_marks(machine, workplace.journal.mark_anew(machine))


def _compact(workplace: Workplace, buckets: Iterable[int]) -> CompactReport:
    found, todo = [], list(buckets)
    for done, bucket in enumerate(todo):
        workplace.progress("merging", done, len(todo))
        one = compact_bucket(workplace.journal, bucket, workplace.clock())
        if one is not None:
            found.append(one)
    if todo:
        workplace.progress("merging", len(todo), len(todo))
    return CompactReport(tuple(found))
