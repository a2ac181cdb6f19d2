"""Open a case from a call or from findings."""

from __future__ import annotations

import secrets
from dataclasses import dataclass

from balewright.cause.case.case import Case
from balewright.cause.case.entry import EntryKind
from balewright.cause.case.payload import fields_of
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.case_entries import Way

COMPLAINT_LENGTH = 2_000


@dataclass(frozen=True)
class Opening:
    """What a case begins with.

    machine: its serial, of the register; complaint: in the words of who called; reports: keys of
    observations that were reported; findings: keys of the machine's episodes; network: key and
    version of the network that was asked; by: the account, None for the command line.
    """

    machine: str
    complaint: str = ""
    reports: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    network: str = ""
    by: str | None = None
    way: Way = Way.DESK


def open_case(workplace: Workplace, opening: Opening) -> Case:
    """A new case with a key of its own.

    Raises BadInput for a machine or finding that is not known, and for a case about nothing.
    """
    faults = []
    if workplace.register.load_machine(opening.machine) is None:
        cure = "Add the machine, or check the serial."
        faults.append(Fault("machine", "a serial of the register", repr(opening.machine), cure))
    for key in opening.findings:
        episode = workplace.register.load_episode(key)
        if episode is None or episode.finding.machine != opening.machine:
            need, cure = "a finding of this machine", "Open the case from the finding's own page."
            faults.append(Fault("findings", need, repr(key[:80]), cure))
    complaint = opening.complaint.strip()
    if len(complaint) > COMPLAINT_LENGTH:
        need = f"at most {COMPLAINT_LENGTH} signs"
        faults.append(Fault("complaint", need, str(len(complaint)), "Say it shorter."))
    if not (complaint or opening.reports or opening.findings):
        cure = "Write what was said, or tick what it shows."
        faults.append(Fault("complaint", "what the case is about", "nothing", cure))
    if faults:
        raise BadInput(*faults)
    payload = fields_of(
        machine=opening.machine,
        complaint=complaint or None,
        reports=list(opening.reports),
        findings=list(opening.findings),
        network=opening.network or None,
    )
    key = f"C-{secrets.token_hex(5)}"
    writing = Writing(EntryKind.OPENED, payload, opening.by, opening.way)
    return add_to_case(workplace, key, writing)
