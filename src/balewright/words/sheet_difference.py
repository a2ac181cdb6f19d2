"""What moved from one setup sheet to another, in words: the same on the desk and in the shell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from balewright.plan.sheet.change import Given
from balewright.plan.sheet.compare import HowMoved, Moved, SheetDifference, how_moved
from balewright.plan.sheet.sheet import Sheet, SheetLine
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, because
from balewright.words.say import say, say_value
from balewright.words.sheet_day import conflicts_of, measures_of, rolls_of
from balewright.words.sheet_words import dial_of, label_of, value_of

SIGNS: Final = {"more": "↑", "less": "↓", "other": "→", "new": "+", "gone": "−", "known": "→",
                "unknown": "→"}  # fmt: skip
"""An arrow beside each word of what became of a line; the word always stands with it."""
_SHOWN: Final = {
    "film_width_m": ("film_width_mm", 1e3),
    "film_thickness_m": ("film_thickness_um", 1e6),
    "row_width_m": ("row_width_m", 1.0),
}
"""What is printed in the unit that its label has."""
_EXPECTED: Final = ("diameter_m", "length_m", "mass_kg", "dry_matter_kg", "density_kg_m3",
                    "fill_s", "net_m_bale", "net_rolls")  # fmt: skip
"""What a sheet expects besides layers, pace and film, which are told as effects."""


@dataclass(frozen=True)
class MovedRow:
    """One thing that reads otherwise. was, now: with the unit; way: key of SIGNS; word: the same
    in words; dials: where the machine's own dial stands; why: the reason the second sheet gives.
    """

    key: str
    label: str
    was: str
    now: str
    way: str
    word: str
    was_dial: str = ""
    now_dial: str = ""
    why: str = ""

    @property
    def sign(self) -> str:
        """The arrow of its way."""
        return SIGNS[self.way]


@dataclass(frozen=True)
class Passage:
    """Sentences of one kind: those only the first sheet has, and those only the second has."""

    key: str
    gone: tuple[str, ...]
    new: tuple[str, ...]


def settings_moved(difference: SheetDifference, language: str = "en") -> tuple[MovedRow, ...]:
    """Lines to be set otherwise, as far as anybody could read the difference."""
    rows = (_line(moved, language) for moved in difference.settings)
    return tuple(row for row in rows if (row.was, row.was_dial) != (row.now, row.now_dial))


def labels_around(difference: SheetDifference, language: str = "en") -> tuple[str, ...]:
    """Settings that stay as they are, with another reason or another range around them."""
    moved = {row.key for row in settings_moved(difference, language)}
    return tuple(
        label_of(line.other or line.one, language)  # type: ignore[arg-type]
        for line in difference.lines
        if line.name not in moved
    )


def asked_moved(difference: SheetDifference, language: str = "en") -> tuple[MovedRow, ...]:
    """Conditions that are others."""
    rows = []
    for moved in difference.asked:
        was, now = (_asked(moved.name, end, language) for end in (moved.one, moved.other))
        label = say(Reason(f"what_if.asked.{moved.name}"), language)
        rows.append(_row(moved.name, label, (was, now), _way(moved.one, moved.other), language))
    return tuple(rows)


def expected_moved(difference: SheetDifference, language: str = "en") -> tuple[MovedRow, ...]:
    """What else is expected otherwise: the bale itself, its time to fill, its net."""
    rows = []
    for moved in difference.expected:
        if moved.name not in _EXPECTED:
            continue
        ends = [end.best if isinstance(end, Interval) else end for end in (moved.one, moved.other)]
        was, now = (say_value(moved.name, end, language) for end in ends)
        if was != now:
            label = say(Reason(f"what_if.expected.{moved.name}"), language)
            rows.append(_row(moved.name, label, (was, now), _way(*ends), language))
    return tuple(rows)


def passages_of(
    one: Sheet, other: Sheet, difference: SheetDifference, language: str = "en"
) -> tuple[Passage, ...]:
    """Cautions first, then conflicts, what is unknown, what to measure and when rolls end; only
    where they differ in words.
    """
    measured = {moved.name for moved in difference.measures}
    said = []
    for sheet in (one, other):
        measures = tuple(entry for entry in sheet.measures if entry.key in measured)
        said.append(
            {
                "cautions": tuple(say(reason, language) for reason in sheet.cautions),
                "conflicts": conflicts_of(sheet, language),
                "unknown": tuple(say(reason, language) for reason in sheet.unknown),
                "measures": measures_of(replace(sheet, measures=measures), language),
                "rolls": rolls_of(sheet, language),
            }
        )
    before, after = said
    passages = (
        Passage(key, _not_in(before[key], after[key]), _not_in(after[key], before[key]))
        for key in before
    )
    return tuple(passage for passage in passages if passage.gone or passage.new)


def _not_in(texts: Sequence[str], others: Sequence[str]) -> tuple[str, ...]:
    return tuple(text for text in texts if text not in others)


def _line(moved: Moved[SheetLine], language: str) -> MovedRow:
    line = moved.other or moved.one
    assert line is not None
    none = say(Reason("what_if.none"), language)
    was, now = (
        none if end is None else value_of(end, language) for end in (moved.one, moved.other)
    )
    way = {HowMoved.GONE: "gone", HowMoved.NEW: "new"}.get(how_moved(moved))
    if way is None and moved.one is not None and moved.other is not None:
        way = _way(moved.one.value, moved.other.value)
    row = _row(line.key, label_of(line, language), (was, now), way or "other", language)
    return replace(
        row,
        was_dial="" if moved.one is None else dial_of(replace(moved.one, own_word=None)),
        now_dial="" if moved.other is None else dial_of(replace(moved.other, own_word=None)),
        why="" if moved.other is None else say(moved.other.reason, language),
    )


def _row(key: str, label: str, ends: tuple[str, str], way: str, language: str) -> MovedRow:
    return MovedRow(key, label, *ends, way, say(Reason(f"what_if.way.{way}"), language))


def _way(one: object, other: object) -> str:
    if one is None or other is None:
        return "known" if one is None else "unknown"
    numbers = [end for end in (one, other) if isinstance(end, int | float) and
               not isinstance(end, bool)]  # fmt: skip
    if len(numbers) < 2 or numbers[0] == numbers[1]:
        return "other"
    return "more" if numbers[1] > numbers[0] else "less"


def _asked(name: str, value: Given | tuple[object, ...], language: str) -> str:
    if value is None or value == ():
        return say(Reason("what_if.none"), language)
    if isinstance(value, tuple):
        if name == "rolls_left_m":
            return ", ".join(say_value(name, left_m, language) for left_m in value)
        return say(because("what_if.readings", count=len(value)), language)
    shown, factor = _SHOWN.get(name, (name, 1.0))
    if isinstance(value, float):
        return say_value(shown, value * factor, language)
    return say_value(shown, value, language)
