"""The pictures of keeping: what they hold for ears and eyes, and that the pages have them."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from balewright.pictures.keeping_chart import draw_keeping
from balewright.pictures.keeping_mould import draw_mould
from balewright.pictures.oxygen_chart import draw_oxygen
from balewright.pictures.plot import on_paper
from balewright.plan.film.strip import Bale
from balewright.plan.keeping.answer import KeepingAnswer, KeepingQuestion, answer_keeping
from balewright.plan.keeping.climate import CLIMATES, COOL_MOIST, WARM_DRY, Stay
from balewright.plan.keeping.keep import Mishaps, Stored
from balewright.plan.keeping.least_cost import Prices
from balewright.plan.keeping.oxygen import Cover
from balewright.words.say import say

DOCS = Path(__file__).parents[2] / "docs" / "models"
STORED = Stored(Bale(1.25, 1.20), Cover(18.5e-6), 180.0, 0.50, Stay(WARM_DRY, 6, 12.0))
ASKED = KeepingQuestion(STORED, 6, 25e-6, Mishaps(), Prices(3.0, 180.0))
ANSWER = answer_keeping(ASKED)
NAME = {"svg": "http://www.w3.org/2000/svg"}


OXYGEN = draw_oxygen(Cover(18.5e-6), 4, tuple(CLIMATES.values()), say)


@pytest.mark.own
@pytest.mark.parametrize(
    ("file", "drawn"),
    [
        ("keeping-chart", draw_keeping(ANSWER, say)),
        ("keeping-mould", draw_mould(ANSWER, say)),
        ("oxygen", OXYGEN),
    ],
)
def test_picture_in_the_documentation_is_current(file: str, drawn: str) -> None:
    """The pictures of the model pages are what is drawn today."""
    assert (DOCS / f"{file}.svg").read_text(encoding="utf-8") == on_paper(drawn)


@pytest.mark.law
@pytest.mark.parametrize("draw", [draw_keeping, draw_mould])
def test_picture_is_sound_and_speaks(draw: object) -> None:
    """Well-formed, named and told in words, no script, no request outside, phone width."""
    assert callable(draw)
    drawn = draw(ANSWER, say)
    root = ET.fromstring(drawn)
    assert root.findtext("svg:title", "", NAME)
    assert "6 layers" in root.findtext("svg:desc", "", NAME)
    assert "script" not in drawn
    assert not re.search(r"(href|src|url\()", drawn)
    assert root.attrib["viewBox"].split()[2] == "360"
    assert "nan" not in drawn.lower()


@pytest.mark.own
def test_oxygen_has_a_line_a_climate_and_tells_the_year() -> None:
    """Three climates, three lines, one field of spread; the description holds the year's doses."""
    root = ET.fromstring(OXYGEN)
    assert len(root.findall(".//svg:polyline", NAME)) == 3
    assert len(root.findall(".//svg:polygon", NAME)) == 1
    told = root.findtext("svg:desc", "", NAME)
    assert all(f"{name}: " in told for name in CLIMATES)


@pytest.mark.own
def test_both_schools_and_the_flat_are_drawn() -> None:
    """Two bands of loss, two of cost, a mark on each least and a thick stretch under each."""
    root = ET.fromstring(draw_keeping(ANSWER, say))
    lines = root.findall(".//svg:polyline", NAME)
    assert len(root.findall(".//svg:polygon", NAME)) == 4
    assert len(root.findall(".//svg:circle", NAME)) == 2
    assert sum(line.get("stroke-width") == "14" for line in lines) == 2


@pytest.mark.own
def test_without_prices_only_losses_are_drawn() -> None:
    """No price, no cost: the plot of money is left out, not guessed."""
    answer = answer_keeping(replace(ASKED, prices=None))
    drawn = draw_keeping(answer, say)
    assert answer.least is None
    assert "money" not in drawn
    assert len(ET.fromstring(drawn).findall(".//svg:polygon", NAME)) == 2


@pytest.mark.own
@pytest.mark.parametrize(
    ("months", "layers", "frames"), [(12.0, 6, 5), (0.0, 6, 0), (12.0, 5, 0), (40.0, 6, 0)]
)
def test_the_bale_is_framed_where_it_is_in_the_field(
    months: float, layers: int, frames: int
) -> None:
    """Once for each of five sources and once in the legend; outside the field only there."""
    stored = replace(STORED, stay=Stay(COOL_MOIST, 6, months))
    answer: KeepingAnswer = answer_keeping(replace(ASKED, stored=stored, layers=layers))
    root = ET.fromstring(draw_mould(answer, say))
    found = [one for one in root.findall(".//svg:rect", NAME) if one.get("fill") == "none"]
    assert len(found) == frames + 1
