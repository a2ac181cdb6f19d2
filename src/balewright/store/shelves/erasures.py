"""What the register itself holds of a person, taking it out, and the note that it was done."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

from django.db import transaction

from balewright.store import models
from balewright.store.entries import AccessEntry, ErasureEntry

_ACCOUNT_FIELDS: Final = (
    (models.Link, "made_by"),
    (models.Feedback, "given_by"),
    (models.Snapshot, "kept_by"),
    (models.ColumnMap, "made_by"),
    (models.Correction, "made_by"),
    (models.Sender, "made_by"),
    (models.Upload, "made_by"),
    (models.SetAside, "made_by"),
    (models.SetAside, "ended_by"),
    (models.HouseRule, "set_by"),
    (models.Erasure, "by"),
    (models.Access, "who"),
    (models.CaseEntry, "arrived_by"),
    (models.CaseEntry, "said_by"),
    (models.CaseLink, "made_by"),
)


class ErasureShelf:
    """Personal data in the register."""

    alias: str

    def count_account(self, name: str) -> dict[str, int]:
        """Lines that say this person did something, by place; only places with any."""
        counts = {
            f"{model._meta.model_name}.{field}": model._default_manager.using(self.alias)
            .filter(**{field: name})
            .count()
            for model, field in _ACCOUNT_FIELDS
        }
        return {place: count for place, count in counts.items() if count}

    def rename_account(self, name: str, instead: str) -> None:
        """Let another word stand wherever this person's name does."""
        with transaction.atomic(using=self.alias):
            for model, field in _ACCOUNT_FIELDS:
                rows = model._default_manager.using(self.alias).filter(**{field: name})
                rows.update(**{field: instead})

    def blank_corrections(
        self, columns: Collection[str], values: Mapping[Any, str | None], machine: str | None
    ) -> frozenset[str]:
        """Let corrections of these columns forget these values (all where `values` is empty);
        the machines whose bales they are of."""
        with transaction.atomic(using=self.alias):
            rows = models.Correction.objects.using(self.alias).filter(column__in=columns)
            if machine is not None:
                rows = rows.filter(machine=machine)
            touched = set()
            for row in rows.select_for_update():
                if row.value is None or (values and row.value not in values):
                    continue
                row.value = values.get(row.value) if values else None
                row.save(using=self.alias)
                touched.add(row.machine)
        return frozenset(touched)

    def count_corrections(
        self, columns: Collection[str], values: Collection[Any], machine: str | None
    ) -> int:
        """How many `blank_corrections` would change."""
        rows = models.Correction.objects.using(self.alias).filter(column__in=columns)
        if machine is not None:
            rows = rows.filter(machine=machine)
        told = [row.value for row in rows if row.value is not None]
        return sum(not values or value in values for value in told)

    def blank_intakes(
        self, sources: Collection[str], subject: str | None, words: Mapping[str, str]
    ) -> None:
        """Let the ledger's lines of these contents forget what stood in refused rows, and a file
        name that holds the subject; words: job words to what stands there instead."""
        with transaction.atomic(using=self.alias):
            for row in models.Intake.objects.using(self.alias).filter(sha256__in=sources):
                row.details = _without_texts(row.details, subject, words)
                if subject is not None and subject.casefold() in row.name.casefold():
                    row.name = f"erased {row.sha256[:8]}"
                row.save(using=self.alias)
            for model in (models.Delivery, models.Upload):
                named = model._default_manager.using(self.alias)
                if subject is not None:
                    named.filter(name__icontains=subject).update(name="erased")

    def forget_customer(self, name: str, instead: str, words: Mapping[str, str]) -> None:
        """Let another name stand for a customer; farms and fields go, their outlines too.

        words: job word to what stands there instead.
        """
        with transaction.atomic(using=self.alias):
            owner = models.Customer.objects.using(self.alias).filter(name=name).first()
            if owner is None:
                return
            models.Outline.objects.using(self.alias).filter(customer=owner).delete()
            for job in models.Job.objects.using(self.alias).filter(customer=owner):
                job.farm = job.field = None
                job.job = words.get(job.job, job.job)
                job.save(using=self.alias)
            owner.name = instead
            owner.save(using=self.alias)

    def count_customer(self, name: str) -> dict[str, int]:
        """What the register holds of a customer, by place; empty for one nobody knows."""
        owner = models.Customer.objects.using(self.alias).filter(name=name).first()
        if owner is None:
            return {}
        counts = {
            "customer.name": 1,
            "machine.customer": models.Machine.objects.using(self.alias)
            .filter(customer=owner)
            .count(),
            "job.job": models.Job.objects.using(self.alias).filter(customer=owner).count(),
            "outline.rings": models.Outline.objects.using(self.alias)
            .filter(customer=owner)
            .count(),
        }
        return {place: count for place, count in counts.items() if count}

    def load_customers(self) -> tuple[str, ...]:
        """Every customer's name, by the alphabet."""
        names = models.Customer.objects.using(self.alias).order_by("name")
        return tuple(names.values_list("name", flat=True))

    def note_erasure(self, entry: ErasureEntry) -> None:
        """Note that something was erased; never what."""
        models.Erasure.objects.using(self.alias).create(
            kind=entry.kind,
            subject_sha256=entry.subject_sha256,
            at=entry.at,
            by=entry.by,
            counts=dict(entry.counts),
        )

    def load_erasures(self) -> tuple[ErasureEntry, ...]:
        """Every erasure, the newest first."""
        rows = models.Erasure.objects.using(self.alias).order_by("-at", "-id")
        return tuple(
            ErasureEntry(row.kind, row.subject_sha256, row.at, row.by, dict(row.counts))
            for row in rows
        )

    def note_access(self, entry: AccessEntry) -> None:
        """Note that somebody looked at personal data or took it out."""
        models.Access.objects.using(self.alias).create(
            at=entry.at, who=entry.who, deed=entry.deed, subject=entry.subject[:200]
        )

    def load_accesses(self, last: int) -> tuple[AccessEntry, ...]:
        """The last so many, the newest first."""
        rows = models.Access.objects.using(self.alias).order_by("-at", "-id")[:last]
        return tuple(AccessEntry(row.at, row.who, row.deed, row.subject) for row in rows)


def _without_texts(
    details: dict[str, Any], subject: str | None, words: Mapping[str, str]
) -> dict[str, Any]:
    """Refused rows and doubts keep place and reason, not what stood there; wherever they lie."""
    wanted = None if subject is None else subject.casefold()

    def bare(value: Any) -> Any:
        if isinstance(value, dict):
            is_spot = {"place", "text"} <= set(value)
            return {k: "" if is_spot and k == "text" else bare(v) for k, v in value.items()}
        if isinstance(value, list):
            return [bare(one) for one in value]
        if not isinstance(value, str):
            return value
        if wanted is not None and wanted in value.casefold():
            return "erased"
        if value.startswith("job "):  # the place of a doubt
            return "job " + words.get(value[4:], value[4:])
        return words.get(value, value)

    found: dict[str, Any] = bare(details)
    return found
