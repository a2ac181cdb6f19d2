"""The values of a fault network, each from its table."""

from __future__ import annotations

from typing import Final

from balewright.cause.knowledge.taking import Entry
from balewright.cause.network import (
    JUDGED,
    Alike,
    Cause,
    Check,
    Grounds,
    Hands,
    Kind,
    Link,
    Match,
    Observation,
    Part,
    Reading,
    Repair,
    Side,
    Strength,
    System,
    Tool,
    Way,
)
from balewright.findings.finding import FindingKind
from balewright.plan.profile.forms import choice, flag, number, text
from balewright.records.events import EventKind

_GROUNDS: Final = ("why", "strength", "source")


def cause_of(key: str, entry: Entry) -> Cause:
    """One [cause.<key>]."""
    entry.only(
        *("system", "side", "name", "tells", "exists_if", "arises_per_1000", "stays_bales"),
        *(*_GROUNDS, "repair", "shows", "ended_by"),
    )
    return Cause(
        key,
        entry.word("system", System, "where it belongs"),
        entry.word("side", Side, "whose it is"),
        entry.words("name"),
        entry.words("tells"),
        entry.keys("exists_if"),
        entry.amount("arises_per_1000", 0.0001, 50.0, "how often it arises in 1,000 bales"),
        entry.amount("stays_bales", 1.0, 20000.0, "how many bales it stays unnoticed"),
        grounds_of(entry),
        _repair(entry.table("repair")),
        _event_kinds(entry),
    )


def _event_kinds(entry: Entry) -> tuple[str, ...]:
    given, known = entry.keys("ended_by"), [one.value for one in EventKind]
    for kind in given:
        if kind not in known:
            entry.fault("ended_by", "kinds of events: " + ", ".join(known), kind, "Use these.")
    return given


def _repair(entry: Entry) -> Repair:
    entry.only("words", "minutes", "by", "parts", "tools", "cautions")
    return Repair(
        entry.words("words"),
        entry.amount("minutes", 0.0, 3000.0, "of work at the machine"),
        entry.word("by", Hands, "who may do it"),
        entry.keys("parts"),
        entry.keys("tools"),
        entry.keys("cautions"),
    )


def links_of(key: str, entry: Entry) -> list[Link]:
    """Every [[cause.<key>.shows]]."""
    found = []
    for shown in entry.tables("shows"):
        shown.only("on", "chance", *_GROUNDS)
        on = shown.line("on", "the observation's key")
        chance_frac = shown.amount("chance", 0.001, 0.999, "how often the cause alone shows so")
        found.append(Link(key, on, chance_frac, _link_grounds(shown)))
    return found


def grounds_of(entry: Entry) -> Grounds:
    """Why, how strong, from where."""
    return Grounds(
        entry.line("why", "the reasoning, in English"),
        entry.word("strength", Strength, "how much the number is worth"),
        entry.maybe("source", text(60), JUDGED),
    )


def _link_grounds(entry: Entry) -> Grounds:
    """A link's reason may be left out; whether it has to be there is the network's to check."""
    why = entry.maybe("why", text(600), "")
    strength = entry.word("strength", Strength, "how much it is worth")
    return Grounds(why, strength, entry.maybe("source", text(60), JUDGED))


def observation_of(kind: Kind, key: str, entry: Entry) -> Observation:
    """One [report.<key>], [finding.<key>] or [check.<key>]."""
    own = {
        Kind.REPORT: ("also",),
        Kind.FINDING: ("matches", "senses"),
        Kind.CHECK: (
            *("asks", "how", "minutes", "by", "at_rest", "money", "tools", "cautions"),
            *("risks", "reading"),
        ),
    }[kind]
    entry.only("system", "words", "leak", "exists_if", *_GROUNDS, *own)
    return Observation(
        key=key,
        kind=kind,
        system=entry.word("system", System, "where it belongs"),
        words=entry.words("words"),
        leak_frac=entry.amount("leak", 0.0001, 0.9, "how often it is so with none of its causes"),
        grounds=grounds_of(entry),
        exists_if=entry.keys("exists_if"),
        also=entry.ways_of_saying("also") if kind is Kind.REPORT else (),
        matches=_matches(entry) if kind is Kind.FINDING else (),
        senses=entry.keys("senses"),
        check=_check(entry) if kind is Kind.CHECK else None,
    )


def _matches(entry: Entry) -> tuple[Match, ...]:
    found = tuple(map(_match, entry.tables("matches")))
    if not found:
        entry.fault("matches", "one kind of finding or more", found, "Say what it stands for.")
    return found


def _match(entry: Entry) -> Match:
    entry.only("kind", "measure", "way", "part")
    return Match(
        entry.word("kind", FindingKind, "the kind of finding"),
        entry.maybe("measure", text(60), ""),
        entry.maybe("way", choice(Way), Way.EITHER),
        entry.maybe("part", text(60), ""),
    )


def _check(entry: Entry) -> Check:
    return Check(
        entry.words("asks"),
        entry.words("how"),
        entry.amount("minutes", 0.2, 600.0, "how long it takes"),
        entry.word("by", Hands, "who may do it"),
        entry.take("at_rest", flag(), "whether PTO and engine stand for it"),
        entry.maybe("money", number(0.0, 5000.0), 0.0),
        entry.keys("tools"),
        entry.keys("cautions"),
        entry.words("risks") if "risks" in entry.raw else None,
        _reading(entry.table("reading")) if "reading" in entry.raw else None,
    )


def _reading(entry: Entry) -> Reading:
    entry.only("unit", "limit", "bad", "in_order", "at_fault")
    return Reading(
        entry.line("unit", "what it is read in"),
        entry.amount("limit", -1e6, 1e6, "beyond which it shows the fault"),
        entry.word("bad", Way, "on which side of the limit"),
        _shape(entry, "in_order"),
        _shape(entry, "at_fault"),
    )


def _shape(entry: Entry, name: str) -> tuple[float, float]:
    given = entry.raw.get(name)
    pair = given if isinstance(given, list) else []
    try:
        mean, spread = pair
        return number(-1e6, 1e6).read(mean), number(1e-9, 1e6).read(spread)
    except ValueError:
        entry.fault(name, "[mean, standard deviation above 0]", given, "Write two numbers.")
        return 0.0, 1.0


def part_of(key: str, entry: Entry) -> Part:
    """One [part.<key>]."""
    entry.only("name", "money")
    return Part(key, entry.words("name"), entry.amount("money", 0.0, 50000.0, "what it costs"))


def tool_of(key: str, entry: Entry) -> Tool:
    """One [tool.<key>]."""
    entry.only("name")
    return Tool(key, entry.words("name"))


def alike_of(entry: Entry) -> Alike:
    """One [[alike]]."""
    entry.only("causes", "why")
    named = entry.keys("causes")
    if len(named) != 2:
        entry.fault("causes", "two causes", named, "Name the two that nothing tells apart.")
        named = ("-", "-")
    return Alike((named[0], named[1]), entry.line("why", "why no check could tell them apart"))
