"""Answers that a case's entries hold, every one of them shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from balewright.cause.case.answers import answers_of
from balewright.cause.case.case import CaseState, Reading
from balewright.cause.case.entry import Said
from balewright.cause.case.evidence import evidence_of
from balewright.cause.evidence_value import Seen
from balewright.cause.network import Network
from balewright.desk.causes.known import AnswerShown
from balewright.desk.wording import words
from balewright.flows.likeliest_cause import in_vain
from balewright.flows.read_case_of import KeptCase
from balewright.words.say import SPACE

_TONE = {Said.YES: "cost", Said.NO: "good"}


@dataclass(frozen=True, eq=False)
class CaseAnswers:
    """A case as evidence. shown: all readings, two of one check both; disagree: what contradicts
    itself and so counts as unknown; exposure: causes put right without the trouble ending.
    """

    kept: KeptCase
    key: str
    is_closed: bool
    evidence: Mapping[str, Seen]
    shown: tuple[AnswerShown, ...]
    disagree: tuple[str, ...]
    exposure: dict[str, float] | None


def answers_in(kept: KeptCase, network: Network, language: str) -> CaseAnswers:
    """What a case holds."""
    case = kept.case
    counted = answers_of(case)
    counting = {id(reading) for one in counted.values() for reading in one.readings}
    disagree = [key for key, one in counted.items() if one.disagree]
    shown = tuple(
        reading_shown(one, network, language, id(one) in counting) for one in case.readings
    )
    right = {key: 0.0 for key in in_vain(case) if key in network.cause_by_key}
    return CaseAnswers(
        kept, case.key, case.state is CaseState.CLOSED, evidence_of(case), shown,
        tuple(text_of(network, key, language) for key in disagree),
        right or None,
    )  # fmt: skip


def text_of(network: Network, key: str, language: str) -> str:
    """What an observation says, its key where the network does not know it (any more)."""
    one = network.observation_by_key.get(key)
    return key if one is None else one.words.in_language(language)


def reading_shown(one: Reading, network: Network, language: str, counts: bool) -> AnswerShown:
    """One reading with who gave it. An answer of the opening is taken back with nothing else."""
    parts = [] if one.said is None else [words(f"case_page.answer.{one.said.name.lower()}")]
    if one.value is not None:
        parts.append(f"{one.value:g}{SPACE}{one.unit}".rstrip())
    kind = network.observation_by_key.get(one.on)
    return AnswerShown(
        one.on,
        "check" if kind is None else kind.kind.value,
        text_of(network, one.on, language),
        ", ".join(parts),
        "note" if one.said is None else _TONE.get(one.said, ""),
        entry="" if one.entry.kind == "opened" else one.entry.id,
        by=one.entry.by,
        counts=counts,
    )
