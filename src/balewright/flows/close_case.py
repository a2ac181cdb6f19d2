"""Close a case: what was wrong, and how far its cure is proved."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.cause.case.case import Case, CaseState
from balewright.cause.case.entry import EntryKind
from balewright.cause.case.payload import fields_of
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.prove_cure import prove_cure
from balewright.flows.read_case_of import read_case_of
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.case_entries import Way


@dataclass(frozen=True)
class Closing:
    """How a case ends. cause: a key of the network, "" to leave what was found as it is; words:
    what is said of it; by: the account, None for the command line."""

    cause: str = ""
    words: str = ""
    by: str | None = None
    way: Way = Way.DESK


def close_case(workplace: Workplace, case: str, closing: Closing) -> Case:
    """Note the cause where one is given, prove the cure as far as bales do, close the case.

    A case in which nothing was repaired closes without a proof. Raises BadInput for a case nobody
    knows, one that is closed already, and one without a cause, found or given.
    """
    now = read_case_of(workplace, case).case
    if now.state is CaseState.CLOSED:
        cure = "Open it again first."
        raise BadInput(Fault("case", "a case that is open", "a closed one", cure))
    if closing.cause:
        payload = fields_of(cause=closing.cause, words=closing.words or None)
        now = add_to_case(
            workplace, case, Writing(EntryKind.CAUSE_FOUND, payload, closing.by, closing.way)
        )
    if now.cause is None and not closing.words:
        cure = "Say what it was, a cause or own words: a case that ends without teaches nothing."
        raise BadInput(Fault("cause", "what was wrong", "nothing", cure))
    if now.repairs:
        prove_cure(workplace, case, closing.by, closing.way)
    payload = fields_of(words=closing.words or None)
    return add_to_case(workplace, case, Writing(EntryKind.CLOSED, payload, closing.by, closing.way))


def reopen_case(
    workplace: Workplace, case: str, words: str, by: str | None = None, way: Way = Way.DESK
) -> Case:
    """Open a closed case again. Raises BadInput for a case nobody knows and one that is open."""
    if read_case_of(workplace, case).case.state is not CaseState.CLOSED:
        raise BadInput(Fault("case", "a closed case", "an open one", "Nothing needs to be done."))
    payload = fields_of(words=words.strip() or None)
    return add_to_case(workplace, case, Writing(EntryKind.REOPENED, payload, by, way))
