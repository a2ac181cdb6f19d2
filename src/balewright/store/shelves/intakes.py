"""The intake ledger and the manifest: what was taken in, and which column files count."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

from django.db import DatabaseError, IntegrityError, transaction

from balewright.records.counters import CounterSpan
from balewright.records.intake import Doubt, JobSeen, Refusal
from balewright.store import models
from balewright.store.entries import (
    Dataset,
    IntakeEntry,
    IntakeState,
    Part,
)
from balewright.store.noted import notes_from_json
from balewright.store.refused_writes import cannot_keep

Spans = Mapping[str, tuple[CounterSpan, ...]]


class IntakeShelf:
    """The ledger and the manifest. `commit_intake` is the only place where files become facts."""

    alias: str

    def commit_intake(
        self, entry: IntakeEntry, parts: Sequence[Part], spans: Spans, jobs: Sequence[JobSeen] = ()
    ) -> bool:
        """Enter a taken file, its parts, counters' marks and orders in one transaction.

        False, and nothing changed, when that content is in the ledger as taken already.
        A line that says `refused` gives way, and one that kept nothing: the file may be readable
        by now, or understood.
        """
        try:
            with transaction.atomic(using=self.alias):
                return self._commit(entry, parts, spans, jobs)
        except IntegrityError:
            if entry.sha256 in self.load_taken():  # another process was first
                return False
            raise
        except DatabaseError as error:
            raise cannot_keep(error) from error

    def _commit(
        self, entry: IntakeEntry, parts: Sequence[Part], spans: Spans, jobs: Sequence[JobSeen]
    ) -> bool:
        ledger = models.Intake.objects.using(self.alias)
        same = ledger.select_for_update().filter(sha256=entry.sha256)
        if same.filter(state=IntakeState.TAKEN.value).exclude(kept=0, events=0).exists():
            return False
        same.delete()
        intake = ledger.create(**_intake_fields(entry))
        models.Part.objects.using(self.alias).bulk_create(
            models.Part(**{**asdict(part), "dataset": part.dataset.value}, intake=intake)
            for part in parts
        )
        self._widen_spans(spans)
        self._add_jobs(jobs, entry.sha256)
        return True

    def save_refused(self, entry: IntakeEntry) -> None:
        """Note a file that could not be taken; a line that says `taken` stays as it is."""
        with transaction.atomic(using=self.alias):
            ledger = models.Intake.objects.using(self.alias)
            same = ledger.select_for_update().filter(sha256=entry.sha256)
            if same.filter(state=IntakeState.TAKEN.value).exists():
                return
            same.delete()
            ledger.create(**_intake_fields(entry))

    def load_intake(self, sha256: str) -> IntakeEntry | None:
        """The ledger's line for a content, None when it has none."""
        row = models.Intake.objects.using(self.alias).filter(sha256=sha256).first()
        return None if row is None else _intake_entry(row)

    def load_intakes(self, last: int | None = None) -> tuple[IntakeEntry, ...]:
        """The ledger, the newest line first; all of it, or the `last` so many."""
        rows = models.Intake.objects.using(self.alias).order_by("-at", "sha256")
        return tuple(map(_intake_entry, rows if last is None else rows[:last]))

    def load_taken(self) -> frozenset[str]:
        """Hash of every content that was taken in."""
        taken = models.Intake.objects.using(self.alias).filter(state=IntakeState.TAKEN.value)
        return frozenset(taken.values_list("sha256", flat=True))

    def note_original_gone(self, sha256: str, at: datetime, why: str) -> None:
        """Note that the original of a content is not kept any more; the first note stays."""
        rows = models.Intake.objects.using(self.alias).filter(sha256=sha256)
        rows.filter(original_gone_at__isnull=True).update(
            original_gone_at=at, original_gone_why=why[:200]
        )

    def load_originals_gone(self) -> frozenset[str]:
        """Hash of every content whose original was let go, by rule or by erasure."""
        rows = models.Intake.objects.using(self.alias).filter(original_gone_at__isnull=False)
        return frozenset(rows.values_list("sha256", flat=True))

    def load_parts(self, dataset: Dataset, bucket: int | None = None) -> tuple[Part, ...]:
        """The files of the manifest, by path; of one bucket or of all. One snapshot."""
        rows = models.Part.objects.using(self.alias).filter(dataset=dataset.value).order_by("path")
        if bucket is not None:
            rows = rows.filter(bucket=bucket)
        return tuple(map(_part, rows))

    def load_every_part(self, bucket: int | None = None) -> tuple[Part, ...]:
        """The files of every dataset, by path; of one bucket or of all. One snapshot."""
        rows = models.Part.objects.using(self.alias).order_by("path")
        if bucket is not None:
            rows = rows.filter(bucket=bucket)
        return tuple(map(_part, rows))

    def load_part_paths(self) -> frozenset[str]:
        """Every path the manifest lists."""
        return frozenset(models.Part.objects.using(self.alias).values_list("path", flat=True))

    def _widen_spans(self, spans: Spans) -> None:
        raise NotImplementedError  # the machines' shelf does it

    def _add_jobs(self, jobs: Sequence[JobSeen], source: str) -> None:
        raise NotImplementedError  # the machines' shelf does it


def _intake_fields(entry: IntakeEntry) -> dict[str, Any]:
    fields = asdict(entry)
    details = {name: fields.pop(name) for name in ("refusals", "doubts", "machines", "notes")}
    return {**fields, "state": entry.state.value, "details": details}


def _intake_entry(row: models.Intake) -> IntakeEntry:
    return IntakeEntry(
        sha256=row.sha256,
        name=row.name,
        form=row.form,
        state=IntakeState(row.state),
        at=row.at,
        kept=row.kept,
        events=row.events,
        refused=row.refused,
        doubtful=row.doubtful,
        refusals=tuple(Refusal(**line) for line in row.details["refusals"]),
        doubts=tuple(Doubt(**line) for line in row.details["doubts"]),
        machines=tuple(row.details["machines"]),
        first_us=row.first_us,
        last_us=row.last_us,
        notes=notes_from_json(row.details.get("notes", {})),
    )


def _part(row: models.Part) -> Part:
    return Part(
        path=row.path,
        dataset=Dataset(row.dataset),
        season=row.season,
        bucket=row.bucket,
        rows=row.rows,
        sha256=row.sha256,
        size_bytes=row.size_bytes,
        schema_version=row.schema_version,
        generation=row.generation,
        first_us=row.first_us,
        last_us=row.last_us,
    )
