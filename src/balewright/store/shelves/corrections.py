"""Corrections, and what each bucket's newest generation covers. Nothing here is ever changed but
the line that says how far a generation reaches.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from datetime import UTC, datetime, timedelta

from django.db import DatabaseError, transaction

from balewright.records.corrections import Correction
from balewright.records.counters import Remarked
from balewright.store import models
from balewright.store.entries import Compacted, Part
from balewright.store.intake_files import bucket_of
from balewright.store.refused_writes import cannot_keep

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
Numbered = tuple[int, Correction]
"""A correction with its row number, which only rises."""


class CorrectionShelf:
    """What people said of bales afterwards, and generations of the journal."""

    alias: str

    def save_correction(self, correction: Correction, marks: Remarked | None = None) -> bool:
        """Keep a correction; False, and nothing changed, where its key is kept already.

        marks: the machine's counter marks from now on, where the correction strikes a number that
        made one; None leaves them.
        """
        bucket = bucket_of(correction.machine)
        with self._at_once():
            line = self._lock_generation(bucket)
            row, made = models.Correction.objects.using(self.alias).get_or_create(
                key=correction.key, defaults=_fields(correction)
            )
            if not made:
                return False
            # Numbers are given out before they are committed: one that comes late must not pass
            # for covered.
            line.correction = min(line.correction, row.pk - 1)
            line.save(using=self.alias)
            if marks is not None:
                self._set_spans(correction.machine, marks)
        return True

    def save_marks(self, machine: str, marks: Remarked) -> None:
        """Set a machine's counter marks anew: after an intake brought a struck number again."""
        with self._at_once():
            self._set_spans(machine, marks)

    def load_corrections(self, machine: str | None = None) -> tuple[Correction, ...]:
        """Corrections of a machine, or all, withdrawn ones too, in the order they came."""
        return tuple(one for _, one in self.load_numbered_corrections(machine))

    def load_corrected_machines(self) -> frozenset[str]:
        """Serials of the machines that something was put right of, withdrawn or not."""
        rows = models.Correction.objects.using(self.alias)
        return frozenset(rows.values_list("machine", flat=True).distinct())

    def load_numbered_corrections(self, machine: str | None = None) -> tuple[Numbered, ...]:
        """The same, each with its row number."""
        rows = models.Correction.objects.using(self.alias).order_by("pk")
        if machine is not None:
            rows = rows.filter(machine=machine)
        return tuple((row.pk, _correction(row)) for row in rows)

    def load_compacted(self, bucket: int | None = None) -> dict[int, Compacted]:
        """What the newest generation of each bucket covers; buckets without one are left out."""
        rows = models.Compaction.objects.using(self.alias).filter(generation__gt=0)
        if bucket is not None:
            rows = rows.filter(bucket=bucket)
        return {row.bucket: _compacted(row) for row in rows}

    def swap_parts(
        self, old: Collection[str], new: Sequence[Part], compacted: Compacted, seen: int
    ) -> bool:
        """Let new files take the place of old ones, in one transaction.

        old: paths of every file that was merged; compacted: what the new ones cover; seen: how
        many of the bucket's corrections with numbers up to `compacted.correction` there were.
        False, and nothing changed, when one of the files, or that number, is not what it was:
        somebody was first.
        """
        with self._at_once():
            line = self._lock_generation(compacted.bucket)
            parts = models.Part.objects.using(self.alias)
            told = models.Correction.objects.using(self.alias).filter(pk__lte=compacted.correction)
            machines = told.values_list("machine", flat=True)
            listed = parts.filter(path__in=list(old))
            if line.generation != compacted.generation - 1:
                return False
            if sum(bucket_of(machine) == compacted.bucket for machine in machines) != seen:
                return False
            if listed.count() != len(old):
                return False
            listed.delete()
            parts.bulk_create(
                models.Part(**{**asdict(part), "dataset": part.dataset.value}) for part in new
            )
            for name in ("generation", "correction", "rows", "bales"):
                setattr(line, name, getattr(compacted, name))
            line.at = compacted.at or line.at
            line.save(using=self.alias)
        return True

    @contextmanager
    def _at_once(self) -> Iterator[None]:
        """One transaction; a database that cannot be written is bad input, not a fault of ours."""
        try:
            with transaction.atomic(using=self.alias):
                yield
        except DatabaseError as error:
            raise cannot_keep(error) from error

    def _lock_generation(self, bucket: int) -> models.Compaction:
        lines = models.Compaction.objects.using(self.alias).select_for_update()
        return lines.get_or_create(
            bucket=bucket, defaults={"generation": 0, "rows": 0, "bales": 0, "at": _EPOCH}
        )[0]

    def _set_spans(self, machine: str, marks: Remarked) -> None:
        raise NotImplementedError  # the machines' shelf does it


def _fields(correction: Correction) -> dict[str, object]:
    return {
        "machine": correction.machine,
        "column": correction.column,
        "value": correction.value,
        "bales": list(correction.bales),
        "why": correction.why,
        "made_at": _EPOCH + timedelta(microseconds=correction.at_us),
        "made_by": correction.by,
        "withdraws": correction.withdraws,
    }


def _correction(row: models.Correction) -> Correction:
    return Correction(
        key=row.key,
        machine=row.machine,
        bales=tuple(row.bales),
        column=row.column,
        value=row.value,
        why=row.why,
        by=row.made_by,
        at_us=(row.made_at - _EPOCH) // timedelta(microseconds=1),
        withdraws=row.withdraws,
    )


def _compacted(row: models.Compaction) -> Compacted:
    return Compacted(
        row.bucket, row.generation, row.correction, row.rows, row.bales, row.at.astimezone(UTC)
    )
