"""A case in words: its answers, its repair, its proof, and every entry in order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final
from zoneinfo import ZoneInfo

from balewright.cause.case.answers import answers_of
from balewright.cause.case.case import Case, CaseState, Outcome, ProofMade, RepairMade
from balewright.cause.case.entry import Entry, EntryKind
from balewright.cause.network import Network
from balewright.desk.causes.known import AnswerShown
from balewright.desk.causes.of_case import reading_shown, text_of
from balewright.desk.wording import words
from balewright.findings.episode import Episode
from balewright.flows.read_case_of import KeptCase
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.words.say import SPACE
from balewright.words.times import say_time

STATE_TONE: Final = {CaseState.OPEN: "cost", CaseState.REPAIRED: "note", CaseState.CLOSED: ""}
OUTCOME_TONE: Final = {
    Outcome.CURED: "good", Outcome.NOT_CURED: "harm", Outcome.NOT_YET: "note", Outcome.SAID: "",
}  # fmt: skip
_STAY: Final = (
    None, EntryKind.OPENED, EntryKind.WENT_BACK, EntryKind.PROVED, EntryKind.SHARED
)  # fmt: skip
"""Entries that nothing takes back: others are taken back by what follows them."""
_DAY_US: Final = 86_400 * MICROSECONDS_PER_S


@dataclass(frozen=True)
class QuestionShown:
    """One question with every answer to it. disagree: they contradict each other."""

    text: str
    answers: tuple[AnswerShown, ...]
    whens: tuple[str, ...]
    disagree: bool

    @property
    def rows(self) -> list[tuple[AnswerShown, str]]:
        """Each answer with when it came."""
        return list(zip(self.answers, self.whens, strict=True))


@dataclass(frozen=True)
class EntryShown:
    """One entry. way: how it came; gone: it was taken back."""

    id: str
    kind: str
    text: str
    who: str
    when: str
    way: str
    gone: bool
    may_go: bool


@dataclass(frozen=True)
class RepairShown:
    """One repair or swap. facts: name and value."""

    text: str
    facts: tuple[tuple[str, str], ...]
    who: str
    when: str


@dataclass(frozen=True)
class ProofShown:
    """How far the cure is proved. outcome: key of its words, tone: how it is shown."""

    outcome: str
    tone: str
    bales: str
    span: str
    ended: tuple[Episode, ...]
    going_on: tuple[Episode, ...]


def days_said(from_us: int, to_us: int) -> str:
    """How long, in days."""
    days = (to_us - from_us) // _DAY_US
    return words("cases.days", days=days) if days > 0 else words("cases.today")


def questions_shown(kept: KeptCase, network: Network, zone: ZoneInfo) -> list[QuestionShown]:
    """Questions in the order first answered."""
    counted = answers_of(kept.case)
    counting = {id(one) for answered in counted.values() for one in answered.readings}
    grouped: dict[str, list[Any]] = {}
    for one in kept.case.readings:
        grouped.setdefault(one.on, []).append(one)
    found = []
    for key, readings in grouped.items():
        found.append(
            QuestionShown(
                text_of(network, key, "en"),
                tuple(reading_shown(one, network, "en", id(one) in counting or len(readings) == 1)
                      for one in readings),
                tuple(_when(kept, one.entry, zone) for one in readings),
                key in counted and counted[key].disagree,
            )
        )  # fmt: skip
    return found


def repairs_shown(kept: KeptCase, network: Network, zone: ZoneInfo) -> list[RepairShown]:
    """What was done, in order."""
    return [_repair(kept, one, network, zone) for one in kept.case.repairs]


def _repair(kept: KeptCase, one: RepairMade, network: Network, zone: ZoneInfo) -> RepairShown:
    facts = []
    for name in ("minutes", "travel_minutes"):
        amount = getattr(one, name)
        if amount is not None:
            facts.append((words(f"cases.repair.{name}"), f"{amount:g}{SPACE}min"))
    if one.at_bale is not None:
        facts.append((words("cases.repair.at_bale"), str(one.at_bale)))
    if one.parts:
        said = ", ".join(
            f"{part.count:g}{SPACE}×{SPACE}{part_name(network, part.part)}" for part in one.parts
        )
        facts.append((words("cases.repair.parts"), said))
    if one.instead:
        facts.append((words("cases.repair.instead"), one.instead))
    text = one.words or (words("case_page.swap") if one.swap else words("cases.repair.no_words"))
    return RepairShown(text, tuple(facts), who_of(kept, one.entry), _when(kept, one.entry, zone))


def part_name(network: Network, part: str) -> str:
    """A part's name; a number of the maker's stays as it is."""
    known = network.part_by_key.get(part)
    return part if known is None else known.name.in_language("en")


def proof_shown(proof: ProofMade | None, episodes: dict[str, Episode]) -> ProofShown | None:
    """The proof that stands."""
    if proof is None:
        return None
    bales = ""
    if proof.bales is not None and proof.need_bales is not None:
        bales = words("case_page.proof.bales", bales=proof.bales, need_bales=proof.need_bales)
    span = ""
    if proof.from_bale is not None and proof.to_bale is not None:
        span = words("case_page.proof.span", from_bale=str(proof.from_bale),
                     to_bale=str(proof.to_bale))  # fmt: skip
    return ProofShown(
        proof.outcome.name.lower(), OUTCOME_TONE[proof.outcome], bales, span,
        tuple(episodes[key] for key in proof.ended if key in episodes),
        tuple(episodes[key] for key in proof.going_on if key in episodes),
    )  # fmt: skip


def entries_shown(kept: KeptCase, network: Network, zone: ZoneInfo) -> list[EntryShown]:
    """Every entry in order, those taken back too."""
    case, found = kept.case, []
    for one in case.entries:
        arrived = kept.arrival_of(one)
        kind = one.known_kind
        found.append(
            EntryShown(
                one.id,
                words("cases.kind.newer") if kind is None else
                words(f"cases.kind.{kind.name.lower()}"),
                _text(case, one, network),
                who_of(kept, one),
                say_time(arrived.at_us, zone),
                words(f"cases.way.{arrived.way.value}"),
                one.id in case.withdrawn,
                kind not in _STAY,
            )
        )  # fmt: skip
    return found


def _text(case: Case, entry: Entry, network: Network) -> str:
    fields, parts = entry.payload, []
    for name in ("on", "check"):
        if fields.text(name):
            parts.append(text_of(network, fields.text(name), "en"))
    seen, value = fields.text("seen"), fields.number("value")
    if seen:
        parts.append(words(f"case_page.answer.{seen.replace(' ', '_')}"))
    if value is not None:
        parts.append(f"{value:g}{SPACE}{fields.text('unit')}".rstrip())
    if fields.text("cause"):
        cause = network.cause_by_key.get(fields.text("cause"))
        parts.append(fields.text("cause") if cause is None else cause.name.in_language("en"))
    parts += [text_of(network, key, "en") for key in fields.texts("reports")]
    if fields.text("outcome"):
        parts.append(words(f"case_page.proof.{fields.text('outcome').replace(' ', '_')}"))
    if entry.known_kind is EntryKind.WENT_BACK:
        target = next((one for one in case.entries if one.id == fields.text("entry")), None)
        parts.append("" if target is None else _text(case, target, network))
    for name in ("complaint", "words"):
        if fields.text(name):
            parts.append(fields.text(name))
    return " · ".join(part for part in parts if part)


def who_of(kept: KeptCase, entry: Entry) -> str:
    """Who says so: as written there, else the account that handed it in."""
    return entry.by or kept.arrival_of(entry).by or words("case_page.nobody")


def _when(kept: KeptCase, entry: Entry, zone: ZoneInfo) -> str:
    return say_time(kept.arrival_of(entry).at_us, zone)
