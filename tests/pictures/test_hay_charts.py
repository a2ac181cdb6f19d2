"""The pictures of hot hay, of acid by moisture and of a sample in the microwave."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.dose_chart import draw_dose_chart
from balewright.pictures.drying_chart import draw_drying_chart
from balewright.pictures.heat_chart import draw_heat_chart
from balewright.pictures.plot import on_paper
from balewright.plan.keeping.heating import alarms_c
from balewright.plan.keeping.heating_sources import HEAT_TABLES, HeatAction
from balewright.plan.keeping.heating_trend import HeatReading, follow_heat
from balewright.plan.keeping.microwave import Weighing, follow_drying
from balewright.words.say import say

DOCS = Path(__file__).parents[2] / "docs" / "models"
SVG = "{http://www.w3.org/2000/svg}"
READINGS = tuple(
    HeatReading(at_h, hot_c)
    for at_h, hot_c in ((0, 38.0), (24, 44.0), (36, 48.0), (48, 53.0), (60, 57.5), (72, 61.5))
)
WEIGHINGS = tuple(
    Weighing(minutes, mass_g)
    for minutes, mass_g in ((0, 100), (3, 62), (4, 49), (5, 41), (6, 37), (7, 35.6), (8, 35.0))
)


def heat() -> str:
    """The rising hay of the documentation."""
    return draw_heat_chart(READINGS, follow_heat(READINGS), say)


def drying() -> str:
    """The sample of the documentation."""
    return draw_drying_chart(WEIGHINGS, follow_drying(WEIGHINGS, scale_g=0.1), say)


DRAWN = {
    "heating.svg": on_paper(heat()),
    "additive.svg": on_paper(draw_dose_chart(0.32, say)),
    "drying.svg": on_paper(drying()),
}


@pytest.mark.own
@pytest.mark.parametrize("name", sorted(DRAWN))
def test_the_picture_of_the_documentation_is_current(name: str) -> None:
    """What docs/models shows is what the code draws today."""
    assert (DOCS / name).read_text(encoding="utf-8") == DRAWN[name]


@pytest.mark.law
@pytest.mark.parametrize("name", sorted(DRAWN))
def test_a_strict_page_can_hold_it(name: str) -> None:
    """No script, style, event, identity or outside address; title and description come first."""
    tree = ET.fromstring(DRAWN[name])
    assert tree.get("role") == "img"
    assert [node.tag for node in tree[:2]] == [f"{SVG}title", f"{SVG}desc"]
    assert all((node.text or "").strip() for node in tree[:2])
    for node in tree.iter():
        assert node.tag.removeprefix(SVG) in {
            *("svg", "title", "desc", "g", "rect", "text", "line", "polyline", "polygon", "circle")
        }
        assert not set(node.keys()) & {"style", "id", "href"}
        assert not any(name.startswith("on") for name in set(node.keys()))
    assert re.findall(r"https?://[^\"]+", DRAWN[name]) == ["http://www.w3.org/2000/svg"]


@pytest.mark.derived
def test_bands_stand_at_the_lowest_alarms() -> None:
    """Each action's band begins at its lowest alarm, to scale, and is named in words too."""
    tree = ET.fromstring(heat())
    bands = {node.get("class"): node for node in reversed(list(tree.iter(f"{SVG}rect")))}
    call, fire = bands["heat-4"], bands["heat-5"]
    bottom = float(fire.get("y", "")) + float(fire.get("height", ""))
    assert float(call.get("y", "")) == pytest.approx(bottom, abs=0.02)
    call_c, fire_c = alarms_c(HeatAction.CALL).low, alarms_c(HeatAction.BURNING).low
    ratio = float(call.get("height", "")) / float(fire.get("height", ""))
    assert ratio == pytest.approx((fire_c - call_c) / (104.0 - fire_c), rel=0.002)  # two decimals
    words = " ".join(node.text or "" for node in tree.iter(f"{SVG}text"))
    assert "call the fire service, 71" in words


@pytest.mark.derived
def test_every_source_has_its_own_bar() -> None:
    """Seven names, and Cornell's call stands left of Kentucky's."""
    tree = ET.fromstring(heat())
    words = [node.text for node in tree.iter(f"{SVG}text")]
    for name in ("Purdue", "Penn State", "Kentucky", "Mississippi", "Cornell", "California"):
        assert name in words
    calls = [node for node in tree.iter(f"{SVG}rect") if node.get("class") == "heat-4"][1:]
    assert len(calls) == len(HEAT_TABLES)
    kentucky, cornell = calls[2], calls[4]
    assert float(cornell.get("x", "")) < float(kentucky.get("x", ""))


@pytest.mark.derived
def test_screen_readers_hear_the_numbers() -> None:
    """Descriptions name temperature, alarms, weights and the answer."""
    told = (ET.fromstring(heat())[1].text or "").replace("\N{NO-BREAK SPACE}", " ")
    assert "now 61.5 °C" in told
    assert "fire service from 71.1 °C" in told
    told = (ET.fromstring(drying())[1].text or "").replace("\N{NO-BREAK SPACE}", " ")
    assert "100, 62, 49, 41, 37, 35.6, 35" in told
    assert "35.0 % (34.2 to 35.1)" in told
    told = ET.fromstring(draw_dose_chart(0.32, say))[1].text or ""
    assert "10 kg/t is the least" in told


@pytest.mark.own
def test_other_cases_draw_too() -> None:
    """One reading, a burning stack, a wet sample, a charred one, hay outside every rate."""
    for readings in (READINGS[:1], (HeatReading(0.0, 120.0),), (HeatReading(0.0, -5.0),)):
        ET.fromstring(draw_heat_chart(readings, follow_heat(readings), say))
    charred = (*WEIGHINGS[:6], Weighing(8, 33.0, charred=True))
    for weighings in (WEIGHINGS[:1], WEIGHINGS[:3], charred):
        ET.fromstring(draw_drying_chart(weighings, follow_drying(weighings, scale_g=0.1), say))
    for moisture_frac in (0.0, 0.15, 0.24, 0.60, 1.0):
        ET.fromstring(draw_dose_chart(moisture_frac, say))
