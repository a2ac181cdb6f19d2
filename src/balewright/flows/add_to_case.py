"""Write a further entry of a case, here at the desk or by a command."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field

from balewright.cause.case.case import Case
from balewright.cause.case.entry import EntryKind
from balewright.cause.case.payload import Fields
from balewright.cause.case.read_case import check_entry, read_case
from balewright.cause.case.writing import Pen, next_entry
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.store.case_entries import Arrived, Way


@dataclass(frozen=True)
class Writing:
    """What is to be written. payload: see docs/cases.md and `payload.fields_of`; by: the account,
    None for the command line; way: DESK or COMMAND."""

    kind: EntryKind
    payload: Fields = field(default_factory=Fields)
    by: str | None = None
    way: Way = Way.DESK


def add_to_case(workplace: Workplace, case: str, writing: Writing) -> Case:
    """Keep one more entry; the case with it.

    Raises BadInput for a case nobody knows and for a payload without what its kind needs.
    """
    known = [one.entry for one in workplace.register.load_case(case)]
    if not known and writing.kind is not EntryKind.OPENED:
        cure = "Open the case first, or check the key."
        raise BadInput(Fault("case", "the key of a kept case", repr(case[:80]), cure))
    now_us = round(workplace.clock().timestamp() * MICROSECONDS_PER_S)
    pen = Pen("desk", writing.by or "", now_us, secrets.token_hex(16))
    entry = next_entry(case, known, pen, writing.kind, writing.payload)
    check_entry(entry)
    workplace.register.add_case_entries([Arrived(entry, now_us, writing.way, writing.by)])
    return read_case((*known, entry))
