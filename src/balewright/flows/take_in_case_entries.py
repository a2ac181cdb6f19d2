"""Take in entries and photos that phones wrote, by line or in a file; by one rule."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from balewright.cause.case.entry import Entry, EntryKind, content_of
from balewright.flows.keep_photo import keep_photo, photo_faults
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.readers.case_lines import read_case_lines
from balewright.records.intake import Refusal
from balewright.store.case_entries import Arrived, Way

MOST_BY_LINE = 2_000
MOST_PHOTOS = 60


@dataclass(frozen=True)
class Handed:
    """How something was handed in. way: LINE or FILE, COMMAND for a file by a command; case: the
    only one it may be about, None for any that is kept here; by: the account, None for a link or
    the command line; name: of the file."""

    way: Way
    case: str | None = None
    by: str | None = None
    name: str = "lines"


@dataclass(frozen=True)
class TakenEntries:
    """What became of it. kept: ids of entries that are kept now, new or known before; new: how
    many were new; photos: hashes that are kept now; refused: line by line, with the entry's id as
    text; cases: that were touched."""

    kept: tuple[str, ...]
    new: int
    photos: tuple[str, ...]
    refused: tuple[Refusal, ...]
    cases: tuple[str, ...]


def take_in_case_entries(workplace: Workplace, content: bytes, handed: Handed) -> TakenEntries:
    """Keep every entry that can be kept; handed in twice it is one.

    content: JSON lines (`readers.case_lines`). An entry of a case that was never opened here is
    refused, unless its opening, of a machine of the register, comes with it. Raises BadInput where
    it is no such file.
    """
    lines = read_case_lines(content, handed.name)
    kept, refused = [], list(lines.refused)
    openings = _openings(workplace, lines.entries)
    room = _Room(workplace, handed)
    for one in lines.entries:
        why = _why_not(workplace, one, handed, openings) or room.why_not(one)
        if why is None:
            kept.append(one)
        else:
            refused.append(Refusal(handed.name, f"entry {one.id}", one.id, why))
    now_us = round(workplace.clock().timestamp() * MICROSECONDS_PER_S)
    photos, not_kept = _keep_photos(workplace, lines.photos, kept)
    refused += [Refusal(handed.name, f"photo {key}", key, why) for key, why in not_kept]
    new = workplace.register.add_case_entries(
        [Arrived(one, now_us, handed.way, handed.by) for one in kept]
    )
    ids = tuple(dict.fromkeys(one.id for one in kept))
    cases = tuple(sorted({one.case for one in kept}))
    return TakenEntries(ids, len(new), photos, tuple(refused), cases)


def _openings(workplace: Workplace, entries: Iterable[Entry]) -> frozenset[str]:
    """Cases that these entries open, of machines that are known."""
    opened = [one for one in entries if one.kind == "opened"]
    return frozenset(
        one.case
        for one in opened
        if workplace.register.load_machine(one.payload.text("machine")) is not None
    )


class _Room:
    """How much one link may leave: whoever has it can fill no disk with it."""

    def __init__(self, workplace: Workplace, handed: Handed) -> None:
        self.known: frozenset[str] = frozenset()
        self.left: float = math.inf
        if handed.way is Way.LINE and handed.case is not None:
            here = workplace.register.load_case(handed.case)
            self.known = frozenset(content_of(one.entry) for one in here)
            self.left = MOST_BY_LINE - sum(one.way is Way.LINE for one in here)

    def why_not(self, entry: Entry) -> str | None:
        """One that is there already always has room."""
        if content_of(entry) in self.known:
            return None
        self.left -= 1
        return None if self.left >= 0 else f"A case holds at most {MOST_BY_LINE} entries by link."


def _why_not(
    workplace: Workplace, entry: Entry, handed: Handed, openings: frozenset[str]
) -> str | None:
    if handed.case is not None and entry.case != handed.case:
        return "It belongs to another case. Send it by that case's own link."
    known = [one.entry for one in workplace.register.load_case(entry.case)]
    if any(content_of(one) == content_of(entry) for one in known):
        return None
    why = _why_not_by_others(entry, any(one.known_kind is EntryKind.OPENED for one in known))
    if why is not None or known or entry.case in openings:
        return why
    return "Nobody opened this case here. Take it in at the desk where it was opened."


def _why_not_by_others(entry: Entry, is_open: bool) -> str | None:
    """What only the desk may write: a proof comes of bales, and a case is of one machine."""
    if entry.known_kind is EntryKind.PROVED:
        return "Only bales prove a cure; the desk works that out by itself."
    if entry.known_kind is EntryKind.SHARED:
        return "Only the desk shares a case."
    if entry.known_kind is EntryKind.OPENED and is_open:
        return "This case is open already."
    return None


def _keep_photos(
    workplace: Workplace, photos: Mapping[str, bytes], entries: list[Entry]
) -> tuple[tuple[str, ...], list[tuple[str, str]]]:
    kept, refused = [], []
    there = workplace.register.load_photos(photos)
    named = {one.payload.text("sha256"): one for one in entries if one.kind == "photo"}
    for sha256, content in sorted(photos.items()):
        entry = named.get(sha256)
        if entry is None:
            refused.append((sha256, "No entry of this file names it."))
            continue
        if sha256 in there and there[sha256].gone_at is not None:
            refused.append((sha256, "It was erased here."))
            continue
        try:
            photo_faults(content, entry.payload.get("with_position") is True)
            if workplace.register.count_photos(entry.case) >= MOST_PHOTOS:
                refused.append((sha256, f"A case holds at most {MOST_PHOTOS} photos."))
                continue
            keep_photo(workplace, entry.case, content)
        except BadInput as error:
            refused.append((sha256, str(error)))
            continue
        kept.append(sha256)
    return tuple(kept), refused
