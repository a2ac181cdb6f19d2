"""The picture of what costs least: what it holds for ears and eyes, and that the page has it."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from balewright.pictures.optimum_chart import draw_optimum
from balewright.pictures.plot import on_paper
from balewright.plan.keeping.climate import WARM_DRY, Stay
from balewright.plan.optimum.asked import Choices, Wanted
from balewright.plan.optimum.best import best_settings
from balewright.plan.optimum.enough_turns import turns_by_layers
from balewright.plan.power.answer import Tractor
from balewright.words.say import say
from plan.optimum.examples import QUESTION, VARYING

PAGE = Path(__file__).parents[2] / "docs" / "models" / "optimum.svg"
NAME = {"svg": "http://www.w3.org/2000/svg"}
BEST = best_settings(
    replace(
        QUESTION,
        stay=Stay(WARM_DRY, 6, 14.0),
        dm_money_t=220.0,
        choices=Choices(
            turns_by_layers(VARYING, 2, 0.95, range(4, 11)),
            tuple(140.0 + 10.0 * step for step in range(9)),
            tuple(1.4 + 0.25 * step for step in range(9)),
        ),
        wanted=Wanted(most_bale_kg=690.0),
        tractor=Tractor(75.0, 7000.0),
    )
)


@pytest.mark.own
def test_the_documentation_shows_what_the_code_draws() -> None:
    """The page's picture is this code's picture."""
    assert PAGE.read_text() == on_paper(draw_optimum(BEST, say))


@pytest.mark.own
def test_it_is_told_in_words_and_asks_for_nothing() -> None:
    """Title, description with the settled choice, no script, no address."""
    drawn = draw_optimum(BEST, say)
    root = ET.fromstring(drawn)
    assert root.findtext("svg:title", "", NAME) == "What costs least"
    assert f"{BEST.settled.turned.layers} layers" in root.findtext("svg:desc", "", NAME)
    for never in ("script", "href", "url(", "style", "nan"):
        assert never not in drawn


@pytest.mark.own
def test_each_setting_has_both_schools_and_the_settled_place() -> None:
    """Three plots with two bands, two marks and one upright line; the front marks its choices."""
    root = ET.fromstring(draw_optimum(BEST, say))
    assert len(root.findall(".//svg:polygon", NAME)) == 6
    assert len(root.findall(".//svg:circle", NAME)) == 6 + len(BEST.front)
    uprights = [line for line in root.findall(".//svg:line", NAME) if line.get("stroke-dasharray")]
    assert len(uprights) == 3


@pytest.mark.own
def test_a_setting_that_was_not_offered_has_no_plot() -> None:
    """One density only: nothing to compare, so its plot is left out."""
    one = replace(QUESTION, choices=replace(QUESTION.choices, density_kg_m3=(180.0,)))
    root = ET.fromstring(draw_optimum(best_settings(one), say))
    assert len(root.findall(".//svg:polygon", NAME)) == 4
