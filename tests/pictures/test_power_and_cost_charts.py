"""The pictures of power and cost: to scale, told in words, fit for a strict page, and current."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.pictures.cost_chart import draw_cost
from balewright.pictures.plot import on_paper
from balewright.pictures.power_chart import draw_power
from balewright.plan.cost.answer import CostAnswer, answer_cost
from balewright.plan.power.answer import Load, PowerAnswer, Tractor, power_of
from balewright.plan.power.need import Chamber
from balewright.words.say import say
from plan.cost.examples import JOB, OUTLAY

SVG = "{http://www.w3.org/2000/svg}"
MODELS = Path(__file__).parents[2] / "docs" / "models"
LOAD = Load(Chamber.FIXED, 21.6, 13, 2.5, 7500.0, 45.0, 180.0, 0.08)
TRACTOR = Tractor(110.0, 7000.0, 90.0, 200.0, True)


def power() -> PowerAnswer:
    """The example of the documentation."""
    return power_of(LOAD, TRACTOR)


def cost() -> CostAnswer:
    """The example of the documentation."""
    return answer_cost(JOB, OUTLAY)


def drawings() -> list[ET.Element]:
    """Both pictures as trees."""
    return [ET.fromstring(draw_power(power(), say)), ET.fromstring(draw_cost(cost(), say))]


@pytest.mark.law
def test_a_strict_page_can_hold_them() -> None:
    """No script, style, event, id or outside address, and nothing wider than a phone."""
    for tree in drawings():
        assert tree.get("role") == "img"
        wide, high = (float(part) for part in tree.get("viewBox", "").split()[2:])
        assert wide <= 390
        for node in tree.iter():
            assert node.tag.removeprefix(SVG) in {"svg", "title", "desc", "rect", "text", "line"}
            assert not set(node.keys()) & {"style", "id", "href"}
            for place, most in (("x", wide), ("x1", wide), ("x2", wide), ("y", high), ("y2", high)):
                assert -0.01 <= float(node.get(place, "0")) <= most + 0.01


@pytest.mark.law
def test_a_screen_reader_hears_every_number() -> None:
    """Title and description hold the verdict, every part and every change."""
    powered, costed = drawings()
    told = (powered[1].text or "").replace("\N{NO-BREAK SPACE}", " ")
    assert "not certain" in told
    for word in ("baling 22 kW to 61 kW", "the slope", "tractor gives 110 kW"):
        assert word in told
    told = costed[1].text or ""
    for word in ("film 4.43", "one layer more +2.72", "10 % denser \N{MINUS SIGN}"):
        assert word in told
    assert "11.83" in (costed[0].text or "")


@pytest.mark.law
@settings(max_examples=30, deadline=None)
@given(st.floats(1.0, 60.0), st.integers(0, 25), st.floats(0.0, 0.2), st.floats(20.0, 300.0))
def test_the_bar_of_power_is_to_scale(
    feed: float, knives: int, slope: float, tractor_kw: float
) -> None:
    """The parts' widths are in proportion to their kW, and tractor and spread to the same scale."""
    load = replace(LOAD, feed_t_h=feed, knives_in=knives, slope_frac=slope)
    answer = power_of(load, replace(TRACTOR, pto_kw=tractor_kw))
    tree = ET.fromstring(draw_power(answer, say))
    bar = [node for node in tree.iter(f"{SVG}rect") if node.get("height") == "38"]
    scale = 340.0 / (1.04 * max(answer.need.total.high, tractor_kw))
    wide = math.fsum(float(node.get("width", "")) + 1.0 for node in bar)
    assert wide == pytest.approx(answer.need.total.best * scale, abs=0.6 + 0.5 * len(bar))
    upright = max(
        (node for node in tree.iter(f"{SVG}line")), key=lambda node: node.get("stroke-width", "")
    )
    assert float(upright.get("x1", "")) == pytest.approx(8.0 + tractor_kw * scale, abs=0.02)


@pytest.mark.law
def test_the_bar_of_cost_is_to_scale() -> None:
    """Each part is as wide as its share, and bars of changes start at one zero."""
    answer = cost()
    tree = ET.fromstring(draw_cost(answer, say))
    bar = [node for node in tree.iter(f"{SVG}rect") if node.get("height") == "34"]
    widths = [float(node.get("width", "")) + 1.0 for node in bar]
    assert math.fsum(widths) == pytest.approx(340.0, abs=0.5)
    film = answer.cost.parts.film_money / answer.cost.bale_money
    assert max(widths) == pytest.approx(340.0 * film, abs=0.02)
    zero = next(node for node in tree.iter(f"{SVG}line")).get("x1")
    assert zero is not None
    for node in tree.iter(f"{SVG}rect"):
        if node.get("rx") == "1.5":
            left = float(node.get("x", ""))
            ends = (left, left + float(node.get("width", "")))
            assert min(abs(end - float(zero)) for end in ends) < 0.02


@pytest.mark.own
def test_a_bale_without_changes_has_a_picture() -> None:
    """An answer without changes is drawn with its parts alone."""
    tree = ET.fromstring(draw_cost(replace(cost(), changes=()), say))
    assert len(list(tree.iter(f"{SVG}line"))) == 0


@pytest.mark.own
@pytest.mark.parametrize("name", ["power", "cost"])
def test_the_pictures_of_the_documentation_are_current(name: str) -> None:
    """docs/models/power.svg and cost.svg are what the code draws now."""
    drawn = draw_power(power(), say) if name == "power" else draw_cost(cost(), say)
    assert (MODELS / f"{name}.svg").read_text() == on_paper(drawn) + "\n"
