"""A case as texts in sections, for a page and for paper: the same on both."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final
from zoneinfo import ZoneInfo

from balewright.cause.case.answers import disagreeing
from balewright.cause.case.case import Case, NoteMade, ProofMade, Reading, RepairMade
from balewright.cause.case.entry import Entry, Said, content_of
from balewright.cause.network import Network
from balewright.quantities.reason import Reason, ReasonValue
from balewright.words.reader import reader_of
from balewright.words.say import say, say_number
from balewright.words.times import say_time

_UTC: Final = ZoneInfo("UTC")
_DIGITS: Final = (2, 2, 1, 0)


@dataclass(frozen=True, eq=False)
class CasePaper:
    """What a case on paper is made of.

    arrived_us: when each entry arrived, by its content; photos: whether each photo's file is
    there, by its hash, without those that have not arrived; name, profile: of the machine, None
    unknown; network: whose words name what was looked at; findings: sentences of the case's
    episodes; claim: shared as evidence of a claim; made_us: when it was put together.
    """

    case: Case
    arrived_us: Mapping[str, int]
    photos: Mapping[str, bool]
    name: str | None
    profile: str | None
    network: Network
    findings: tuple[Reason, ...]
    claim: bool
    made_us: int


@dataclass(frozen=True)
class Section:
    """A heading and its lines."""

    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class PhotoShown:
    """A photo: its hash, what it shows, who and when; gone: why there is no picture, "" if there
    is."""

    sha256: str
    words: str
    who: str
    gone: str


@dataclass(frozen=True)
class CaseData:
    """All texts. facts: (label, value); heads, answers: the table of what was reported and read;
    foot: what has to be known to read it right."""

    title: str
    claim: str
    made: str
    facts: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
    answers_name: str
    heads: tuple[str, ...]
    answers: tuple[tuple[str, str, str], ...]
    photos_name: str
    photos: tuple[PhotoShown, ...]
    after: tuple[Section, ...]
    foot: tuple[str, ...]
    language: str


def case_data(paper: CasePaper, language: str = "en") -> CaseData:
    """The texts of a case in the language of a reader (a tag of `words/reader`)."""
    return _Writer(paper, language).data()


class _Writer:
    """Says a case to one reader."""

    def __init__(self, paper: CasePaper, language: str) -> None:
        self.paper, self.case, self.language = paper, paper.case, language
        self.code = reader_of(language).language

    def word(self, key: str, **values: ReasonValue) -> str:
        return say(Reason(f"desk.case_page.{key}", tuple(values.items())), self.language)

    def data(self) -> CaseData:
        before = (
            self.section("complaint", [self.case.complaint]),
            self.section("findings", [say(one, self.language) for one in self.paper.findings]),
        )
        after = (
            self.section("cause", [self.cause(n) for n in range(len(self.case.causes))]),
            *(self.repair(one) for one in self.case.repairs),
            self.proof(),
            self.section("notes", [self.note(one) for one in self.notes()]),
            *(self.claim(one) for one in self.case.claims),
        )
        return CaseData(
            title=self.word("title"),
            claim=self.word("claim") if self.paper.claim or self.case.claims else "",
            made=self.word("made", at_us=self.paper.made_us),
            facts=self.facts(),
            sections=tuple(one for one in before if one.lines),
            answers_name=self.word("answers"),
            heads=tuple(self.word(f"col.{name}") for name in ("what", "answer", "who")),
            answers=tuple(self.answer(one) for one in self.case.readings),
            photos_name=self.word("photos"),
            photos=tuple(self.photos()),
            after=tuple(one for one in after if one.lines),
            foot=tuple(self.foot()),
            language=self.code,
        )

    def section(self, key: str, lines: list[str]) -> Section:
        return Section(self.word(key), tuple(line for line in lines if line))

    def facts(self) -> tuple[tuple[str, str], ...]:
        case, paper = self.case, self.paper
        machine = " · ".join(part for part in (paper.name, case.machine) if part)
        rows = [
            (self.word("machine"), machine),
            (self.word("profile"), paper.profile or ""),
            (self.word("key"), case.key),
            (self.word("state"), self.word(f"state.{case.state.value}")),
        ]
        if case.minutes is not None:
            rows.append((self.word("minutes"), self.minutes(case.minutes)))
        return tuple(row for row in rows if row[1])

    def named(self, key: str) -> str:
        one = self.paper.network.observation_by_key.get(key)
        return key if one is None else one.words.in_language(self.code)

    def who(self, entry: Entry) -> str:
        parts = [entry.by or self.word("nobody")]
        if entry.made_us is not None:
            parts.append(say_time(entry.made_us, _UTC))
        arrived = self.paper.arrived_us.get(content_of(entry))
        if arrived is not None:
            parts.append(self.word("arrived", at_us=say_time(arrived, _UTC)))
        return " · ".join(parts)

    def answer(self, one: Reading) -> tuple[str, str, str]:
        said = "" if one.said is None else self.word(f"answer.{one.said.value.replace(' ', '_')}")
        if one.value is not None:
            parts = (self.number(one.value), one.unit, said)
            said = " ".join(part for part in parts if part)
        if one.repairs_before:
            said += f" ({self.word('after_repair', count=one.repairs_before)})"
        return self.asked(one), said, self.who(one.entry)

    def minutes(self, minutes: float) -> str:
        return f"{self.number(minutes)} min"

    def number(self, value: float) -> str:
        """As it was read or counted, to the digits a person enters."""
        return say_number(value, _DIGITS, self.language)

    def asked(self, one: Reading) -> str:
        """What a yes or a number belongs to: the question that was asked, or what was reported."""
        seen = self.paper.network.observation_by_key.get(one.on)
        if seen is not None and seen.check is not None and one.said is not Said.SKIPPED:
            return seen.check.asks.in_language(self.code)
        return self.named(one.on)

    def cause(self, at: int) -> str:
        found = self.case.causes[at]
        known = self.paper.network.cause_by_key.get(found.cause)
        name = found.cause if known is None else known.name.in_language(self.code)
        said = ": ".join(part for part in (name, found.words) if part)
        return f"{said} ({self.who(found.entry)})"

    def repair(self, one: RepairMade) -> Section:
        lines = [one.words, self.word("swap") + (f": {one.instead}" if one.instead else "")]
        if not one.swap:
            lines.pop()
        if one.parts:
            parts = [f"{self.number(used.count)} × {self.part(used.part)}" for used in one.parts]
            lines.append(f"{self.word('parts')}: {', '.join(parts)}")
        for key, minutes in (("minutes", one.minutes), ("travel", one.travel_minutes)):
            if minutes is not None:
                lines.append(f"{self.word(key)}: {self.minutes(minutes)}")
        if one.at_bale is not None:
            lines.append(f"{self.word('at_bale')}: {one.at_bale}")
        return self.section("repair", [*lines, self.who(one.entry)])

    def part(self, key: str) -> str:
        known = self.paper.network.part_by_key.get(key)
        return key if known is None else known.name.in_language(self.code)

    def proof(self) -> Section:
        last: ProofMade | None = self.case.proof
        if last is None:
            return Section("", ())
        lines = [self.word(f"proof.{last.outcome.value.replace(' ', '_')}")]
        if last.from_bale is not None and last.to_bale is not None:
            span = {"from_bale": last.from_bale, "to_bale": last.to_bale}
            lines.append(self.word("proof.span", **span))
        if last.bales is not None and last.need_bales is not None:
            counts = {"bales": last.bales, "need_bales": last.need_bales}
            lines.append(self.word("proof.bales", **counts))
        return self.section("proof", [*lines, self.who(last.entry)])

    def notes(self) -> tuple[NoteMade, ...]:
        case = self.case
        kept = [*case.notes, *case.closings, *case.reopenings]
        order = {id(one): n for n, one in enumerate(case.entries)}
        return tuple(sorted(kept, key=lambda note: order[id(note.entry)]))

    def note(self, one: NoteMade) -> str:
        return f"{one.words} ({self.who(one.entry)})" if one.words else ""

    def claim(self, one: NoteMade) -> Section:
        payload, lines = one.entry.payload, [one.words]
        if payload.text("number"):
            lines.append(f"{self.word('claim.number')}: {payload.text('number')}")
        first, last = payload.whole("bales_from"), payload.whole("bales_to")
        if first is not None:
            span = str(first) if last is None else f"{first} – {last}"
            lines.append(f"{self.word('claim.bales')}: {span}")
        if payload.text("film_batch"):
            lines.append(f"{self.word('claim.film')}: {payload.text('film_batch')}")
        return self.section("claims", [*lines, self.who(one.entry)])

    def photos(self) -> list[PhotoShown]:
        found = []
        for one in self.case.photos:
            is_there = self.paper.photos.get(one.sha256)
            gone = (
                "" if is_there else self.word("photo.missing" if is_there is None else "photo.gone")
            )
            found.append(PhotoShown(one.sha256, one.words, self.who(one.entry), gone))
        return found

    def foot(self) -> list[str]:
        case, lines = self.case, [self.word("times")]
        contradicting = disagreeing(case)
        if contradicting:
            names = "; ".join(map(self.named, contradicting))
            lines.append(f"{self.word('disagree')}: {names}.")
        counts = (
            ("withdrawn", len(case.withdrawn)),
            ("conflicts", len(case.conflicts)),
            ("newer", len(case.not_understood)),
        )
        return [*lines, *(self.word(key, count=count) for key, count in counts if count)]
