"""The layer map: what it shows is what was counted, and a strict page can hold it."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.pictures.film_colours import film_colour
from balewright.pictures.flat_shapes import outline, short_rim
from balewright.pictures.layer_map import draw_layer_map
from balewright.plan.film.flats import count_flat
from balewright.plan.film.layers import Bale, Wrapping, bale_turn_from_advance, count_layers
from balewright.words.say import say

FAT = Bale(diameter_m=1.45, length_m=1.23)
PLAN = Wrapping(0.60, bale_turn_from_advance(0.491, 1.45), (12.0, 12.0), need_layers=6)
SVG = "{http://www.w3.org/2000/svg}"


def drawn(wrapping: Wrapping = PLAN, bale: Bale = FAT) -> ET.Element:
    """The map as a tree; not well-formed is an error here."""
    count = count_layers(bale, wrapping)
    return ET.fromstring(draw_layer_map(bale, count, wrapping.need_layers, say))


@pytest.mark.derived
def test_screen_reader_hears_every_number() -> None:
    """Title and description name the thinnest spot, the need, the share short and both sides."""
    tree = drawn()
    assert tree.get("role") == "img"
    assert tree[0].tag == f"{SVG}title"
    assert "4 layers at the thinnest spot, 6 needed" in (tree[0].text or "")
    told = (tree[1].text or "").replace("\N{NO-BREAK SPACE}", " ")
    assert "26 % short of 6 layers" in told
    assert "Flat sides: 4 layers at the thinnest spot" in told


@pytest.mark.law
def test_strict_content_policy_can_hold_it() -> None:
    """No script, no style attribute or element, no event, no outside address, no id to clash."""
    for node in drawn().iter():
        assert node.tag.removeprefix(SVG) in {
            *("svg", "title", "desc", "rect", "text", "line", "polygon", "circle", "path")
        }
        names = set(node.keys())
        assert not names & {"style", "id", "href"}
        assert not any(name.startswith("on") for name in names)


@pytest.mark.derived
def test_cells_are_the_arcs_to_scale() -> None:
    """Cells of short colours are as wide together as the share of the round side that is short."""
    cells = [node for node in drawn().iter(f"{SVG}rect") if node.find(f"{SVG}title") is not None]
    wide = math.fsum(float(cell.get("width", "")) for cell in cells)
    short = [cell for cell in cells if "short" in cell.get("class", "")]
    assert wide == pytest.approx(448.0, abs=0.5)
    share = math.fsum(float(cell.get("width", "")) for cell in short) / wide
    assert share == pytest.approx(0.2637, abs=2e-3)  # 26 %: computed twice, independently


@pytest.mark.derived
def test_thin_spots_are_marked_without_colour() -> None:
    """Every stretch short of the need has a bar, however narrow; a bale with enough has none."""
    held = replace(PLAN, strip_m=0.55, bale_turn=0.125)
    bars = [n for n in drawn(held).iter(f"{SVG}rect") if n.get("class") == "layer-map-short"]
    assert len(bars) == 16 + 1 + 1  # 16 gaps by hand, one cut by place 0, and the key
    assert all(float(bar.get("width", "")) >= 2.5 for bar in bars)
    enough = drawn(replace(PLAN, turns=(14.0, 14.0)))
    bars = [n for n in enough.iter(f"{SVG}rect") if n.get("class") == "layer-map-short"]
    assert len(bars) == 1


@pytest.mark.derived
def test_numbers_stand_in_the_cells() -> None:
    """Where a cell is wide enough its layers are written in it: sixteen sixes at k = 1/8."""
    plan = replace(PLAN, bale_turn=0.125)
    texts = [node.text for node in drawn(plan, Bale(1.25, 1.23)).iter(f"{SVG}text")]
    assert texts.count("6") >= 16


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(0.0, 1.0, exclude_max=True), min_size=1, max_size=16),
    st.floats(0.2, 1.1),
    st.data(),
)
def test_outline_encloses_the_counted_area(
    directions: list[float], strip_m: float, data: st.DataObject
) -> None:
    """The drawn shape of n layers has the area that the closed form gives."""
    layers = data.draw(st.integers(1, len(directions)))
    flat = count_flat(directions, 1.25, strip_m, layers)
    area = 0.0  # of the shape, rim 1: triangles to straight edges, sectors along the rim
    corners = outline(flat, 1.25, layers)
    for here, to in zip(corners, [*corners[1:], corners[0]], strict=True):
        angle = (to.angle_rad - here.angle_rad) % (2 * math.pi)
        if here.along_rim:
            area += angle / 2
        else:
            area += here.reach * to.reach * math.sin(angle) / 2
    assert area / math.pi == pytest.approx(1.0 - flat.short_frac, abs=1e-6)


@pytest.mark.law
@given(
    st.lists(st.floats(0.0, 1.0, exclude_max=True), min_size=1, max_size=16),
    st.floats(0.2, 1.1),
    st.integers(1, 8),
)
def test_bars_round_the_rim_are_the_short_stretches(
    directions: list[float], strip_m: float, need: int
) -> None:
    """The widest bar is the sliver that the count reports."""
    flat = count_flat(directions, 1.25, strip_m, need)
    widest = max((end - start for start, end in short_rim(flat, 1.25, need)), default=0.0)
    if flat.short_frac > 0.0 and flat.sliver_m < math.pi * 1.25:
        assert widest * 1.25 / 2 == pytest.approx(flat.sliver_m, abs=1e-9)


@pytest.mark.published
@pytest.mark.parametrize("layers", range(13))
def test_number_reads_on_its_colour(layers: int) -> None:
    """Ink on every colour has a contrast of 4.5 at least.

    Source: W3C, Web Content Accessibility Guidelines 2.1, success criterion 1.4.3 and its
    definition of relative luminance.
    """

    def luminance(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    colour = film_colour(layers, 6)
    dark, light = sorted((luminance(colour.fill), luminance(colour.ink)))
    assert (light + 0.05) / (dark + 0.05) >= 4.5


@pytest.mark.derived
def test_thousands_of_turns_stay_a_small_picture() -> None:
    """A bale with more arcs than can be seen is drawn in steps, thinnest first."""
    many = replace(PLAN, turns=(3000.0, 3000.0), bale_turn=0.1234567)
    count = count_layers(FAT, many)
    assert len(draw_layer_map(FAT, count, 6, say)) < 300_000


@pytest.mark.own
def test_picture_in_the_documentation_is_current() -> None:
    """The picture of the model page is what is drawn today."""
    page = Path(__file__).parents[2] / "docs" / "models" / "film-map.svg"
    bale = Bale(1.35, 1.23)
    turn = bale_turn_from_advance(0.491, 1.35)
    count = count_layers(bale, replace(PLAN, bale_turn=turn))
    assert page.read_text(encoding="utf-8") == draw_layer_map(bale, count, 6, say)
    assert re.match(r"<svg [^>]*viewBox=", page.read_text(encoding="utf-8"))
