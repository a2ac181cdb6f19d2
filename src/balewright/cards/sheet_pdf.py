"""A setup sheet as one printed A5 page, set by typst with the packaged font only."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any, Final, Literal

import font_source_sans_pro
import typst

from balewright.plan.sheet import Sheet, SheetLine
from balewright.words import sheet_words
from balewright.words.say import say

TEMPLATE: Final = Path(__file__).with_name("sheet_card.typ")
_LEFT: Final = ("group.drive", "group.chamber", "group.off")


def sheet_pdf(sheet: Sheet, language: str = "en") -> bytes:
    """The card as a PDF of one A5 page; black on white, greys only behind text."""
    return _compile(sheet, language, "pdf")


def sheet_png(sheet: Sheet, language: str = "en") -> bytes:
    """The card as a picture, 200 dots an inch."""
    return _compile(sheet, language, "png")


def card_data(sheet: Sheet, language: str = "en") -> dict[str, Any]:
    """Everything that stands on the card, as text, in its order."""
    left = [sheet_words.group_name(key, language) for key in _LEFT]
    groups = [
        {"name": name, "lines": [_line(line, language) for line in lines]}
        for name, lines in sheet_words.grouped(sheet, language)
    ]
    return {
        "title": sheet_words.heading("title", language),
        "machine": sheet_words.machine_of(sheet, language),
        "conditions": list(sheet_words.conditions_of(sheet, language)),
        "cautions": [say(caution, language) for caution in sheet.cautions],
        "left": [group for group in groups if group["name"] in left],
        "right": [group for group in groups if group["name"] not in left],
        "heads": {name: sheet_words.heading(name, language) for name in ("expected", "unknown")},
        "expected": list(sheet_words.expected_of(sheet, language)),
        "unknown": [say(reason, language) for reason in sheet.unknown],
        "origin": sheet_words.origin_of(sheet, language),
    }


def _line(line: SheetLine, language: str) -> dict[str, str]:
    allowed = sheet_words.range_of(line, language)
    return {
        "label": sheet_words.label_of(line, language),
        "value": sheet_words.value_of(line, language),
        "dial": sheet_words.dial_of(line),
        "allowed": "" if allowed == sheet_words.DASH else allowed,
        "why": say(line.reason, language),
    }


@cache
def _fonts() -> typst.Fonts:
    return typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[font_source_sans_pro.font_directory],
    )


def _compile(sheet: Sheet, language: str, form: Literal["pdf", "png"]) -> bytes:
    card = json.dumps(card_data(sheet, language), ensure_ascii=False)
    made = typst.compile(
        str(TEMPLATE),
        format=form,
        ppi=200.0,
        font_paths=_fonts(),
        sys_inputs={"card": card},
    )
    assert isinstance(made, bytes)
    return made
