"""A case as lines for people and as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from balewright.cause.case.payload import thaw
from balewright.cli.answer import print_table
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.cause.case.case import Case, ProofMade, Reading
    from balewright.cause.network import Network
    from balewright.flows.list_cases import CaseLine
    from balewright.flows.read_case_of import KeptCase


def line_json(line: CaseLine) -> dict[str, Any]:
    """A case in a list."""
    case = line.case
    return {
        "case": case.key,
        "machine": case.machine,
        "name": line.name,
        "state": case.state.value,
        "complaint": case.complaint,
        "cause": None if case.cause is None else case.cause.cause or None,
        "proof": None if case.proof is None else case.proof.outcome.value,
        "at_us": line.at_us,
        "last_us": line.last_us,
    }


def print_lines(lines: Iterable[CaseLine]) -> None:
    """Cases as a table."""
    rows = []
    for line in lines:
        case = line.case
        proof = "" if case.proof is None else case.proof.outcome.value
        rows.append((case.key, case.machine or "-", case.state.value, proof, case.complaint))
    if not rows:
        print(say_case("case.none"))
        return
    heads = ("key", "machine", "state", "proof", "complaint")
    print_table([say_case(f"case.column.{name}") for name in heads], rows)


def print_case_text(kept: KeptCase, network: Network) -> None:
    """One case."""
    case = kept.case
    print(say_case("case.head", case=case.key, machine=case.machine or "-",
                   state=case.state.value))  # fmt: skip
    if case.complaint:
        print(case.complaint)
    for one in case.readings:
        known = network.observation_by_key.get(one.on)
        text = one.on if known is None else known.words.in_language("en")
        print(say_case("case.reading", text=text, said=_said(one)))
    for found in case.causes:
        cause = network.cause_by_key.get(found.cause)
        name = found.cause if cause is None else cause.name.in_language("en")
        words = ": ".join(part for part in (name, found.words) if part)
        print(say_case("case.cause", words=words))
    for repair in case.repairs:
        parts = ", ".join(f"{part.count:g} {part.part}" for part in repair.parts)
        words = "; ".join(part for part in (repair.words, parts) if part) or "-"
        print(say_case("case.repair", words=words))
    if case.proof is not None:
        print(say_case("case.proof", outcome=case.proof.outcome.value, why=_bales(case.proof)))
    if case.conflicts or case.not_understood:
        counts = {"conflicts": len(case.conflicts), "newer": len(case.not_understood)}
        print(say_case("case.odd", **counts))


def _said(one: Reading) -> str:
    parts = [] if one.said is None else [one.said.value]
    parts += [] if one.value is None else [f"{one.value:g} {one.unit}".rstrip()]
    return ", ".join(parts)


def _bales(proof: ProofMade) -> str:
    if proof.bales is None or proof.need_bales is None:
        return "-"
    return f"{proof.bales} / {proof.need_bales}"


def case_json(kept: KeptCase) -> dict[str, Any]:
    """One case with every entry."""
    case = kept.case
    return {
        "case": case.key,
        "machine": case.machine,
        "name": kept.name,
        "state": case.state.value,
        "complaint": case.complaint,
        "findings": list(case.findings),
        "network": case.network,
        "readings": [
            {"entry": one.entry.id, "on": one.on, "said": None if one.said is None else
             one.said.value, "value": one.value, "unit": one.unit or None}
            for one in case.readings
        ],
        "causes": [{"cause": one.cause or None, "words": one.words} for one in case.causes],
        "repairs": [
            {"words": one.words, "minutes": one.minutes, "travel_minutes": one.travel_minutes,
             "at_bale": one.at_bale, "swap": one.swap, "instead": one.instead or None,
             "parts": [{"part": part.part, "count": part.count} for part in one.parts]}
            for one in case.repairs
        ],
        "proof": _proof_json(case),
        "withdrawn": sorted(case.withdrawn),
        "conflicts": len(case.conflicts),
        "not_understood": len(case.not_understood),
        "entries": [
            {"id": one.id, "kind": one.kind, "by": one.by, "clock": one.clock,
             "device": one.device, "sequence": one.sequence, "payload": thaw(one.payload),
             "at_us": kept.arrival_of(one).at_us, "way": kept.arrival_of(one).way.value}
            for one in case.entries
        ],
    }  # fmt: skip


def _proof_json(case: Case) -> dict[str, Any] | None:
    proof = case.proof
    if proof is None:
        return None
    return {
        "outcome": proof.outcome.value,
        "bales": proof.bales,
        "need_bales": proof.need_bales,
        "from_bale": proof.from_bale,
        "to_bale": proof.to_bale,
        "ended": list(proof.ended),
        "going_on": list(proof.going_on),
    }


def say_case(key: str, **values: ReasonValue) -> str:
    """A line of the command."""
    from balewright.words.say import say

    return say(because(key, **values))
