"""Everything that stands on a sheet, as text in its order: what card, long sheet and page draw."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Final

from balewright.cards.issue import NO_ISSUE, Issue, issue_words
from balewright.plan.sheet.sheet import Sheet, SheetLine
from balewright.quantities.sources import source
from balewright.words import sheet_day, sheet_words
from balewright.words.reader import reader_of
from balewright.words.review import english_beside, review_note
from balewright.words.say import say

NOT_USED: Final = "not used"
"""The value of a line that the job has no use for."""


def sheet_data(sheet: Sheet, issue: Issue = NO_ISSUE, language: str = "en") -> dict[str, Any]:
    """The sheet as texts and lists of texts. groups: settings as they are set; sections: lists of
    sentences with their heading; sources: key and text of each source that a line names; note and
    cautions_beside: small print and the English cautions, while a translation is not reviewed.
    """
    return {
        "language": reader_of(language).language,
        "title": sheet_words.heading("title", language),
        "machine": sheet_words.machine_of(sheet, language),
        "conditions": list(sheet_words.conditions_of(sheet, language)),
        "first": sheet_words.heading("cautions", language),
        "cautions": [say(caution, language) for caution in sheet.cautions],
        "cautions_beside": list(english_beside(sheet.cautions, language)),
        "note": review_note(language),
        "groups": [
            {"name": name, "lines": _rows(lines, language)}
            for name, lines in sheet_words.grouped(sheet, language)
        ],
        "sections": list(sections_of(sheet, language)),
        "sources": {
            "name": sheet_words.heading("sources", language),
            "entries": [{"key": key, "text": source(key).text} for key in source_keys(sheet)],
        },
        "origin": sheet_words.origin_of(sheet, language),
        "issue": list(issue_words(issue, language)),
        "link": issue.link or "",
    }


def two_columns(data: dict[str, Any]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Groups and sections in their order, split where both columns come out most alike; a long
    group may go on in the second column under its heading."""
    blocks = [*data["groups"], *data["sections"]]
    ways = [_cut(blocks, at) for at in range(len(blocks) + 1)]
    for at, block in enumerate(blocks):
        for row in range(_FEWEST_ROWS, len(block.get("lines", ())) - _FEWEST_ROWS + 1):
            upper = {**block, "lines": block["lines"][:row]}
            lower = {**block, "lines": block["lines"][row:]}
            ways.append(([*blocks[:at], upper], [lower, *blocks[at + 1 :]]))
    return min(ways, key=lambda way: max(_tall(way[0]), _tall(way[1])))


def _cut(
    blocks: list[dict[str, Any]], at: int
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    return blocks[:at], blocks[at:]


def _tall(side: list[dict[str, Any]]) -> float:
    return sum(map(_high, side))


def guess_size(data: dict[str, Any]) -> float:
    """About the type size, in points, with which two columns fill an A5 page: a first guess that
    the page itself puts right."""
    tall = max(map(_tall, two_columns(data)))
    tall += 0.5 * sum(1 + len(text) // _WIDE_SIGNS for text in data["cautions"]) + 3.0
    return float((_PAGE / tall) ** 0.5)


_HEAD: Final = 1.3
_ROW: Final = 1.3
_FEWEST_ROWS: Final = 2
"""A group is not split so that fewer rows stand alone."""
_SENTENCE: Final = 0.62
_SIGNS: Final = 52
_WIDE_SIGNS: Final = 100
_PAGE: Final = 2560.0
"""Heights in lines of type and signs to a line, as the card's template comes out."""


def _high(block: dict[str, Any]) -> float:
    if "lines" in block:
        return _HEAD + _ROW * len(block["lines"])
    return _HEAD + sum(_SENTENCE * (1 + len(text) // _SIGNS) for text in block["sentences"])


def sections_of(sheet: Sheet, language: str = "en") -> Iterator[dict[str, Any]]:
    """What stands beside the settings, in order: key, heading and sentences; none that is empty."""
    found = (
        ("conflicts", sheet_day.conflicts_of(sheet, language)),
        ("measures", sheet_day.measures_of(sheet, language)),
        ("rolls", sheet_day.rolls_of(sheet, language)),
        ("expected", sheet_words.expected_of(sheet, language)),
        ("unknown", tuple(say(reason, language) for reason in sheet.unknown)),
    )
    for key, sentences in found:
        if sentences:
            name = sheet_words.heading(key, language)
            yield {"key": key, "name": name, "sentences": list(sentences)}


def source_keys(sheet: Sheet) -> Iterator[str]:
    """Every source that the sheet leans on, each once."""
    named = [line.source for line in sheet.lines]
    named += [conflict.source for conflict in sheet.conflicts]
    named += [measure.source for measure in sheet.measures]
    yield from dict.fromkeys(named)


def _rows(lines: Iterable[SheetLine], language: str) -> list[dict[str, str]]:
    """A row for each line; those that the job has no use for share the last one."""
    given = list(lines)
    rows = [_line(line, language) for line in given if line.value != NOT_USED]
    unused = [_line(line, language) for line in given if line.value == NOT_USED]
    if unused:
        labels = ", ".join(row["label"] for row in unused)
        rows.append({**unused[0], "label": labels, "dial": "", "allowed": ""})
    return rows


def _line(line: SheetLine, language: str) -> dict[str, str]:
    allowed = sheet_words.range_of(line, language)
    return {
        "key": line.key,
        "label": sheet_words.label_of(line, language),
        "value": sheet_words.value_of(line, language),
        "dial": sheet_words.dial_of(line),
        "allowed": "" if allowed == sheet_words.DASH else allowed,
        "why": say(line.reason, language),
        "source": line.source,
        "sure": sheet_words.sure_of(line, language),
    }
