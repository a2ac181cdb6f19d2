"""Where everything stands on card and long sheet: boxes, not pixels."""

from __future__ import annotations

import itertools
import json
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
import typst

from balewright.cards import sheet_pdf
from balewright.cards.sheet_pdf import Paper, fonts, paper_data, template
from balewright.plan.sheet.sheet import Sheet
from balewright.readers.profile import shipped_profiles
from cards.examples import ASKED, full_day, issued, sheet_for

PAGE = {Paper.A5: (419.53, 595.28), Paper.A4: (595.28, 841.89)}  # ISO 216, in points
EDGE = {Paper.A5: 20.0, Paper.A4: 33.0}
TOUCHING = 0.6
"""Points by which type may reach over its box: the overshoot of rounded letters."""
LEAVES = ("label ", "dial ", "value ", "allowed ", "why ")
MAKES = sorted(shipped_profiles())


@dataclass(frozen=True)
class Box:
    """A part of a page, in points from its top left corner; is_one_line: it needs no more room
    than it has to stand on one line."""

    name: str
    page: int
    left: float
    top: float
    right: float
    bottom: float
    is_one_line: bool

    def covers(self, other: Box) -> bool:
        """Whether both lie on one another by more than a touch."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return self.page == other.page and across > TOUCHING and down > TOUCHING


def points(length: str) -> float:
    """`12.5pt` as a number."""
    return float(length.removesuffix("pt"))


def boxes_of(sheet: Sheet, paper: Paper, language: str = "en") -> tuple[list[Box], float]:
    """Every part of the sheet, and the size of its type in points."""
    compiler = typst.Compiler(
        str(template(paper)),
        font_paths=fonts(),
        sys_inputs={"sheet": json.dumps(paper_data(sheet, issued(sheet), language)), "boxes": "1"},
    )
    found = json.loads(compiler.query("<box>", field="value"))
    sizes = [points(one["size"]) for one in found if one["name"] == "unit"]
    parts = []
    for one in found:
        if one["name"] == "unit":
            continue
        left, top = points(one["at"]["x"]), points(one["at"]["y"])
        right, bottom = left + points(one["width"]), top + points(one["height"])
        fits = points(one["line"]) <= points(one["room"]) + TOUCHING
        parts.append(Box(one["name"], one["page"], left, top, right, bottom, fits))
    return parts, sizes[0]


@cache
def laid(make: str, asked: str, paper: Paper, form: str) -> tuple[list[Box], float, Sheet]:
    """A make's sheet on paper: plain, or with long words and a full day."""
    sheet = sheet_for(make, ASKED[asked], winded=form == "full")
    if form == "full":
        sheet = full_day(sheet)
    return (*boxes_of(sheet, paper), sheet)


every_sheet = pytest.mark.parametrize(
    ("make", "asked", "paper", "form"),
    [
        *itertools.product(MAKES, ("plain",), Paper, ("as it comes",)),
        *itertools.product(MAKES[:1], ("hay",), Paper, ("as it comes",)),
        *itertools.product(MAKES[:2], ("long",), Paper, ("full",)),
    ],
)


@pytest.mark.published
@every_sheet
def test_nothing_leaves_the_page(make: str, asked: str, paper: Paper, form: str) -> None:
    """Every part lies inside the margins of ISO A5 or A4; the card is one page, the sheet two."""
    boxes, size, _ = laid(make, asked, paper, form)
    wide, high = PAGE[paper]
    for box in boxes:
        assert EDGE[paper] <= box.left <= box.right <= wide - EDGE[paper], box
        assert EDGE[paper] <= box.top <= box.bottom <= high - EDGE[paper], box
    assert {box.page for box in boxes} <= ({1} if paper is Paper.A5 else {1, 2})
    assert size >= (5.0 if form == "full" else 6.8)


@pytest.mark.law
@every_sheet
def test_no_part_lies_on_another(make: str, asked: str, paper: Paper, form: str) -> None:
    """Labels, dials, values, reasons and the parts of the page never overlap."""
    boxes, _, _ = laid(make, asked, paper, form)
    whole = [box for box in boxes if not box.name.startswith(LEAVES)]
    leaves = [box for box in boxes if box.name.startswith(LEAVES)]
    for some in (whole, leaves):
        for one, other in itertools.combinations(some, 2):
            assert not one.covers(other), (one, other)


@pytest.mark.law
@every_sheet
def test_a_value_is_never_broken(make: str, asked: str, paper: Paper, form: str) -> None:
    """Every value has the room to stand on one line with its unit, and on the card so has the
    dial beside it."""
    boxes, _, _ = laid(make, asked, paper, form)
    kinds = ("value ", "dial ") if paper is Paper.A5 else ("value ",)
    shown = [box for box in boxes if box.name.startswith(kinds)]
    assert len(shown) >= 10
    for box in shown:
        assert box.is_one_line, box


@pytest.mark.law
@every_sheet
def test_cautions_first_and_settings_in_their_order(
    make: str, asked: str, paper: Paper, form: str
) -> None:
    """Head, cautions, then every setting once, in the order in which it is set; each with its
    dial beside its value."""
    boxes, _, sheet = laid(make, asked, paper, form)
    by_name = {box.name: box for box in boxes}
    values = [box for box in boxes if box.name.startswith("value ")]
    cautions = by_name["cautions"]
    assert cautions.page == 1
    assert by_name["head"].bottom <= cautions.top + TOUCHING
    assert all(box.page == 2 or box.top >= cautions.bottom for box in values)
    data = paper_data(sheet, issued(sheet), "en")
    lines = [line for group in data["groups"] for line in group["lines"]]
    middle = PAGE[paper][0] / 2

    def place(box: Box) -> tuple[int, bool, float]:
        right_column = paper is Paper.A5 and box.left > middle
        return box.page, right_column, box.top

    read = [box.name.removeprefix("value ") for box in sorted(values, key=place)]
    assert read == [line["key"] for line in lines]
    for line in lines:
        value = by_name[f"value {line['key']}"]
        label = by_name[f"label {line['key']}"]
        assert label.right <= value.left + TOUCHING
        if line["dial"]:
            dial = by_name[f"dial {line['key']}"]
            assert min(dial.bottom, value.bottom) > max(dial.top, value.top)


@pytest.mark.own
@pytest.mark.parametrize("make", MAKES)
def test_the_card_can_be_read_at_arms_length(make: str) -> None:
    """Values on an ordinary card are set in 10 points or more, and nothing in less than 5.5."""
    _, size, _ = laid(make, "plain", Paper.A5, "as it comes")
    factors = [
        float(found)
        for name in ("sheet_parts.typ", "sheet_a5.typ")
        for found in re.findall(
            r"text\((?:[^()]*, )?size: ([\d.]+) \* unit",
            Path(sheet_pdf.__file__).with_name(name).read_text("utf-8"),
        )
    ]
    assert size * 1.5 >= 10.0
    assert size * min(factors) >= 5.5


def luminance(grey_frac: float) -> float:
    """Relative luminance of a grey of sRGB by WCAG 2.2."""
    if grey_frac <= 0.04045:
        return grey_frac / 12.92
    return float(((grey_frac + 0.055) / 1.055) ** 2.4)


def contrast(one_frac: float, other_frac: float) -> float:
    """Contrast ratio of two greys by WCAG 2.2."""
    low, high = sorted((luminance(one_frac), luminance(other_frac)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.published
def test_greys_have_the_contrast_of_the_strictest_level() -> None:
    """Every ink on every ground it is set on reaches WCAG 2.2 level AAA, 7 to 1; the rule
    between lines, which is no text, the 3 to 1 of graphics."""
    parts = Path(sheet_pdf.__file__).with_name("sheet_parts.typ").read_text("utf-8")
    greys = {
        name: float(share) / 100
        for name, share in re.findall(r"#let (\w+) = luma\((\d+)%\)", parts)
    }
    assert contrast(0.0, 1.0) == pytest.approx(21.0)  # WCAG's own: black on white
    for ink, ground in (("ink", 1.0), ("soft", 1.0), ("ink", greys["tint"])):
        assert contrast(greys[ink], ground) >= 7.0
    assert contrast(greys["hair"], 1.0) >= 3.0


@pytest.mark.law
@pytest.mark.parametrize("paper", Paper)
def test_nothing_on_paper_is_coloured(paper: Paper) -> None:
    """Every fill and stroke is a grey, so that a black-and-white printer loses nothing."""
    sheet = full_day(sheet_for("mossgrinder-m2", winded=True))
    drawn = typst.compile(
        str(template(paper)),
        format="svg",
        font_paths=fonts(),
        sys_inputs={"sheet": json.dumps(paper_data(sheet, issued(sheet), "en"))},
    )
    text = b"".join(drawn if isinstance(drawn, list) else [drawn]).decode("utf-8")
    colours = set(re.findall(r"#([0-9a-fA-F]{6})\b", text))
    assert len(colours) >= 3
    for colour in colours:
        assert colour[:2] == colour[2:4] == colour[4:6], colour
