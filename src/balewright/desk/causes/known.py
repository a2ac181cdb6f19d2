"""What is known of a trouble: what was said and read, what the records say by themselves."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from balewright.cause.evidence_value import Answer, Seen
from balewright.cause.from_findings import findings_of
from balewright.cause.heard import hear
from balewright.cause.network import Kind, Network, Observation
from balewright.desk.wording import words
from balewright.findings.episode import Episode
from balewright.flows.ask_causes import Troubled
from balewright.words.say import SPACE

HEARD: Final = 8
"""Reports offered for a few words."""


@dataclass(frozen=True)
class AnswerShown:
    """One answer. back: the end of the address without it; entry: the case's entry that gave it,
    "" where it stands in the address alone.
    """

    key: str
    kind: str
    text: str
    said: str
    tone: str
    back: str = ""
    entry: str = ""
    by: str = ""
    counts: bool = True


@dataclass(frozen=True)
class RecordShown:
    """What the records say by themselves. findings: it was made of."""

    text: str
    findings: tuple[Episode, ...]


@dataclass(frozen=True)
class RecordsShown:
    """told: it shows; quiet: it would show and does not; others: findings that no cause explains;
    overruled: what an answer says otherwise.
    """

    bales: int
    told: tuple[RecordShown, ...]
    quiet: tuple[str, ...]
    others: tuple[Episode, ...]
    overruled: tuple[str, ...]


@dataclass(frozen=True)
class Choice:
    """A report to tick."""

    key: str
    text: str


def seen_said(one: Observation | None, seen: Seen) -> tuple[str, str]:
    """An answer in a word or a number, and the tone it is shown in."""
    if seen.value is not None:
        unit = one.check.reading.unit if one and one.check and one.check.reading else ""
        return f"{seen.value:g}{SPACE}{unit}".rstrip(), "note"
    tone = {Answer.YES: "cost", Answer.NO: "good"}.get(seen.answer, "")
    return words(f"causes.answer.{seen.answer.value}"), tone


def answer_shown(network: Network, key: str, seen: Seen, language: str, back: str) -> AnswerShown:
    """One answer out of an address."""
    one = network.observation_by_key[key]
    said, tone = seen_said(one, seen)
    return AnswerShown(key, one.kind.value, one.words.in_language(language), said, tone, back)


def records_shown(at: Troubled, answers: Iterable[str], language: str) -> RecordsShown:
    """What the records say, each with the findings behind it."""
    told, used, quiet, answered = [], set[str](), [], set(answers)
    by_finding = {id(one.finding): one for one in at.episodes}
    findings = [one.finding for one in at.episodes]
    overruled = []
    for key, seen in at.from_records.items():
        one = at.network.observation(key)
        text = one.words.in_language(language)
        if key in answered:
            overruled.append(text)
        if seen.answer is Answer.NO:
            quiet.append(text)
            continue
        own = tuple(by_finding[id(finding)] for finding in findings_of(one, findings))
        used |= {episode.key for episode in own}
        told.append(RecordShown(text, own))
    others = tuple(one for one in at.episodes if one.key not in used)
    return RecordsShown(at.bales, tuple(told), tuple(sorted(quiet)), others, tuple(overruled))


def heard_shown(network: Network, said: str, known: Iterable[str], language: str) -> list[Choice]:
    """Reports that words may mean, without those answered already; looked for in all languages."""
    if not said:
        return []
    answered = set(known)
    found = [one.key for one in hear(network, said) if one.key not in answered][:HEARD]
    return [Choice(key, network.observation(key).words.in_language(language)) for key in found]


def all_reports(
    network: Network, known: Iterable[str], language: str
) -> list[tuple[str, list[Choice]]]:
    """Everything people report of such a machine, by where on it, without what is answered."""
    answered, found = set(known), dict[str, list[Choice]]()
    for one in network.observations:
        if one.kind is Kind.REPORT and one.key not in answered:
            text = one.words.in_language(language)
            found.setdefault(one.system.value, []).append(Choice(one.key, text))
    return sorted(found.items())
