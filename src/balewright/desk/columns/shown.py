"""The columns of a table as the page shows them, and what it sends back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from balewright.desk.reading import reading
from balewright.desk.wording import words
from balewright.flows.guess_columns import (
    CHOICES,
    MACHINES_OWN,
    TARGETS,
    ZONE,
    ColumnAnswers,
    Guess,
    GuessedColumn,
    units_of,
)
from balewright.flows.preview_columns import Preview
from balewright.quantities.reason import because
from balewright.words.say import say, say_value
from balewright.words.times import say_time, zone_named

MOST_COLUMNS = 200
MOST_WORDS = 30

Pairs = list[tuple[str, str]]


@dataclass(frozen=True)
class WordLine:
    """One of the table's words: its field, itself, what it is taken for."""

    field: str
    theirs: str
    ours: str


@dataclass(frozen=True)
class ColumnLine:
    """One column. sure: 0 to 3; why: in words; units: choices of its target, none where it has
    none; words: its words where its target has choices; asks_again: its target has just changed.
    """

    place: int
    heading: str
    samples: str
    target: str
    unit: str
    sure: int
    sure_said: str
    why: str
    units: Pairs
    words: tuple[WordLine, ...]
    choices: Pairs
    asks_again: bool = False


def target_pairs() -> Pairs:
    """Every column of the bale table by its name in the trade, sorted; leaving out comes first."""
    named = [(name, column_said(name)) for name in TARGETS]
    named.append((ZONE, words("columns.target.zone")))
    return [("", words("columns.target.none")), *sorted(named, key=lambda one: one[1])]


def column_lines(seen: Guess, posted: Mapping[str, str] | None = None) -> list[ColumnLine]:
    """The columns with the guess, or with what was sent."""
    return [_line(one, posted) for one in seen.columns[:MOST_COLUMNS]]


def _line(one: GuessedColumn, posted: Mapping[str, str] | None) -> ColumnLine:
    at, guessed = one.column.place, one.column
    target, unit = guessed.target, guessed.unit
    rendered = target
    if posted is not None:
        target = posted.get(f"target_{at}", target)
        rendered = posted.get(f"for_{at}", target)
        unit = _unit(target, posted.get(f"unit_{at}", "") if rendered == target else None, one)
    is_guess = target == guessed.target
    why = words("columns.why.said")
    if is_guess:
        parts = [f"columns.why.{one.why}"]
        parts += [f"columns.unit_why.{one.unit_why}"] if one.unit_why else []
        why = ", ".join(say(because(key), reading()) for key in parts)
    sure = int(one.sure) if is_guess else 3
    sure = 0 if not target else sure
    return ColumnLine(
        place=at,
        heading=guessed.heading or words("columns.nameless", number=at + 1),
        samples=" · ".join(one.samples[:4]) or words("columns.empty"),
        target=target,
        unit=unit,
        sure=sure,
        sure_said=say(because(f"columns.sure.{sure}"), reading()) if is_guess else "",
        why=why,
        units=[(key, unit_said(key, target)) for key in units_of(target)],
        words=_words(one, target, posted if rendered == target else None),
        choices=_choices(target),
        asks_again=rendered != target,
    )


def _unit(target: str, posted: str | None, one: GuessedColumn) -> str:
    """The unit that was chosen; after another target was, the first it has."""
    allowed = units_of(target)
    if posted is not None and posted in allowed:
        return posted
    if target == one.column.target:
        return one.column.unit
    return allowed[0] if allowed else ""


def _words(
    one: GuessedColumn, target: str, posted: Mapping[str, str] | None
) -> tuple[WordLine, ...]:
    if target not in CHOICES:
        return ()
    guessed = dict(one.column.words) if target == one.column.target else {}
    lines = []
    for number, theirs in enumerate(one.distinct[:MOST_WORDS]):
        field = f"word_{one.column.place}_{number}"
        own = theirs.lower() if theirs.lower() in CHOICES[target] else "?"
        ours = guessed.get(theirs, own)
        lines.append(WordLine(field, theirs, ours if posted is None else posted.get(field, ours)))
    return tuple(lines)


def _choices(target: str) -> Pairs:
    if target not in CHOICES:
        return []
    said = [(one, one) for one in CHOICES[target]]
    return [("?", words("columns.word.refuse")), *said, ("", words("columns.word.unknown"))]


def unit_said(key: str, target: str) -> str:
    """A unit or clock form in words."""
    if target.endswith("_at"):
        return words(f"columns.clock.{key or 'whole'}")
    return words(f"columns.unit.{key.replace('%', 'percent')}")


@dataclass(frozen=True)
class BaleLine:
    """One bale of the preview: its row, and (heading, what it says) of each column."""

    place: int
    cells: Pairs


def bale_lines(preview: Preview, zone: str) -> list[BaleLine]:
    """The first bales in words; clock times in the map's zone where it is one, else in UTC."""
    shown = zone_named(zone if zone != MACHINES_OWN and "/" in zone else "UTC")
    heads = [column_said(name) for name in preview.columns]
    lines = []
    for row in preview.rows:
        cells = zip(heads, preview.columns, row.values, strict=True)
        said = [(head, _cell(preview, name, value, shown)) for head, name, value in cells]
        lines.append(BaleLine(row.place, said))
    return lines


def _cell(preview: Preview, name: str, value: Any, zone: Any) -> str:
    if value is None:
        return "–"
    return say_time(value, zone) if name in preview.times else say_value(name, value, reading())


def column_said(name: str) -> str:
    """A column of the bale table by its name in the trade."""
    return _capital(say(because(f"column.{name}"), reading()))


def answers_of(lines: list[ColumnLine], whole: Mapping[str, Any]) -> ColumnAnswers:
    """What a person says, out of the lines as they were sent."""
    return ColumnAnswers(
        targets={line.place: line.target for line in lines},
        units={line.place: line.unit for line in lines},
        words={
            line.place: tuple(
                (one.theirs, one.ours)
                for one in line.words
                if one.ours != "?" and one.theirs.lower() != one.ours
            )
            for line in lines
        },
        whole=whole,
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
