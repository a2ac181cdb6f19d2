"""The code of a link: as large as its place, black on white, with its quiet zone."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
import segno

from balewright.cards.qr import QUIET_MODULES, code_svg

LINK = "https://desk.example/s/AbCdEfGhIjKlMnOpQrStUv"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.own
def test_a_code_fits_any_place() -> None:
    """It has a view box of its modules and the quiet zone, and no size that would stand against
    that of its place; white lies under all of it.
    """
    drawn = ElementTree.fromstring(code_svg(LINK))
    assert drawn.tag == f"{SVG}svg"
    side = segno.make(LINK, error="m", micro=False).symbol_size(border=QUIET_MODULES)[0]
    assert drawn.get("viewBox") == f"0 0 {side} {side}"
    assert drawn.get("width") is None
    assert drawn.get("height") is None
    light, dark = drawn.findall(f"{SVG}path")
    assert (light.get("fill"), dark.get("stroke")) == ("#fff", "#000")
    assert light.get("d") == f"M0 0h{side}v{side}h-{side}z"


@pytest.mark.law
@pytest.mark.parametrize("link", [LINK, "http://127.0.0.1:8400/s/x", LINK + "q" * 400])
def test_nothing_black_lies_in_the_quiet_zone(link: str) -> None:
    """The first stroke starts four modules from the left and the top, whatever the length."""
    _, dark = ElementTree.fromstring(code_svg(link)).findall(f"{SVG}path")
    start = re.match(r"M(\d+) (\d+)(?:\.5)?h7", dark.get("d") or "")
    assert start is not None
    assert (int(start[1]), int(start[2])) == (QUIET_MODULES, QUIET_MODULES)


@pytest.mark.own
def test_other_links_give_other_codes_and_the_same_the_same() -> None:
    """A code is a function of its link alone."""
    assert code_svg(LINK) == code_svg(LINK)
    assert code_svg(LINK) != code_svg(LINK + "x")
