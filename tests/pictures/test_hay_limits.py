"""The picture of moisture limits: every source, to scale, and what the hay is above."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.hay_limits import draw_hay_limits
from balewright.pictures.plot import BLUE, ORANGE
from balewright.plan.keeping.heating_storage import MOISTURE_LIMITS, HayBale
from balewright.words.say import say

SVG = "{http://www.w3.org/2000/svg}"
ROUND = [limit for limit in MOISTURE_LIMITS if limit.bale is HayBale.LARGE_ROUND]


def drawn(moisture_frac: float) -> ET.Element:
    """The picture as a tree; not well-formed is an error here."""
    return ET.fromstring(draw_hay_limits(ROUND, moisture_frac, say))


@pytest.mark.derived
def test_screen_reader_hears_every_source_and_the_hay() -> None:
    """Title, the hay's own moisture, and each source with its limit."""
    tree = drawn(0.17)
    assert tree.get("role") == "img"
    told = (tree[1].text or "").replace("\N{NO-BREAK SPACE}", " ")
    assert told.startswith("this hay: 17 %.")
    assert "Government of Alberta: 15–18 %" in told
    assert "California Dairy Quality Assurance Program: to 14 %" in told
    assert told.count(":") == 1 + len(ROUND)


@pytest.mark.derived
def test_bars_are_to_scale_and_those_the_hay_is_above_are_orange() -> None:
    """A point of moisture is as wide in every bar; at 17 % it is above the 14 %, 16 % limits and
    the range that ends at 17 % is not passed.
    """
    bars = [bar for bar in drawn(0.17).iter(f"{SVG}rect") if bar.get("fill-opacity") == "1"]
    wide = {limit.low_frac: 0.0 for limit in ROUND}
    for bar, limit in zip(
        bars, sorted(ROUND, key=lambda limit: (limit.low_frac, limit.high_frac)), strict=True
    ):
        wide[limit.low_frac] = float(bar.get("width", ""))
        above = limit.high_frac < 0.17
        assert bar.get("fill") == (ORANGE if above else BLUE)
    point = (wide[0.18] - wide[0.14]) / 4.0
    assert wide[0.16] - wide[0.14] == pytest.approx(2.0 * point, abs=0.02)


@pytest.mark.law
@pytest.mark.parametrize("moisture_frac", [0.0, 0.03, 0.14, 0.18, 0.30, 0.40, 1.0])
def test_line_of_the_hay_stays_in_the_picture(moisture_frac: float) -> None:
    """However dry or damp, the line and its words are inside, and nothing a strict page refuses."""
    tree = drawn(moisture_frac)
    lines = [line for line in tree.iter(f"{SVG}line") if line.get("stroke-width") == "2"]
    assert len(lines) == len(ROUND) + 1
    assert all(8.0 <= float(line.get("x1", "")) <= 308.0 for line in lines)
    for node in tree.iter():
        assert not {"style", "id", "href"} & set(node.keys())
