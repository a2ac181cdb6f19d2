"""The picture of the pace: what it shows is what was reckoned, and a strict page can hold it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.pace_chart import draw_pace
from balewright.pictures.plot import on_paper
from balewright.plan.pace.answer import Job, PaceAnswer, answer_pace
from balewright.plan.pace.work import Phases, Work
from plan.pace.examples import SILAGE

SVG = "{http://www.w3.org/2000/svg}"
SLOW = replace(SILAGE, wrap=replace(SILAGE.wrap, rpm=16.0, turns=20.0))
"""A wrapper so slow that the driver waits for it."""


@pytest.fixture(scope="module")
def answer() -> PaceAnswer:
    """The answer that the documentation shows."""
    return answer_pace(SLOW, Job(runs=200))


@pytest.mark.own
def test_documentation_shows_the_current_picture(answer: PaceAnswer) -> None:
    """docs/models/pace.svg is what the code draws today."""
    page = Path(__file__).parents[2] / "docs" / "models" / "pace.svg"
    assert page.read_text(encoding="utf-8") == on_paper(draw_pace(answer))


@pytest.mark.law
def test_a_strict_page_can_hold_it(answer: PaceAnswer) -> None:
    """No script, no style, no event, no outside address, no id to clash; as wide as a phone."""
    tree = ET.fromstring(draw_pace(answer))
    assert tree.get("viewBox", "").split()[2] == "360"
    for node in tree.iter():
        assert node.tag.removeprefix(SVG) in {
            *("svg", "title", "desc", "rect", "text", "line", "circle", "path", "polyline", "g"),
        }
        for name, value in node.attrib.items():
            assert name not in {"style", "id", "href"}
            assert not name.startswith("on")
            assert "url(" not in value


@pytest.mark.law
def test_a_screen_reader_hears_the_pace(answer: PaceAnswer) -> None:
    """Title and description name the pace, what holds it back, the waits and the kink."""
    tree = ET.fromstring(draw_pace(answer))
    told = tree.findtext(f"{SVG}desc") or ""
    assert f"{answer.steady.pace_bales_h:.1f} bales an hour" in (tree.findtext(f"{SVG}title") or "")
    assert "The wrapper holds it back" in told
    assert f"waits {answer.steady.driver_waits_s:.0f} s a bale" in told
    assert f"Above {answer.turning_speed_m_s * 3.6:.1f} km/h" in told


@pytest.mark.law
def test_lanes_are_as_long_as_their_times(answer: PaceAnswer) -> None:
    """Every span of the answer is drawn, to scale, and says what it is."""
    tree = ET.fromstring(draw_pace(answer))
    bars = [node for node in tree.iter(f"{SVG}rect") if node.find(f"{SVG}title") is not None]
    assert len(bars) == len(answer.spans)
    end_s = max(span.end_s for span in answer.spans)
    for bar, span in zip(bars, answer.spans, strict=True):
        wide = (span.end_s - span.start_s) / end_s * 352.0
        assert float(bar.get("width", "")) == pytest.approx(max(wide, 0.4), abs=0.006)
        assert (bar.findtext(f"{SVG}title") or "").startswith(f"bale {span.bale}: ")


@pytest.mark.law
def test_nothing_is_drawn_that_is_not_known() -> None:
    """Bare times have no speed to draw over; without a wrapper there is one lane."""
    drawn = draw_pace(answer_pace(Work(Phases(40.0, 20.0, 10.0), 500.0), Job(bales=10, runs=5)))
    assert "Pace over speed" not in drawn
    assert ">wrapper<" not in drawn
    assert ">chamber<" in drawn
