"""Take what people wrote and photographed out of a case; what was found and done stays."""

from __future__ import annotations

from balewright.flows.workplace import Workplace
from balewright.store.case_entries import Arrived
from balewright.store.photos import Photos

ERASED = "erased"


def held_of_case(workplace: Workplace, case: str) -> dict[str, int]:
    """What a case holds of people, by place as in the list of personal data; empty for a case
    nobody knows and one that was forgotten."""
    entries = workplace.register.load_case(case)
    found = {
        "caseentry.said_by": sum(one.entry.by not in ("", ERASED) for one in entries),
        "caseentry.payload": sum(map(_has_words, entries)),
        "photos": len(_photos(workplace, entries)),
    }
    return {place: count for place, count in found.items() if count}


def forget_case(workplace: Workplace, case: str) -> None:
    """Photos go first: the entries say which they are. Done twice it changes nothing more."""
    photos = Photos(workplace.home / "photos")
    for sha256 in _photos(workplace, workplace.register.load_case(case)):
        workplace.register.note_photo_gone(sha256, workplace.clock(), "erasure")
        photos.let_go(sha256)
    workplace.register.blank_case(case)


def _photos(workplace: Workplace, entries: tuple[Arrived, ...]) -> list[str]:
    named = {one.entry.payload.text("sha256") for one in entries if one.entry.kind == "photo"}
    there = workplace.register.load_photos(named)
    return sorted(key for key, photo in there.items() if photo.gone_at is None)


def _has_words(one: Arrived) -> bool:
    payload = one.entry.payload
    written = (payload.text(name) for name in ("complaint", "words", "number", "with"))
    return any(text not in ("", ERASED) for text in written)
