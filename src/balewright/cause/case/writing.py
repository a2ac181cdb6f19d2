"""Entries as the desk itself writes them, and what a proof is kept as."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from balewright.cause.case.entry import Entry, EntryKind
from balewright.cause.case.payload import Fields, fields_of
from balewright.cause.case.proof import CureProof


@dataclass(frozen=True)
class Pen:
    """What writes. device: its name; by: who; now_us: its time, shown and never trusted; mark: by
    chance, different for every entry."""

    device: str
    by: str
    now_us: int
    mark: str


def next_entry(
    case: str, known: Iterable[Entry], pen: Pen, kind: EntryKind, payload: Fields
) -> Entry:
    """The entry after all that is known of the case."""
    before = tuple(known)
    own = [one.sequence for one in before if one.device == pen.device]
    return Entry(
        id=pen.mark,
        case=case,
        device=pen.device,
        sequence=max(own, default=0) + 1,
        clock=max((one.clock for one in before), default=0) + 1,
        kind=kind.value,
        payload=payload,
        made_us=pen.now_us,
        by=pen.by,
    )


def proof_fields(proof: CureProof) -> Fields:
    """A proof as a payload: what it was worked out to, and from which bales."""
    return fields_of(
        outcome=proof.outcome.value,
        bales=proof.bales,
        need_bales=proof.need_bales,
        from_bale=proof.from_bale,
        to_bale=proof.to_bale,
        ended=list(proof.ended),
        going_on=list(proof.going_on),
        waiting=list(proof.waiting),
        why=" ".join(one.key for one in proof.why),
    )
