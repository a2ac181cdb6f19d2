"""A setup sheet as a text message: cautions, main settings, and where the rest is.

What does not fit is left out from the end of the settings, never from the cautions, and the last
line says where all of it stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from balewright.cards.issue import NO_ISSUE, Issue, issue_words
from balewright.cards.sheet_data import NOT_USED
from balewright.plan.sheet.sheet import Sheet, SheetLine
from balewright.quantities.reason import Reason, because
from balewright.words import sheet_words
from balewright.words.phone_text import phone_text
from balewright.words.say import say

MESSAGE_SIGNS: Final = 765
"""Five joined text messages of 153 signs of the phones' 7-bit alphabet (3GPP TS 23.038)."""
_MAIN: Final = (
    *("speed_m_s", "gate_opening_mm", "diameter_m", "chamber_bar", "layers", "wrap_turns"),
    *("pre_stretch_frac", "tip_side", "tip_speed_frac", "binding", "binding_turns", "knives_in"),
    *("knife_bar", "wrap_rpm", "open_s", "roll_after_s", "rolls_on", "additive_l_t", "oil_ml_bale"),
)
"""What is set first, and what may be left out last."""


def sheet_message(sheet: Sheet, language: str = "en", issue: Issue = NO_ISSUE) -> str:
    """The sheet in at most MESSAGE_SIGNS signs, one setting a line with the machine's own word
    and position, ending with a line feed."""
    before, after = list(_before(sheet, language, issue)), _after(language, issue)
    room = MESSAGE_SIGNS - sum(len(line) + 1 for line in (*before, after))
    settings = []
    for line in _main_lines(sheet):
        said = _plain(_setting(line, language))
        if len(said) + 1 > room:
            break
        settings.append(said)
        room -= len(said) + 1
    return "\n".join((*before, *settings, after)) + "\n"


def _before(sheet: Sheet, language: str, issue: Issue) -> Iterator[str]:
    """The machine, until when it holds, the first caution, and those that this job has its own
    numbers in."""
    yield _plain(sheet_words.machine_of(sheet, language))
    known = issue_words(issue, language)
    if known:
        yield _plain(", ".join(known))
    yield _plain(say(Reason("message.first"), language))
    for caution in sheet.cautions:
        if caution.values:
            yield _plain(say(caution, language))


def _after(language: str, issue: Issue) -> str:
    if issue.link is None:
        return _plain(say(Reason("message.more_on_sheet"), language))
    return say(because("message.more", link=issue.link), language)


def _main_lines(sheet: Sheet) -> Iterator[SheetLine]:
    lines = (sheet.line(key) for key in _MAIN)
    return (line for line in lines if line is not None and line.value != NOT_USED)


def _setting(line: SheetLine, language: str) -> str:
    said = f"{sheet_words.label_of(line, language)} {sheet_words.value_of(line, language)}"
    dial = sheet_words.dial_of(line)
    return f"{said} [{dial}]" if dial else said


def _plain(text: str) -> str:
    """Signs that would make a phone count every sign double, as plain ones."""
    return phone_text(text)
