"""What a heading may mean: a column of the bale table, its unit, and how sure that is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import IntEnum
from functools import cache
from typing import Final

from balewright.readers.mapped.evidence import LONGEST, Evidence, Holds
from balewright.readers.mapped.terms import (
    DATE_WORDS,
    DRY_MATTER_WORDS,
    HEADINGS,
    folded,
)
from balewright.readers.mapped.units import UNITS, own_unit, units_for
from balewright.records.columns import BY_NAME, Kind

_BRACKETS: Final = re.compile(r"[\[({<]([^\])}>]*)[\])}>]")
_NEAR: Final = 0.86


class Sure(IntEnum):
    """How sure a guess is."""

    NOT = 0
    OPEN = 1
    LIKELY = 2
    SURE = 3


@dataclass(frozen=True)
class Meaning:
    """One possible meaning of a column.

    target: a column of the bale table; unit: its unit or clock form; sure; why: `name` (the very
    word), `part` (the word among others), `near` (spelt alike), `own` (our own name) or `alone`
    (the only column of times); unit_why: `heading`, `values` (their size), `cells` (their form),
    `own` or "" where it has none.
    """

    target: str
    unit: str
    sure: Sure
    why: str
    unit_why: str = ""
    length: int = 0


def meanings(heading: str, evidence: Evidence) -> list[Meaning]:
    """What a column may be, the surest first; empty where nobody can tell."""
    sign, name = split_unit(heading[:LONGEST])
    found: dict[str, Meaning] = {}
    for target, sure, why, length in _named(name):
        fitted = _fit(target, sign, evidence, name)
        if fitted is None:
            continue
        unit, unit_why = fitted
        one = Meaning(target, unit, sure, why, unit_why, length)
        known = found.get(target)
        if known is None or (one.sure, one.length) > (known.sure, known.length):
            found[target] = one
    return sorted(found.values(), key=lambda one: (one.sure, one.length), reverse=True)


def split_unit(heading: str) -> tuple[str, str]:
    """The unit's sign in a heading ("" without one), lower case, and the name, folded."""
    inside = [part.strip().lower() for part in _BRACKETS.findall(heading)]
    signs = _signs()
    sign = next((part for part in inside if part in signs), "")
    name = _BRACKETS.sub(" ", heading)
    if not sign:
        words = re.split(r"[\s_,;:/]+(?!h\b|min\b|s\b)", name.strip().lower())
        for count in (2, 1):
            end = " ".join(words[-count:])
            if len(words) > count and end in signs:
                sign, name = end, " ".join(words[:-count])
                break
    plain = folded(name)
    if not sign and plain.endswith(" in"):
        plain = plain.removesuffix(" in")
    return sign, plain


@cache
def _signs() -> dict[str, str]:
    return {sign: unit.key for unit in UNITS.values() for sign in unit.signs}


@cache
def _terms() -> tuple[tuple[str, str], ...]:
    """(folded word, target), the longest first."""
    own = [(folded(target), target) for target in BY_NAME]
    theirs = [(word, target) for target, words in HEADINGS.items() for word in words]
    return tuple(sorted({*own, *theirs}, key=lambda one: (-len(one[0]), one)))


def _named(name: str) -> Iterator[tuple[str, Sure, str, int]]:
    """Targets whose words a name has."""
    if not name:
        return
    tight, is_known = name.replace(" ", ""), False
    for word, target in _terms():
        if word == name or word.replace(" ", "") == tight:
            is_known = True
            yield target, Sure.SURE, "own" if word == folded(target) else "name", len(word)
        elif len(word) > 2 and f" {word} " in f" {name} ":
            is_known = True
            yield target, Sure.LIKELY, "part", len(word)
    for word, target in () if is_known or len(name) < 6 else _terms():
        alike = SequenceMatcher(None, word, name)
        if len(word) > 5 and alike.quick_ratio() > _NEAR and alike.ratio() > _NEAR:
            yield target, Sure.OPEN, "near", len(word)


def _fit(target: str, sign: str, evidence: Evidence, name: str) -> tuple[str, str] | None:
    """Unit or clock form with which the cells can be this target; None where they cannot."""
    holds = evidence.holds
    if target == "zone":
        return ("", "") if holds in (Holds.TEXTS, Holds.NUMBERS) else None
    kind = BY_NAME[target].kind
    if kind is Kind.TIME:
        return ("", "") if holds is Holds.NOTHING else _clock_form(name, evidence)
    if kind is Kind.TEXT:
        is_time = holds in (Holds.MOMENTS, Holds.DATES, Holds.CLOCKS)
        is_count = holds is Holds.NUMBERS and bool(BY_NAME[target].choices)
        return None if is_time or is_count or sign else ("", "")
    if holds not in (Holds.NUMBERS, Holds.NOTHING) or (kind is Kind.INT and sign):
        return None
    return ("", "") if kind is Kind.INT else _unit(target, sign, evidence, name)


def _clock_form(name: str, evidence: Evidence) -> tuple[str, str] | None:
    middle = evidence.middle or 0.0
    if evidence.holds is Holds.MOMENTS:
        return "", "cells"
    if evidence.holds is Holds.DATES:
        is_date = any(f" {word} " in f" {name} " for word in DATE_WORDS)
        return ("date", "cells") if is_date else None
    if evidence.holds is Holds.CLOCKS:
        return "clock", "cells"
    if evidence.holds is not Holds.NUMBERS:
        return None
    for form, low, high in (
        ("epoch_s", 3e8, 4.2e9),
        ("epoch_ms", 3e11, 4.2e12),
        ("serial", 25_569, 73_050),
    ):
        if low <= middle <= high:
            return form, "cells"
    return None


def _unit(target: str, sign: str, evidence: Evidence, name: str) -> tuple[str, str] | None:
    """The unit by the heading, else by the size of the numbers, else the target's own."""
    allowed = units_for(target)
    if not allowed:
        # A dial or a count with a unit behind it is something else: kg/m³, seconds.
        return None if sign else ("", "")
    if target.startswith("moisture") and any(f" {w} " in f" {name} " for w in DRY_MATTER_WORDS):
        return "%_dry_matter", "heading"
    if sign:
        unit = _signs()[sign]
        if unit == "us_ton" and evidence.middle is not None and sign in ("ton", "tons"):
            return "us_ton", "values"
        return (unit, "heading") if unit in allowed else None
    by_size = _by_size(target, evidence.middle)
    return (by_size, "values") if by_size else (own_unit(target) or "", "own")


_SIZES: Final = {
    "diameter": (("in", 24, 80), ("cm", 80, 250), ("mm", 600, 2500)),
    "film_width": (("in", 15, 31), ("cm", 45, 80), ("mm", 400, 800)),
    "mass": (("t", 0.1, 2), ("lb", 1400, 4000)),
    "moisture": (("%", 1, 100),),
    "said_overlap": (("%", 1, 100),),
    "said_stretch": (("%", 1.5, 200),),
    "speed": (("km_h", 5.5, 30),),
}
"""Sizes of bales and films that no other unit gives; a speed above a run is no m/s."""


def _by_size(target: str, middle: float | None) -> str | None:
    for begin, sizes in _SIZES.items():
        if target.startswith(begin) and middle is not None:
            return next((unit for unit, low, high in sizes if low < middle <= high), None)
    return None
