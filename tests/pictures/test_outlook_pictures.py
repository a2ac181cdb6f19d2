"""The pictures that need no price: a bale's needs, and what one layer more takes and saves."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.bale_needs import Needs, draw_needs
from balewright.pictures.layer_trade import LayerTrade, draw_layer_trade
from balewright.plan.film.strip import Bale
from balewright.plan.keeping.climate import COOL_MOIST, Stay
from balewright.plan.keeping.keep import Stored, keep
from balewright.plan.keeping.oxygen import Cover
from balewright.plan.keeping.shape import film_kg
from balewright.words.say import say

SVG = "{http://www.w3.org/2000/svg}"
BALE = Bale(1.25, 1.23)
STORED = Stored(BALE, Cover(18.5e-6), 190.0, 0.55, Stay(COOL_MOIST, 6, 9.0))


def words_of(tree: ET.Element) -> list[str]:
    """Every word drawn."""
    return [
        (node.text or "").replace("\N{NO-BREAK SPACE}", " ") for node in tree.iter(f"{SVG}text")
    ]


@pytest.mark.derived
def test_needs_are_told_a_bale_and_a_tonne() -> None:
    """70 m on a bale of 250 kg are 280 m a tonne; 90 s are 1.5 min; the reader hears the same."""
    tree = ET.fromstring(draw_needs(Needs(70.0, 10.0, 90.0, 1.3, 250.0), say))
    drawn = words_of(tree)
    for said in ("70 m", "280 m a tonne DM", "1.5 min", "6 min a tonne DM", "1.3 l"):
        assert said in drawn
    told = (tree[1].text or "").replace("\N{NO-BREAK SPACE}", " ")
    assert "Film: 70 m, 280 m a tonne DM" in told
    assert tree.get("role") == "img"


@pytest.mark.own
def test_unknown_is_no_nought_and_none_is_said() -> None:
    """What nobody knows is called unknown, what is not used is none; neither is 0."""
    drawn = words_of(ET.fromstring(draw_needs(Needs(0.0, None, 90.0, None, 250.0), say)))
    assert drawn.count("unknown") == 2
    assert drawn.count("none") == 1
    assert not any(re.match(r"0\b", word) for word in drawn)


@pytest.mark.law
def test_trade_curve_has_a_point_for_each_layer_from_four_on() -> None:
    """More film never loses more, in the picture as in the model; the set layers are bold and
    marked in both schools, and fewer than four are not drawn.
    """
    trades = [
        LayerTrade(film_kg(BALE, 18.5e-6, layers), keep(STORED, layers)) for layers in range(2, 11)
    ]
    drawn = draw_layer_trade(trades, 6, STORED.dry_matter_kg, say)
    tree = ET.fromstring(drawn)
    for line in tree.iter(f"{SVG}polyline"):
        places = [tuple(map(float, one.split(","))) for one in line.get("points", "").split()]
        assert len(places) == 7
        assert places == sorted(places)
        assert [up for _, up in places] == sorted(up for _, up in places)
    bold = [node.text for node in tree.iter(f"{SVG}text") if node.get("font-weight") == "700"]
    assert bold == ["6"]
    assert len(list(tree.iter(f"{SVG}circle"))) == 2
    told = tree[1].text or ""
    assert told.count("layers:") == 7
    for node in tree.iter():
        assert not {"style", "id", "href"} & set(node.keys())
