"""The strips of a day's bales: what is drawn is what was cut."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from balewright.pictures.cycle_strip import draw_strips
from balewright.pictures.plot import on_paper
from balewright.records.cycles.cutting import cut_cycles
from balewright.records.cycles.cycles import Cycles
from balewright.rehearsal.signals.habits import POOR, RICH, Habits
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day

SVG = "{http://www.w3.org/2000/svg}"
PAGE = Path(__file__).parents[2] / "docs" / "pictures" / "cycles.svg"


def cut(habits: Habits, trouble: Trouble, bales: int = 9) -> Cycles:
    """A rehearsed day's cycles."""
    return cut_cycles(rehearse_day(habits, bales, trouble, np.random.default_rng(52)).signals)


@pytest.mark.derived
def test_sure_boundaries_need_no_sign() -> None:
    """All seen: eight coloured parts to a bale, no bar, ring or hatching outside the legend."""
    cycles = cut(RICH, Trouble.NONE)
    tree = ET.fromstring(draw_strips(cycles, range(cycles.rows)))
    assert len([rect for rect in tree.iter(f"{SVG}rect") if len(rect)]) == 9 * 8
    assert len(list(tree.iter(f"{SVG}circle"))) == 1
    assert len(list(tree.iter(f"{SVG}path"))) == 1


@pytest.mark.derived
def test_what_is_inferred_or_unknown_is_marked() -> None:
    """With few signals every wrapping has two rings, and what lies between is hatched."""
    cycles = cut(POOR, Trouble.NONE)
    tree = ET.fromstring(draw_strips(cycles, range(cycles.rows)))
    assert len(list(tree.iter(f"{SVG}circle"))) == 1 + 2 * 9
    assert len(list(tree.iter(f"{SVG}path"))) == 1 + 9
    assert "18 told by another signal" in (tree[1].text or "")


@pytest.mark.law
@pytest.mark.parametrize("trouble", [Trouble.GAPS, Trouble.HOUR_TWICE, Trouble.REWRAPPED])
def test_nothing_leaves_the_frame_or_needs_a_style(trouble: Trouble) -> None:
    """No script, style, id or outside address, and all within the width of a phone."""
    cycles = cut(RICH, trouble)
    tree = ET.fromstring(draw_strips(cycles, range(cycles.rows)))
    for node in tree.iter():
        assert not set(node.keys()) & {"style", "id", "href"}
        for key in ("x", "x1", "x2", "cx"):
            assert 0.0 <= float(node.get(key, "0")) <= 360.0
        assert float(node.get("x", "0")) + float(node.get("width", "0").rstrip("%")) <= 360.0


@pytest.mark.own
def test_picture_in_the_documentation_is_current() -> None:
    """The picture of `docs/cycles.md` is what is drawn today."""
    cycles = cut(RICH, Trouble.GAPS, 14)
    assert PAGE.read_text(encoding="utf-8") == on_paper(draw_strips(cycles, range(10)))
