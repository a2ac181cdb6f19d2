"""Make a link that opens one sheet without an account, and end it again."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.entries import LinkEntry

TOKEN_BYTES: Final = 16
"""128 bits by the operating system's own chance: nobody finds one by trying."""
LONGEST_DAYS: Final = 365
NOTE_LENGTH: Final = 120


@dataclass(frozen=True)
class ShareRequest:
    """A link that is asked for.

    days: 1..365, how long it opens; names_machine: whether it says the machine's name and serial;
    note: what stands above the sheet for whoever opens it.
    """

    sheet_id: str
    made_by: str
    days: int
    names_machine: bool = False
    note: str = ""


@dataclass(frozen=True)
class Shared:
    """The token, which nobody can be told a second time, and the link as it is kept."""

    token: str
    entry: LinkEntry


def share_sheet(workplace: Workplace, request: ShareRequest) -> Shared:
    """Make a link. Only the token's hash is kept.

    Raises BadInput for a sheet that is not kept, days out of range and too long a note.
    """
    note = request.note.strip()
    faults = []
    if not 1 <= request.days <= LONGEST_DAYS:
        cure = "Give whole days; a link can be made anew at any time."
        need = f"from 1 to {LONGEST_DAYS} days"
        faults.append(Fault("days", need, str(request.days), cure))
    if len(note) > NOTE_LENGTH:
        need = f"at most {NOTE_LENGTH} characters"
        faults.append(Fault("note", need, f"{len(note)}", "Say it shorter."))
    if faults:
        raise BadInput(*faults)
    token, now = secrets.token_urlsafe(TOKEN_BYTES), workplace.clock()
    entry = LinkEntry(
        id=0,
        sheet_id=request.sheet_id,
        made_at=now,
        made_by=request.made_by,
        valid_until=now + timedelta(days=request.days),
        names_machine=request.names_machine,
        note=note,
    )
    return Shared(token, workplace.register.save_link(hash_token(token), entry))


def hash_token(token: str) -> str:
    """What is kept of a token. 128 bits of chance need no salt and no slow hash."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def withdraw_link(workplace: Workplace, sheet_id: str, link_id: int) -> bool:
    """End a link of that sheet; it opens nothing from now on. False where there was none."""
    return workplace.register.withdraw_link(sheet_id, link_id, workplace.clock())
