"""The day of the rolls: what it shows is what was worked out."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.roll_day import DayDrawn, draw_roll_day
from balewright.plan.film.roll_ends import Day, roll_ends
from balewright.plan.film.roll_stock import Stock, use_spread
from balewright.plan.film.rolls import RollBought
from balewright.plan.film.strip import Bale, Film
from balewright.words.say import say

SVG = "{http://www.w3.org/2000/svg}"


def drawn(left_m: tuple[float, ...] = (1500.0, 620.0), spare: int | None = None) -> str:
    """140 bales on rolls of 1500 m, one of them partly used."""
    use = use_spread(Bale(1.25, 1.23), 12.0, 0.70, 0.03, 0.03)
    stock = Stock(left_m, RollBought(Film(0.75, 25e-6, 1500.0, 0.70), 15.0))
    day = roll_ends((use,) * len(left_m), stock, Day(140, spare))
    return draw_roll_day(DayDrawn(140, len(left_m), day), say)


@pytest.mark.derived
def test_every_end_is_drawn_and_told() -> None:
    """Six ends: six numbers under the bars, six sentences for a screen reader."""
    tree = ET.fromstring(drawn())
    numbers = {node.text for node in tree.iter(f"{SVG}text")}
    assert {"18", "43", "60", "85", "103", "128"} <= numbers
    assert (tree[1].text or "").count("ends in bale") == 6


@pytest.mark.derived
def test_bars_end_where_rolls_end() -> None:
    """The first bar of roll 2 is as long as its share of the bales."""
    tree = ET.fromstring(drawn())
    bars = [node for node in tree.iter(f"{SVG}rect") if "roll-day" in (node.get("class") or "")]
    wide = [float(node.get("width", "0")) for node in bars]
    assert sum(wide[:4]) == pytest.approx(392.0, abs=0.1)
    assert wide[4] == pytest.approx(392.0 * 605.0 / (12 * 4.96 / 1.7) / 140.0, abs=0.1)


@pytest.mark.law
@pytest.mark.parametrize(
    ("left_m", "spare"),
    [((1500.0, 620.0), None), ((1500.0, 620.0), 0), ((40.0,), 0), ((9000.0,), None)],
)
def test_strict_content_policy_can_hold_it(left_m: tuple[float, ...], spare: int | None) -> None:
    """No script, style, id or outside address; nothing outside the frame."""
    tree = ET.fromstring(drawn(left_m, spare))
    for node in tree.iter():
        assert not set(node.keys()) & {"style", "id", "href"}
        assert node.tag != f"{SVG}script"
        if node.tag == f"{SVG}rect":
            assert float(node.get("x", "0")) + float(node.get("width", "0")) <= 480.0


@pytest.mark.own
def test_picture_in_the_documentation_is_current() -> None:
    """The picture of the model page is what is drawn today."""
    page = Path(__file__).parents[2] / "docs" / "models" / "rolls.svg"
    assert page.read_text(encoding="utf-8") == drawn()
