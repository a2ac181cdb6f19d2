"""A setup sheet as plain text: for a terminal or a message."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Final

from balewright.cards.sheet_data import sections_of, source_keys
from balewright.plan.sheet.sheet import Sheet, SheetLine
from balewright.quantities.sources import source
from balewright.words import sheet_words
from balewright.words.say import SPACE, say

WIDTH: Final = 96


def sheet_text(sheet: Sheet, language: str = "en") -> str:
    """The sheet on lines of at most WIDTH characters, cautions first, sources last."""
    return "\n".join(_rows(sheet, language)).replace(SPACE, " ") + "\n"


def _rows(sheet: Sheet, language: str) -> Iterator[str]:
    title = f"{sheet_words.heading('title', language)}: {sheet_words.machine_of(sheet, language)}"
    yield title
    yield "=" * len(title)
    yield from textwrap.wrap("; ".join(sheet_words.conditions_of(sheet, language)), WIDTH)
    yield ""
    yield sheet_words.heading("cautions", language).upper()
    for caution in sheet.cautions:
        yield from _item(say(caution, language))
    for heading, lines in sheet_words.grouped(sheet, language):
        yield ""
        yield heading.upper()
        for line in lines:
            yield from _setting(line, language)
    for part in sections_of(sheet, language):
        yield ""
        yield part["name"].upper()
        for sentence in part["sentences"]:
            yield from _item(sentence)
    yield ""
    for key in source_keys(sheet):
        yield from textwrap.wrap(f"[{key}] {source(key).text}", WIDTH, subsequent_indent="  ")
    yield sheet_words.origin_of(sheet, language)


def _setting(line: SheetLine, language: str) -> Iterator[str]:
    dial = sheet_words.dial_of(line)
    value = sheet_words.value_of(line, language)
    head = f"  {sheet_words.label_of(line, language):<29} {value:<15} "
    allowed = sheet_words.range_of(line, language)
    allowed = "" if allowed == sheet_words.DASH else f"({allowed})"
    yield f"{head}{f'[{dial}]' if dial else '':<23} {allowed}".rstrip()
    why = f"{say(line.reason, language)} [{line.source}; {sheet_words.sure_of(line, language)}]"
    yield from textwrap.wrap(why, WIDTH, initial_indent="      ", subsequent_indent="      ")


def _item(sentence: str) -> list[str]:
    return textwrap.wrap(sentence, WIDTH, initial_indent="  - ", subsequent_indent="    ")
