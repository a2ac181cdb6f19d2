"""The map of a real bale: what it shows is what was counted, and a strict page can hold it."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.film_colours import film_colour
from balewright.pictures.real_map import RealBale, draw_real_map
from balewright.pictures.real_shapes import pieces
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.laying import Laying
from balewright.plan.film.real_bale import Side, count_real_bale
from balewright.plan.film.real_rows import layer_rows
from balewright.plan.film.shape import Shape
from balewright.words.say import say

SVG = "{http://www.w3.org/2000/svg}"
SHAPE = Shape(1.36, 1.45, 1.40, 1.23, 0.08)
LAYING = Laying(0.55, off_height_m=0.08, tilt_rad=math.radians(3), skew_share=1.0)
COURSE = Course((Leg(12.0, (True, True), 0.491 / (math.pi * 1.45)),))
COUNT = count_real_bale(SHAPE, LAYING, COURSE, 6)


def drawing() -> str:
    """The map of the bale above."""
    return draw_real_map(RealBale(SHAPE, LAYING, COURSE, COUNT), say)


@pytest.mark.derived
def test_screen_reader_hears_where_it_is_thin() -> None:
    """Title and description name the thinnest spot, its place, the need and each side's share."""
    tree = ET.fromstring(drawing())
    assert tree.get("role") == "img"
    assert (tree[0].tag, tree[1].tag) == (f"{SVG}title", f"{SVG}desc")
    assert f"{COUNT.wrap.thinnest} layers at the thinnest spot, 6 needed" in (tree[0].text or "")
    told = (tree[1].text or "").replace("\N{NO-BREAK SPACE}", " ")
    assert "on the round side, " in told
    assert f"{100 * COUNT.wrap.short_frac:.0f} % of the whole surface is short of 6 layers" in told


@pytest.mark.law
def test_strict_content_policy_can_hold_it() -> None:
    """No script, no style attribute or element, no event, no outside address, no id to clash."""
    for node in ET.fromstring(drawing()).iter():
        assert node.tag.removeprefix(SVG) in {
            *("svg", "title", "desc", "rect", "text", "line", "polygon", "circle", "path", "g")
        }
        names = set(node.keys())
        assert not names & {"style", "id", "href"}
        assert not any(name.startswith("on") for name in names)


@pytest.mark.derived
def test_it_fits_a_phone_and_a_letter() -> None:
    """480 units wide with words of 14 and more, so 11 pixels on a phone; under 250 kB."""
    drawn = drawing()
    assert drawn.startswith(
        '<svg xmlns="http://www.w3.org/2000/svg" class="layer-map" viewBox="0 0 480 '
    )
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', drawn)]
    assert min(sizes) >= 14
    assert len(drawn) < 250_000


@pytest.mark.derived
def test_short_colours_cover_the_share_that_is_short() -> None:
    """Rows in colours of too few layers add up to the share short that was counted.

    Rows stand for their middles: within two points of a hundred on the round side.
    """
    rows = layer_rows(SHAPE, LAYING, COURSE, 48, 20)
    short = {film_colour(layers, 6) for layers in range(6)}
    area = whole = 0.0
    for row in rows.round_side:
        for low, high, colour in pieces(row, 6):
            here = (high - low) * row.radius_m * (row.high_m - row.low_m)
            whole += here
            area += here if colour in short else 0.0
    names = (Side.ROUND, Side.LEFT_SHOULDER, Side.RIGHT_SHOULDER)
    sides = [one for one in COUNT.wrap.sides if one.side in names]
    counted = sum(one.short_m2 for one in sides) / sum(one.area_m2 for one in sides)
    assert area / whole == pytest.approx(counted, abs=0.02)
    assert 2 * math.pi * whole == pytest.approx(sum(one.area_m2 for one in sides), rel=1e-3)


@pytest.mark.law
def test_rows_go_round_once_and_along_without_a_gap() -> None:
    """Every row's pieces join from 0 to 1, and rows join from flat side to flat side."""
    rows = layer_rows(SHAPE, LAYING, COURSE, 12, 6)
    for row in (*rows.round_side, *rows.flats[0], *rows.flats[1]):
        found = list(pieces(row, 6))
        assert (found[0][0], found[-1][1]) == (0.0, 1.0)
        assert all(one[1] == other[0] for one, other in pairwise(found))
    ends = [(row.low_m, row.high_m) for row in rows.round_side]
    assert [high for _, high in ends[:-1]] == pytest.approx([low for low, _ in ends[1:]])
    assert rows.flats[1][-1].high_m == pytest.approx(SHAPE.flat_radius_m(1))


@pytest.mark.own
def test_the_documentation_shows_this_picture() -> None:
    """The picture on the page is the one that the code draws."""
    page = Path(__file__).parents[2] / "docs" / "models" / "real-bale.svg"
    assert page.read_text(encoding="utf-8").strip() == drawing().strip()
