"""Fold entries to a case. Nothing an entry may hold makes it fail: what is not understood is
kept and said."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from balewright.cause.case.case import (
    Case,
    CaseState,
    CauseFound,
    NoteMade,
    Outcome,
    PartUsed,
    PhotoTaken,
    ProofMade,
    Reading,
    RepairMade,
)
from balewright.cause.case.entry import Entry, EntryKind, Said
from balewright.cause.case.merge import conflicts_in, merge
from balewright.cause.case.payload import Fields
from balewright.quantities.errors import BadInput, Fault

_FAST: Final = (EntryKind.OPENED, EntryKind.PROVED)


class _Unreadable(Exception):
    """An entry of a known kind without what that kind needs."""


def read_case(entries: Iterable[Entry]) -> Case:
    """The case that these entries tell; the same for any order and number of copies.

    Raises BadInput for none at all, and for entries of two cases.
    """
    whole = merge(entries)
    keys = sorted({one.case for one in whole})
    if len(keys) != 1:
        given = "none" if not keys else f"{len(keys)}, {keys[0]!r} and {keys[1]!r} first"
        cure = "Give the entries of one case at a time."
        raise BadInput(Fault("entries", "entries of one case", given, cure))
    withdrawn = _withdrawn(whole)
    fold = _Fold()
    for one in whole:
        if one.id not in withdrawn:
            fold.take(one)
    return fold.case(keys[0], whole, withdrawn)


def _withdrawn(entries: tuple[Entry, ...]) -> frozenset[str]:
    """Ids that were taken back. Only a later entry takes back, and one that was itself taken back
    takes back nothing: so going back on going back brings the answer back. What the case is of,
    and what bales proved, nobody takes back."""
    gone: set[str] = set()
    fast = {one.id for one in entries if one.known_kind in _FAST}
    place = {one.id: n for n, one in reversed(list(enumerate(entries)))}
    for n in range(len(entries) - 1, -1, -1):
        one = entries[n]
        if one.known_kind is not EntryKind.WENT_BACK or one.id in gone:
            continue
        target = one.payload.text("entry")
        if place.get(target, n) < n and target not in fast:
            gone.add(target)
    return frozenset(gone)


class _Fold:
    """What has been read so far."""

    def __init__(self) -> None:
        self.opened: Entry | None = None
        self.is_closed = False
        self.is_repaired = False
        self.readings: list[Reading] = []
        self.made: dict[EntryKind, list[Any]] = {kind: [] for kind in EntryKind}
        self.not_understood: list[Entry] = []

    def take(self, entry: Entry) -> None:
        kind = entry.known_kind
        if kind is None:
            self.not_understood.append(entry)
            return
        try:
            made = _READERS[kind](entry, entry.payload)
        except _Unreadable:
            self.not_understood.append(entry)
            return
        self._place(kind, entry, made)

    def _place(self, kind: EntryKind, entry: Entry, made: Any) -> None:
        if kind is EntryKind.OPENED:
            self.opened = self.opened or entry
        if kind in (EntryKind.OPENED, EntryKind.REPORTED, EntryKind.CHECK_READ):
            repairs = len(self.made[EntryKind.REPAIRED])
            self.readings += [
                Reading(one.entry, one.on, one.said, one.value, one.unit, repairs) for one in made
            ]
            return
        if kind in (EntryKind.REPAIRED, EntryKind.SWAPPED):
            self.is_repaired, kind = True, EntryKind.REPAIRED
        if kind is EntryKind.CLOSED:
            self.is_closed = True
        if kind is EntryKind.WENT_BACK:
            return  # done before
        if kind is EntryKind.REOPENED:
            self.is_closed = self.is_repaired = False
        self.made[kind].append(made)

    def case(self, key: str, whole: tuple[Entry, ...], withdrawn: frozenset[str]) -> Case:
        opened = self.opened
        said = opened.payload if opened else Fields()
        state = CaseState.REPAIRED if self.is_repaired else CaseState.OPEN
        asked = {one.on for one in self.readings if one.said is Said.SKIPPED}
        answered = {one.on for one in self.readings if one.said is not Said.SKIPPED}
        return Case(
            key=key,
            entries=whole,
            state=CaseState.CLOSED if self.is_closed else state,
            opened=opened,
            machine=said.text("machine") or None,
            complaint=said.text("complaint"),
            findings=said.texts("findings"),
            network=said.text("network"),
            readings=tuple(self.readings),
            skipped=frozenset(asked - answered),
            causes=tuple(self.made[EntryKind.CAUSE_FOUND]),
            repairs=tuple(self.made[EntryKind.REPAIRED]),
            notes=tuple(self.made[EntryKind.NOTE]),
            photos=tuple(self.made[EntryKind.PHOTO]),
            closings=tuple(self.made[EntryKind.CLOSED]),
            reopenings=tuple(self.made[EntryKind.REOPENED]),
            proofs=tuple(self.made[EntryKind.PROVED]),
            sharings=tuple(self.made[EntryKind.SHARED]),
            claims=tuple(self.made[EntryKind.CLAIM_NOTED]),
            withdrawn=withdrawn,
            conflicts=conflicts_in(whole),
            not_understood=tuple(self.not_understood),
        )


def check_entry(entry: Entry) -> None:
    """Raises BadInput for an entry of this version that lacks what its kind needs, or whose
    answer is none; one of a newer version passes."""
    kind = entry.known_kind
    if kind is None:
        return
    try:
        _READERS[kind](entry, entry.payload)
    except _Unreadable as error:
        place, _, need = str(error).partition(": ")
        given = repr(entry.payload.get(place))[:60]
        cure = "Enter it again on the phone."
        raise BadInput(Fault(f"{entry.id} {place}", need, given, cure)) from error


def _need(fields: Fields, name: str, need: str) -> str:
    found = fields.text(name)
    if not found:
        raise _Unreadable(f"{name}: {need}")
    return found


def _said(fields: Fields) -> Said:
    try:
        return Said(fields.text("seen"))
    except ValueError:
        words = ", ".join(one.value for one in Said)
        raise _Unreadable(f"seen: one of {words}") from None


def _read_opened(entry: Entry, fields: Fields) -> list[Reading]:
    _need(fields, "machine", "the machine's serial")
    return [Reading(entry, key, Said.YES) for key in fields.texts("reports")]


def _read_reported(entry: Entry, fields: Fields) -> list[Reading]:
    return [Reading(entry, _need(fields, "on", "key of an observation"), _said(fields))]


def _read_check(entry: Entry, fields: Fields) -> list[Reading]:
    key, value = _need(fields, "check", "key of a check"), fields.number("value")
    said = None if value is not None and not fields.get("seen") else _said(fields)
    return [Reading(entry, key, said, value, fields.text("unit"))]


def _read_back(_: Entry, fields: Fields) -> str:
    return _need(fields, "entry", "the id of the entry that is taken back")


def _read_cause(entry: Entry, fields: Fields) -> CauseFound:
    cause, words = fields.text("cause"), fields.text("words")
    if not cause and not words:
        raise _Unreadable("cause: a key of the network, or own words")
    return CauseFound(entry, cause, words)


def _read_repair(entry: Entry, fields: Fields) -> RepairMade:
    parts = [
        PartUsed(one.text("part"), 1.0 if one.number("count") is None else one.number("count") or 0)
        for one in fields.parts("parts")
        if one.text("part")
    ]
    return RepairMade(
        entry,
        fields.text("words"),
        tuple(parts),
        fields.number("minutes"),
        fields.number("travel_minutes"),
        fields.whole("at_bale"),
    )


def _read_swap(entry: Entry, fields: Fields) -> RepairMade:
    return RepairMade(
        entry,
        fields.text("words"),
        minutes=fields.number("minutes"),
        at_bale=fields.whole("at_bale"),
        swap=True,
        instead=fields.text("instead"),
    )


def _read_words(entry: Entry, fields: Fields) -> NoteMade:
    return NoteMade(entry, fields.text("words"))


def _read_note(entry: Entry, fields: Fields) -> NoteMade:
    return NoteMade(entry, _need(fields, "words", "what the note says"))


def _read_photo(entry: Entry, fields: Fields) -> PhotoTaken:
    sha256 = _need(fields, "sha256", "the hash of the picture")
    return PhotoTaken(entry, sha256, fields.whole("size_bytes"), fields.text("words"))


def _read_proof(entry: Entry, fields: Fields) -> ProofMade:
    try:
        outcome = Outcome(fields.text("outcome"))
    except ValueError:
        words = ", ".join(one.value for one in Outcome)
        raise _Unreadable(f"outcome: one of {words}") from None
    return ProofMade(
        entry,
        outcome,
        bales=fields.whole("bales"),
        need_bales=fields.whole("need_bales"),
        from_bale=fields.whole("from_bale"),
        to_bale=fields.whole("to_bale"),
        ended=fields.texts("ended"),
        going_on=fields.texts("going_on"),
        why=fields.text("why"),
    )


_READERS: Final[Mapping[EntryKind, Callable[[Entry, Fields], Any]]] = {
    EntryKind.OPENED: _read_opened,
    EntryKind.REPORTED: _read_reported,
    EntryKind.CHECK_READ: _read_check,
    EntryKind.WENT_BACK: _read_back,
    EntryKind.NOTE: _read_note,
    EntryKind.PHOTO: _read_photo,
    EntryKind.CAUSE_FOUND: _read_cause,
    EntryKind.REPAIRED: _read_repair,
    EntryKind.SWAPPED: _read_swap,
    EntryKind.CLOSED: _read_words,
    EntryKind.REOPENED: _read_words,
    EntryKind.PROVED: _read_proof,
    EntryKind.SHARED: _read_words,
    EntryKind.CLAIM_NOTED: _read_words,
}
