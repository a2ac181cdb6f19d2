"""Open a case with all that was answered before there was one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from balewright.cause.case.case import Case
from balewright.cause.case.entry import EntryKind
from balewright.cause.case.payload import Fields, fields_of
from balewright.cause.evidence_value import Answer, Seen
from balewright.cause.network import Kind, Network
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.network_in_force import network_in_force
from balewright.flows.open_case import Opening, open_case
from balewright.flows.workplace import Workplace
from balewright.store.case_entries import Way

_SEEN = {Answer.YES: "yes", Answer.NO: "no", Answer.UNKNOWN: "cannot tell"}


@dataclass(frozen=True, eq=False)
class OpeningWith:
    """What a case begins with. answers: by key of the observation; put_right: causes that were
    put right while the trouble went on; helped: the one that was put right and ended it, "" for
    none; the rest as `open_case.Opening`.
    """

    machine: str
    complaint: str = ""
    answers: Mapping[str, Seen] = field(default_factory=dict)
    put_right: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    by: str | None = None
    way: Way = Way.DESK
    helped: str = ""


def open_case_with(workplace: Workplace, wanted: OpeningWith) -> Case:
    """Open it: reports that were said to be so stand in its opening, every other answer is an
    entry of its own, in the order given. Answers to what no network knows are left out. Raises
    BadInput as `open_case`.
    """
    network = network_in_force(workplace, None)
    known = {key: one for key, one in wanted.answers.items() if key in network.observation_by_key}
    reports = tuple(
        key
        for key, seen in known.items()
        if seen.answer is Answer.YES and network.observation(key).kind is Kind.REPORT
    )
    case = open_case(
        workplace,
        Opening(
            wanted.machine, wanted.complaint, reports, wanted.findings,
            f"{network.key} {network.version}", wanted.by, wanted.way,
        ),
    )  # fmt: skip
    for key, seen in known.items():
        if key in reports:
            continue
        kind, payload = entry_for(network, key, seen)
        case = add_to_case(workplace, case.key, Writing(kind, payload, wanted.by, wanted.way))
    for key in (*wanted.put_right, *((wanted.helped,) if wanted.helped else ())):
        if key in network.cause_by_key:
            by = (wanted.by, wanted.way)
            case = put_right_in(workplace, case.key, (key, key == wanted.helped), *by)
    return case


def put_right_in(
    workplace: Workplace, case: str, what: tuple[str, bool], by: str | None, way: Way = Way.DESK
) -> Case:
    """Note that a cause was put right. what: its key, and whether that ended the trouble; where it
    did not the case stands open again. Raises BadInput for a case nobody knows; NotAnswerable for
    a cause that no network knows.
    """
    key, helped = what
    cause = network_in_force(workplace, None).cause(key)
    done = cause.repair.words.in_language("en")
    entries = [
        (EntryKind.CAUSE_FOUND, fields_of(cause=key)),
        (EntryKind.REPAIRED, fields_of(words=done)),
    ]
    if not helped:
        entries.append((EntryKind.REOPENED, fields_of(words="It goes on.")))
    for kind, payload in entries:
        after = add_to_case(workplace, case, Writing(kind, payload, by, way))
    return after


def entry_for(network: Network, key: str, seen: Seen) -> tuple[EntryKind, Fields]:
    """The entry that holds an answer: a reading of a check, or what was reported."""
    one, said = network.observation(key), _SEEN.get(seen.answer)
    if one.check is None:
        return EntryKind.REPORTED, fields_of(on=key, seen=said)
    unit = one.check.reading.unit if seen.value is not None and one.check.reading else None
    return EntryKind.CHECK_READ, fields_of(check=key, seen=said, value=seen.value, unit=unit)
