"""The stretch as it was found: points, intervals and limits to scale."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.stretch_chart import Found, draw_stretch
from balewright.plan.film.settle import Limits
from balewright.plan.film.stretch import Drawn, stretch_from_metres
from balewright.plan.film.strip import Bale
from balewright.plan.film.two_marks import Marks, label_limits, read_marks
from balewright.quantities.reason import because
from balewright.words.say import say

SVG = "{http://www.w3.org/2000/svg}"


def drawn(limits: Limits | None = None) -> str:
    """Five readings of two marks, and the metres of two dispensers."""
    marks = read_marks(Marks(0.100, (0.168, 0.171, 0.166, 0.172, 0.169)))
    rows = [
        Found(because("stretch.marks"), marks.readings.mean, marks.stretch_frac, marks.values_frac)
    ]
    metres = stretch_from_metres(Drawn(Bale(1.25, 1.23), (12.0, 12.0), (34.1, 35.0)))
    for place, one in enumerate(metres.each_frac):
        rows.append(Found(because("stretch.dispenser", roll=place + 1), one.best, one))
    return draw_stretch(tuple(rows), limits, say)


@pytest.mark.derived
def test_points_and_band_are_to_scale() -> None:
    """Readings 66 and 72 % lie either side of the band from 67 to 73 %, six parts wide."""
    tree = ET.fromstring(drawn(label_limits(0.70, 0.03)))
    band = next(
        node for node in tree.iter(f"{SVG}rect") if node.get("class") == "stretch-chart-limits"
    )
    left, wide = float(band.get("x", "0")), float(band.get("width", "0"))
    spots = sorted(float(node.get("cx", "0")) for node in tree.iter(f"{SVG}circle"))
    assert len(spots) == 5
    assert spots[0] == pytest.approx(left - wide / 6.0, abs=0.1)
    assert spots[-1] == pytest.approx(left + wide * 5.0 / 6.0, abs=0.1)


@pytest.mark.derived
def test_screen_reader_hears_every_number() -> None:
    """Every row with its interval, and the limits."""
    said = (ET.fromstring(drawn(label_limits(0.70, 0.03)))[1].text or "").replace("\xa0", " ")
    assert "two marks: 69 % (66 % to 72 %)" in said
    assert "metres of dispenser 2: 65 %" in said
    assert "Limits: 67 % to 73 %." in said
    single = draw_stretch((Found(because("stretch.marks"), 0.7, None, (0.7,)),), None, say)
    assert "one reading" in single


@pytest.mark.law
@pytest.mark.parametrize("limits", [None, Limits(0.6, 0.7), Limits(0.0, 2.0)])
def test_strict_content_policy_can_hold_it(limits: Limits | None) -> None:
    """No script, style, id or outside address; nothing outside the frame."""
    tree = ET.fromstring(drawn(limits))
    for node in tree.iter():
        assert not set(node.keys()) & {"style", "id", "href"}
        assert node.tag != f"{SVG}script"
        for name in ("x", "x1", "x2", "cx"):
            assert 0.0 <= float(node.get(name, "0")) <= 480.0


@pytest.mark.own
def test_picture_in_the_documentation_is_current() -> None:
    """The picture of the model page is what is drawn today."""
    page = Path(__file__).parents[2] / "docs" / "models" / "stretch.svg"
    assert page.read_text(encoding="utf-8") == drawn(label_limits(0.70, 0.03))
