"""What the forms of an answer send, as the flow wants it. Every word is judged there."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from balewright.desk.reading import reading
from balewright.flows.give_feedback import Answer
from balewright.plan.sheet.sheet import Sheet
from balewright.store.entries import Change
from balewright.words.sheet_words import grouped, label_of, value_of

SLOTS: Final = (1, 2, 3)
"""How many changed settings one form takes."""


@dataclass(frozen=True)
class Choice:
    """One setting to pick. value: what the sheet has."""

    key: str
    label: str
    value: str


def answer_from(sent: Mapping[str, Any]) -> Answer:
    """The answer in a sent form; a setting without a value, or a value without one, stays in it
    so that it can be told.
    """
    pairs = ((str(sent.get(f"line{n}", "")), str(sent.get(f"value{n}", ""))) for n in SLOTS)
    return Answer(
        mark=str(sent.get("mark", "")),
        outcome=str(sent.get("outcome", "")),
        changes=tuple(Change(line, value) for line, value in pairs if line or value.strip()),
        text=str(sent.get("text", "")),
    )


def answer_form(sheet: Sheet) -> dict[str, Any]:
    """What the forms need: a new mark for each, and the settings to pick from, in their order."""
    return {
        "tap_mark": secrets.token_hex(16),
        "more_mark": secrets.token_hex(16),
        "slots": SLOTS,
        "choices": [
            (heading, [Choice(line.key, label_of(line, reading()), value_of(line, reading()))
                       for line in lines])
            for heading, lines in grouped(sheet, reading())
        ],
    }  # fmt: skip
