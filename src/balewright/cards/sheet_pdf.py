"""A setup sheet on paper, set by typst with the packaged font only.

Two forms: the A5 card (settings, dials, limits) and the long A4 sheet (with every reason and its
source). Both are black on white with greys behind text, so that any printer will do.
"""

from __future__ import annotations

import json
import re
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, Final, Literal

import font_source_sans_pro
import typst

from balewright.cards.issue import NO_ISSUE, Issue
from balewright.cards.qr import code_svg
from balewright.cards.sheet_data import guess_size, sheet_data, two_columns
from balewright.plan.sheet.sheet import Sheet


class Paper(StrEnum):
    """Which of the two forms."""

    A5 = "a5"
    A4 = "a4"


_BEFORE_UNIT: Final = re.compile(r"(?<=\w)/(?=\w)")
_JOINER: Final = "\N{WORD JOINER}"


def sheet_pdf(
    sheet: Sheet, language: str = "en", issue: Issue = NO_ISSUE, paper: Paper = Paper.A5
) -> bytes:
    """The sheet as a PDF: one A5 page, or one or two A4 pages, with embedded fonts."""
    return _compile(paper_data(sheet, issue, language), paper, "pdf")


def sheet_png(
    sheet: Sheet, language: str = "en", issue: Issue = NO_ISSUE, paper: Paper = Paper.A5
) -> bytes:
    """The first page as a picture, 200 dots an inch."""
    return _compile(paper_data(sheet, issue, language), paper, "png")


def template(paper: Paper) -> Path:
    """The file that draws a form."""
    return Path(__file__).with_name(f"sheet_{paper}.typ")


def paper_data(sheet: Sheet, issue: Issue, language: str) -> dict[str, Any]:
    """What the templates are given; no text in it is read as markup."""
    data = sheet_data(sheet, issue, language)
    left, right = two_columns(data)
    text = {**data, "left": left, "right": right, "guess": guess_size(data)}
    code = code_svg(issue.link) if issue.link else ""
    return {**_tied(text), "code": code, "link": data["link"]}


@cache
def fonts() -> typst.Fonts:
    """The packaged font, read once; nothing of the machine's own fonts."""
    return typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[font_source_sans_pro.font_directory],
    )


def _compile(data: dict[str, Any], paper: Paper, form: Literal["pdf", "png"]) -> bytes:
    made: object = typst.compile(
        str(template(paper)),
        format=form,
        ppi=200.0,
        font_paths=fonts(),
        sys_inputs={"sheet": json.dumps(data, ensure_ascii=False)},
    )
    first = made[0] if isinstance(made, list) else made
    assert isinstance(first, bytes)
    return first


def _tied(text: dict[str, Any]) -> dict[str, Any]:
    """The same in which a unit with a stroke (`kg/m³`) stays on one line."""
    joined = _BEFORE_UNIT.sub(f"/{_JOINER}", json.dumps(text, ensure_ascii=False))
    tied: dict[str, Any] = json.loads(joined)
    return tied
