"""The table of situations as values: what is asked, what is expected, and both in words.

`tests/plan/situations.toml` was written before the rules were run on it and stays as it was.
Where table and rules disagree, `tests/plan/disagreements.toml` says who was right and why.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
TABLE = ROOT / "tests" / "plan" / "situations.toml"
NOTES = ROOT / "tests" / "plan" / "disagreements.toml"

ORDER = {
    "above": ("more than", lambda one, other: one > other),
    "below": ("less than", lambda one, other: one < other),
    "not_below": ("not less than", lambda one, other: one >= other),
    "not_above": ("not more than", lambda one, other: one <= other),
}


_SPOKEN = ("warned", "not_warned", "refused_or_warned", "measured", "conflict")
_BY_THRESHOLD = (
    "wrong_fermentation",
    "too_dry_to_ferment",
    "heating",
    "one_high",
    "small_overlap",
    "wrap_it",
)
"""Topics that a source ties to a number, so that a sheet can speak of them wrongly."""
_NO_NUMBER = {
    ("sheet.layers", "west-virginia-wrap"),
    ("sheet.layers", "hancock-2006"),
    ("sheet.layers", "en-14932"),
}
"""Pairs that are no check: the source prints no number for it (more film, more than two), or one
that stands for the far end of advice that disagrees (six layers, where others find four enough).
"""


@dataclass(frozen=True)
class Row:
    """One expectation of one situation."""

    situation: str
    expect: Mapping[str, Any]

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources it was written from."""
        return tuple(self.expect["source"])

    @property
    def model(self) -> str:
        """What of the sheet it is about."""
        for kind in ("line", "bale"):
            if kind in self.expect:
                return f"sheet.{self.expect[kind]}"
        topic = next((self.expect[kind] for kind in _SPOKEN if kind in self.expect), None)
        if topic is None:
            return "sheet.roll_changes" if "changes" in self.expect else "sheet.answer"
        return f"sheet.says.{topic}"

    @property
    def has_number(self) -> bool:
        """Whether a number of its sources decides: an end of a range, or a topic's threshold."""
        is_range = "low" in self.expect or "high" in self.expect
        return is_range or self.model.removeprefix("sheet.says.") in _BY_THRESHOLD

    @property
    def pairs(self) -> set[tuple[str, str]]:
        """The (model, source) pairs it compares by a number.

        Where practice stands beside a source its number may be practice's: practice alone counts.
        What the rules took over because of the table is no check of them any more.
        """
        if not self.has_number or (self.situation, self.said) in put_right():
            return set()
        keys = ("practice",) if "practice" in self.sources else self.sources
        return {(self.model, key) for key in keys} - _NO_NUMBER

    @property
    def said(self) -> str:
        """The expectation in words; names it within its situation."""
        return _say_expected(self.expect)


@cache
def table() -> dict[str, Any]:
    """The file as it stands."""
    return tomllib.loads(TABLE.read_text())


@cache
def notes() -> dict[str, Any]:
    """The disagreements, and what the first run gave."""
    return tomllib.loads(NOTES.read_text())


def situations() -> dict[str, dict[str, Any]]:
    """Each situation in full: the base with what it changes."""
    base = table()["base"]
    return {one["name"]: {**base, **one} for one in table()["situation"]}


def rows() -> list[Row]:
    """Every expectation, in the order of the file."""
    return [Row(one["name"], expect) for one in table()["situation"] for expect in one["expect"]]


def put_right() -> dict[tuple[str, str], dict[str, Any]]:
    """What the rules took over from the table, by situation and expectation."""
    return {(one["situation"], one["expected"]): one for one in notes().get("put_right", ())}


def noted() -> dict[tuple[str, str], dict[str, Any]]:
    """The disagreements by situation and expectation."""
    return {(one["situation"], one["expected"]): one for one in notes().get("disagreement", ())}


_TOPICS = {
    "warned": "warned of {}",
    "not_warned": "not warned of {}",
    "conflict": "a conflict about {}",
    "measured": "measured: {}",
    "refused_or_warned": "refused, or warned of {}",
}


def _say_expected(expect: Mapping[str, Any]) -> str:
    about = expect.get("line", expect.get("bale", "roll changes"))
    if "refused" in expect:
        return "no sheet, with a reason"
    for kind, words in _TOPICS.items():
        if kind in expect:
            return words.format(expect[kind].replace("_", " "))
    return f"{about} {value_in_words(expect)}"


def value_in_words(expect: Mapping[str, Any]) -> str:
    """What a line or the bale should be, without its name."""
    if "absent" in expect:
        return "none"
    if "is" in expect:
        return " or ".join(expect["is"])
    for name, (words, _) in ORDER.items():
        if name in expect:
            return f"{words} in “{expect[name]}”"
    for prefix, words in (("share_", " of its range"), ("layer_", " a layer")):
        if prefix + "low" in expect:
            return _range(expect, prefix) + words
    return _range(expect, "")


def _range(expect: Mapping[str, Any], prefix: str) -> str:
    low, high = expect.get(prefix + "low"), expect.get(prefix + "high")
    if low is None:
        return f"at most {high}"
    if high is None:
        return f"at least {low}"
    return f"{low}" if low == high else f"{low} to {high}"
