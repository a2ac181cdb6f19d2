"""Devices that send a machine's records by themselves: made, withdrawn, known by their token."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from typing import Final

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.arriving import SenderEntry

TOKEN_BYTES: Final = 32
"""256 bits by the operating system's own chance: nobody finds one by trying."""
LONGEST_SERIAL: Final = 100
LONGEST_LABEL: Final = 120


@dataclass(frozen=True)
class MadeSender:
    """The token, which nobody can be told a second time, and the sender as it is kept."""

    token: str
    entry: SenderEntry


def make_sender(
    workplace: Workplace, machine: str, label: str, made_by: str | None = None
) -> MadeSender:
    """Make a sender for one machine. Only the token's hash is kept.

    machine: the only serial it may speak of; label: which device it is, in a word or two; made_by:
    None for the command line. Raises BadInput for a serial or label that is missing or too long.
    """
    machine, label = machine.strip(), label.strip()
    faults = []
    if not 0 < len(machine) <= LONGEST_SERIAL:
        need = f"a machine's serial of at most {LONGEST_SERIAL} characters"
        faults.append(Fault("machine", need, repr(machine), "Give it as its records say it."))
    if len(label) > LONGEST_LABEL:
        need = f"at most {LONGEST_LABEL} characters"
        faults.append(Fault("label", need, str(len(label)), "Say it shorter."))
    if faults:
        raise BadInput(*faults)
    token = f"bw-{secrets.token_urlsafe(TOKEN_BYTES)}"
    entry = SenderEntry(
        key=secrets.token_hex(6),
        machine=machine,
        label=label or machine,
        made_at=workplace.clock(),
        made_by=made_by,
    )
    workplace.register.save_sender(hash_token(token), entry)
    return MadeSender(token, entry)


def find_sender(workplace: Workplace, key: str, token: str) -> SenderEntry | None:
    """The sender of that key and token; None alike where either is wrong or it was withdrawn."""
    entry = workplace.register.load_sender_of(hash_token(token))
    if entry is None or entry.key != key or entry.withdrawn_at is not None:
        return None
    workplace.register.see_sender(key, workplace.clock())
    return entry


def withdraw_sender(workplace: Workplace, key: str) -> bool:
    """End a sender; its token opens nothing from now on. False where there was none."""
    return workplace.register.withdraw_sender(key, workplace.clock())


def hash_token(token: str) -> str:
    """What is kept of a token. So much chance needs no salt and no slow hash."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()
