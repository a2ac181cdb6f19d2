"""Cases by their entries, which only add up; links to them; photos that arrived."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any, Final

from django.db import transaction
from django.db.models import Count, F, Max, Min

from balewright.cause.case.entry import Entry, content_of
from balewright.cause.case.payload import freeze, thaw
from balewright.store import models
from balewright.store.case_entries import (
    Arrived,
    CaseLinkEntry,
    CaseLinkKind,
    CaseRow,
    PhotoEntry,
    Way,
)


class CaseShelf:
    """Entries of cases, as they came."""

    alias: str

    def add_case_entries(self, arrived: Sequence[Arrived]) -> frozenset[str]:
        """Keep entries, all or none; the contents that were new. One that is there already, by
        content, changes nothing: neither who handed it in nor when."""
        new = set()
        with transaction.atomic(using=self.alias):
            for one in arrived:
                content = content_of(one.entry)
                _, made = self._entries().get_or_create(
                    content_sha256=content, defaults=_fields(one)
                )
                if made:
                    new.add(content)
        return frozenset(new)

    def load_case(self, case: str) -> tuple[Arrived, ...]:
        """Every entry of a case in the order it came; none for a case nobody knows."""
        return tuple(map(_arrived, self._entries().filter(case=case).order_by("pk")))

    def load_cases(self, machine: str | None = None) -> tuple[CaseRow, ...]:
        """All cases, or one machine's, the one with the last news first."""
        rows = (
            self._entries()
            .values("case")
            .annotate(
                serial=Max("machine"),
                first=Min("arrived_us"),
                last=Max("arrived_us"),
                many=Count("pk"),
            )
        )
        if machine is not None:
            own = self._entries().filter(machine=machine).values("case")
            rows = rows.filter(case__in=own)
        return tuple(
            CaseRow(row["case"], row["serial"], row["first"], row["last"], row["many"])
            for row in rows.order_by("-last", "case")
        )

    def load_cases_whole(self, cases: Collection[str]) -> dict[str, tuple[Arrived, ...]]:
        """Every entry of these cases, by case."""
        found: dict[str, list[Arrived]] = {case: [] for case in cases}
        for row in self._entries().filter(case__in=list(cases)).order_by("pk"):
            found[row.case].append(_arrived(row))
        return {case: tuple(entries) for case, entries in found.items()}

    def count_entry_conflicts(self) -> int:
        """Ids under which more than one content was kept."""
        marks = self._entries().values("mark").annotate(many=Count("pk")).filter(many__gt=1)
        return int(marks.count())

    def blank_case(self, case: str) -> None:
        """Let a case's entries forget words and names; answers, numbers, keys and the order stay.

        An entry that is sent once more is known by its content as it first came.
        """
        with transaction.atomic(using=self.alias):
            for row in self._entries().select_for_update().filter(case=case):
                row.payload = _without_words(row.payload)
                row.said_by = "erased" if row.said_by else ""
                row.save(using=self.alias)

    def add_photo(self, case: str, entry: PhotoEntry) -> bool:
        """Note that a photo's file is there; False where it was noted before."""
        _, made = models.CasePhoto.objects.using(self.alias).get_or_create(
            sha256=entry.sha256,
            defaults={
                "case": case,
                "media": entry.media,
                "size_bytes": entry.size_bytes,
                "arrived_us": entry.at_us,
            },
        )
        return made

    def load_photos(self, hashes: Collection[str]) -> dict[str, PhotoEntry]:
        """Those of these photos that arrived, by hash."""
        rows = models.CasePhoto.objects.using(self.alias).filter(sha256__in=list(hashes))
        return {row.sha256: _photo(row) for row in rows}

    def load_all_photos(self) -> tuple[PhotoEntry, ...]:
        """Every photo that ever arrived, by hash."""
        rows = models.CasePhoto.objects.using(self.alias).order_by("sha256")
        return tuple(map(_photo, rows))

    def count_photos(self, case: str) -> int:
        """How many photos came with a case first and are there."""
        rows = models.CasePhoto.objects.using(self.alias)
        return rows.filter(case=case, gone_at=None).count()

    def note_photo_gone(self, sha256: str, at: datetime, why: str) -> None:
        """Note that a photo's file was let go."""
        rows = models.CasePhoto.objects.using(self.alias).filter(sha256=sha256, gone_at=None)
        rows.update(gone_at=at, gone_why=why)

    def save_case_link(self, token_sha256: str, entry: CaseLinkEntry) -> CaseLinkEntry:
        """Keep a new link; it comes back with its id."""
        row = models.CaseLink.objects.using(self.alias).create(
            token_sha256=token_sha256,
            case=entry.case,
            kind=entry.kind.value,
            made_at=entry.made_at,
            made_by=entry.made_by,
            valid_until=entry.valid_until,
            note=entry.note,
            claim=entry.claim,
        )
        return _link(row)

    def load_case_link(self, token_sha256: str) -> CaseLinkEntry | None:
        """The link of that hash, good or not; None when there is none."""
        links = models.CaseLink.objects.using(self.alias)
        row = links.filter(token_sha256=token_sha256).first()
        return None if row is None else _link(row)

    def load_case_links(self, case: str) -> tuple[CaseLinkEntry, ...]:
        """Every link of a case, the newest first."""
        rows = models.CaseLink.objects.using(self.alias).filter(case=case)
        return tuple(map(_link, rows.order_by("-made_at", "-pk")))

    def count_case_opening(self, link_id: int) -> None:
        """One more: a number, and nothing of who it was."""
        links = models.CaseLink.objects.using(self.alias)
        links.filter(pk=link_id).update(opened=F("opened") + 1)

    def withdraw_case_link(self, case: str, link_id: int, at: datetime) -> bool:
        """End a link of that case for good; False where it has none such or it is ended."""
        links = models.CaseLink.objects.using(self.alias)
        own = links.filter(pk=link_id, case=case, withdrawn_at=None)
        return own.update(withdrawn_at=at) == 1

    def _entries(self) -> Any:
        return models.CaseEntry.objects.using(self.alias)


def _fields(arrived: Arrived) -> dict[str, Any]:
    one = arrived.entry
    return {
        "mark": one.id,
        "case": one.case,
        "machine": one.payload.text("machine") or None if one.kind == "opened" else None,
        "device": one.device,
        "sequence": one.sequence,
        "clock": one.clock,
        "kind": one.kind,
        "payload": thaw(one.payload),
        "schema_version": one.schema_version,
        "made_us": one.made_us,
        "said_by": one.by,
        "arrived_us": arrived.at_us,
        "arrived_by": arrived.by,
        "way": arrived.way.value,
    }


def _arrived(row: models.CaseEntry) -> Arrived:
    entry = Entry(
        row.mark,
        row.case,
        row.device,
        row.sequence,
        row.clock,
        row.kind,
        freeze(row.payload),
        row.schema_version,
        row.made_us,
        row.said_by,
    )
    return Arrived(entry, row.arrived_us, Way(row.way), row.arrived_by)


_WORDS: Final = frozenset(("complaint", "words", "number", "with", "text", "name"))


def _without_words(value: Any) -> Any:
    """Texts that people wrote become "erased"; keys, answers and numbers stay."""
    if isinstance(value, dict):
        return {
            name: "erased"
            if name in _WORDS and isinstance(one, str) and one
            else _without_words(one)
            for name, one in value.items()
        }
    if isinstance(value, list):
        return [_without_words(one) for one in value]
    return value


def _is_text(value: Any) -> bool:
    return isinstance(value, str) and bool(value)


def _photo(row: models.CasePhoto) -> PhotoEntry:
    return PhotoEntry(
        row.sha256, row.media, row.size_bytes, row.arrived_us, row.gone_at, row.gone_why
    )


def _link(row: models.CaseLink) -> CaseLinkEntry:
    return CaseLinkEntry(
        id=row.pk,
        case=row.case,
        kind=CaseLinkKind(row.kind),
        made_at=row.made_at,
        made_by=row.made_by,
        valid_until=row.valid_until,
        withdrawn_at=row.withdrawn_at,
        opened=row.opened,
        note=row.note,
        claim=row.claim,
    )
