"""Make a link to a case: one that guides on a phone, or one that shows it to a dealer."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import timedelta

from balewright.cause.case.entry import EntryKind
from balewright.cause.case.payload import fields_of
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.read_case_of import KeptCase, read_case_of
from balewright.flows.share_sheet import LONGEST_DAYS, NOTE_LENGTH, TOKEN_BYTES, hash_token
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.case_entries import CaseLinkEntry, CaseLinkKind


@dataclass(frozen=True)
class ShareCase:
    """A link that is asked for.

    kind: GUIDE takes entries from whoever has it, READ shows alone; days: 1..365; made_by: the
    account; note: what stands above it; claim: it is evidence of a claim, and says so.
    """

    case: str
    made_by: str
    days: int
    kind: CaseLinkKind = CaseLinkKind.READ
    note: str = ""
    claim: bool = False


@dataclass(frozen=True)
class SharedCaseLink:
    """The token, which nobody can be told a second time, and the link as it is kept."""

    token: str
    entry: CaseLinkEntry


def share_case(workplace: Workplace, asked: ShareCase) -> SharedCaseLink:
    """Make a link; of one that shows the case to somebody the case has an entry.

    Only the token's hash is kept. Raises BadInput for a case nobody knows, days out of range and
    too long a note.
    """
    kept = read_case_of(workplace, asked.case)
    note, faults = asked.note.strip(), []
    if not 1 <= asked.days <= LONGEST_DAYS:
        cure = "Give whole days; a link can be made anew at any time."
        faults.append(Fault("days", f"from 1 to {LONGEST_DAYS} days", str(asked.days), cure))
    if len(note) > NOTE_LENGTH:
        need = f"at most {NOTE_LENGTH} characters"
        faults.append(Fault("note", need, f"{len(note)}", "Say it shorter."))
    if faults:
        raise BadInput(*faults)
    token, now = secrets.token_urlsafe(TOKEN_BYTES), workplace.clock()
    entry = workplace.register.save_case_link(
        hash_token(token),
        CaseLinkEntry(
            id=0,
            case=kept.case.key,
            kind=asked.kind,
            made_at=now,
            made_by=asked.made_by,
            valid_until=now + timedelta(days=asked.days),
            note=note,
            claim=asked.claim,
        ),
    )
    if asked.kind is CaseLinkKind.READ:
        payload = fields_of(words=note or None, claim=asked.claim, days=asked.days)
        add_to_case(workplace, asked.case, Writing(EntryKind.SHARED, payload, asked.made_by))
    return SharedCaseLink(token, entry)


def withdraw_case_link(workplace: Workplace, case: str, link_id: int) -> bool:
    """End a link of that case; it opens nothing from now on. False where there was none."""
    return workplace.register.withdraw_case_link(case, link_id, workplace.clock())


@dataclass(frozen=True)
class OpenedCase:
    """What a link opens."""

    link: CaseLinkEntry
    kept: KeptCase


def open_shared_case(
    workplace: Workplace, token: str, kind: CaseLinkKind, counted: bool = True
) -> OpenedCase | None:
    """The case of a link of that kind, None alike for a token that is unknown, over, withdrawn or
    of the other kind.

    counted: False where the same reader fetches it once more.
    """
    link = workplace.register.load_case_link(hash_token(token))
    if link is None or link.kind is not kind or not link.is_good(workplace.clock()):
        return None
    if counted:
        workplace.register.count_case_opening(link.id)
    return OpenedCase(link, read_case_of(workplace, link.case))
