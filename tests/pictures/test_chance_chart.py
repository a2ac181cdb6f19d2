"""The picture of the chance over wrap turns."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from balewright.pictures.chance_chart import ChancePicture, draw_chance, say_chance
from balewright.pictures.plot import on_paper
from balewright.plan.film.chance_setting import TurnsRow, Wish, turns_for_chance, turns_table
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.spread import normal
from balewright.plan.film.varying import Draws, StretchedFilm, Varying
from balewright.words.say import say

NAME = {"svg": "http://www.w3.org/2000/svg"}
ROWS = tuple(
    TurnsRow(turns, chance, 0.001, one_less, 0.01, film_m)
    for turns, chance, one_less, film_m in [
        (11, 0.1, 0.4, 60.0),
        (12, 0.9, 0.97, 66.0),
        (13, 0.99999, 1.0, 72.0),
    ]
)


@pytest.mark.own
def test_picture_in_the_documentation_is_current() -> None:
    """docs/models/tolerance.svg is what the code draws today for the page's example.

    To the tenth of a unit, so that another processor's last digit does not count.
    """
    film = StretchedFilm(0.75, normal(0.70, 0.03), normal(0.437, 0.02))
    job = Varying(normal(1.25, 0.04), 1.23, normal(0.491, 0.02), film)
    wish, draws = Wish(Goal(6), 0.98, 2), Draws()
    turns = turns_for_chance(job, wish, draws)
    assert turns == 14
    rows = turns_table(job, wish, turns, draws)
    drawn = on_paper(draw_chance(ChancePicture(rows, 6, 0.98, turns), say))
    page = Path(__file__).parents[2] / "docs" / "models" / "tolerance.svg"
    kept = page.read_text(encoding="utf-8")
    number = re.compile(r"\d+\.\d+")
    assert number.sub("N", drawn) == number.sub("N", kept)
    ours, theirs = (list(map(float, number.findall(one))) for one in (drawn, kept))
    assert ours == pytest.approx(theirs, abs=0.1)


@pytest.mark.law
def test_it_tells_all_it_shows() -> None:
    """Title and description name layers, every turn and the answer; nothing is fetched."""
    drawn = draw_chance(ChancePicture(ROWS, 6, 0.95, 13), say)
    root = ET.fromstring(drawn)
    assert "6 layers" in root.findtext("svg:title", "", NAME)
    told = root.findtext("svg:desc", "", NAME)
    for words in ("11 turns: 10\xa0%", "12 turns: 90\xa0%", "over 99.9 %", "13 turns reach"):
        assert words in told
    assert re.findall(r"https?://[^\"]+", drawn) == ["http://www.w3.org/2000/svg"]
    seen = "".join(root.itertext())
    assert all(f"{row.film_m:.0f}" in seen for row in ROWS)
    assert root.attrib["viewBox"].split()[2] == "360"


@pytest.mark.law
def test_a_chance_that_is_not_reached_and_film_that_is_not_known() -> None:
    """Without an answer none is ringed, and without metres none are drawn."""
    rows = tuple(TurnsRow(turns, 0.1, 0.0, 0.2, 0.5, None) for turns in (11, 12))
    drawn = draw_chance(ChancePicture(rows, 6, 0.95, None), say)
    assert "No number of turns tried" in drawn
    assert "film a bale" not in drawn
    assert len(ET.fromstring(drawn).findall(".//svg:circle", NAME)) == 2


@pytest.mark.derived
@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (0.0, "none"),
        (1e-9, "under 0.1 %"),
        (0.004, "0.4\xa0%"),
        (0.5, "50\xa0%"),
        (0.968, "96.8\xa0%"),
        (0.9994, "99.9\xa0%"),
        (0.99999, "over 99.9 %"),
        (1.0, "100\xa0%"),
    ],
)
def test_a_chance_is_never_rounded_to_sure_or_never(chance: float, said: str) -> None:
    """100 % and none are said only where they are so."""
    assert say_chance(chance, say) == said
