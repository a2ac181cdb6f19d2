"""The turnable bale: its data is the count, and the script draws and turns it."""

from __future__ import annotations

import json
import math
import shutil
from pathlib import Path

import pytest

from balewright.pictures.film_colours import film_colour
from balewright.pictures.turnable import turnable_bale
from balewright.plan.film.layers import Bale, Wrapping, bale_turn_from_advance, count_layers
from balewright.words.say import say

FAT = Bale(diameter_m=1.45, length_m=1.23)
PLAN = Wrapping(0.60, bale_turn_from_advance(0.491, 1.45), (12.0, 12.0), need_layers=6)
SCRIPT = Path(__file__).parents[2] / "src/balewright/desk/static/desk/turnable.js"
QUIET = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
)


@pytest.mark.derived
def test_data_is_plain_and_small() -> None:
    """The data is JSON of a few kilobytes, its arcs close round the bale, its words say both."""
    data = turnable_bale(FAT, count_layers(FAT, PLAN), 6, say)
    assert len(json.dumps(data)) < 12_000
    assert (data["arcs"][0][0], data["arcs"][-1][1]) == (0.0, 1.0)
    assert all(one[1] == two[0] for one, two in zip(data["arcs"], data["arcs"][1:], strict=False))
    assert "4 layers at the thinnest spot, 6 needed" in data["label"]


@pytest.mark.derived
def test_rays_reach_as_far_as_the_strips() -> None:
    """On every ray n layers reach to the n-th farthest strip edge, w / (D sin angle)."""
    count = count_layers(FAT, PLAN)
    levels = turnable_bale(FAT, count, 6, say)["flats"][0]
    assert levels[0] == [film_colour(4, 6).fill, []]
    for layers, (colour, reach) in enumerate(levels[1:], start=5):
        assert colour == film_colour(layers, 6).fill
        for ray, seen in enumerate(reach):
            angles = [math.pi * (ray / 60 - way) for way in count.flats[0].directions]
            edges = sorted(0.60 / 1.45 / max(abs(math.sin(a)), 1e-9) for a in angles)
            assert seen == pytest.approx(min(1.0, edges[-layers]), abs=6e-4)


@pytest.mark.derived
def test_script_is_small_and_asks_nobody() -> None:
    """The script is under 5 KB, without dependencies, outside requests or built code."""
    script = SCRIPT.read_text(encoding="utf-8")
    assert len(script.encode()) < 5 * 1024
    assert not any(word in script for word in ("import", "fetch", "http", "eval", "innerHTML"))


@pytest.mark.browser
@pytest.mark.derived
def test_bale_is_drawn_and_turned_by_keys(tmp_path: Path) -> None:
    """In a browser the bale appears, says what it is, turns by arrow keys and returns by Home."""
    chromium = shutil.which("chromium")
    if chromium is None:
        pytest.skip("no chromium for the turnable bale")
    from playwright.sync_api import sync_playwright

    data = json.dumps(turnable_bale(FAT, count_layers(FAT, PLAN), 6, say))
    page_file = tmp_path / "bale.html"
    page_file.write_text(
        "<!doctype html><meta charset=utf-8><style>canvas{width:340px;height:260px}</style>"
        "<canvas class=turnable data-source=bale></canvas>"
        f'<script type="application/json" id="bale">{data}</script>'
        f"<script>{SCRIPT.read_text(encoding='utf-8')}</script>",
        encoding="utf-8",
    )
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=QUIET)
        page = browser.new_page(reduced_motion="reduce")
        faults: list[str] = []
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(page_file.as_uri())
        canvas = page.locator("canvas")

        def seen() -> str:
            page.evaluate("() => new Promise((done) => requestAnimationFrame(() => "
                          "requestAnimationFrame(done)))")  # fmt: skip
            return str(canvas.evaluate("(node) => node.toDataURL()"))

        front = seen()
        canvas.focus()
        for _ in range(4):
            page.keyboard.press("ArrowRight")
        turned = seen()
        page.keyboard.press("Home")
        assert seen() == front != turned
        assert "4 layers at the thinnest spot" in (canvas.get_attribute("aria-label") or "")
        assert faults == []
        browser.close()


@pytest.mark.browser
@pytest.mark.derived
@pytest.mark.parametrize("ratio", [1, 1.5, 3])
def test_bale_stands_in_the_middle_of_any_screen(tmp_path: Path, ratio: float) -> None:
    """However many dots a screen has to a pixel, as much room is left as right of the bale."""
    chromium = shutil.which("chromium")
    if chromium is None:
        pytest.skip("no chromium for the turnable bale")
    from playwright.sync_api import sync_playwright

    data = json.dumps(turnable_bale(FAT, count_layers(FAT, PLAN), 6, say))
    page_file = tmp_path / "bale.html"
    page_file.write_text(
        "<!doctype html><meta charset=utf-8><style>canvas{width:340px;height:260px}</style>"
        "<canvas class=turnable data-source=bale></canvas>"
        f'<script type="application/json" id="bale">{data}</script>'
        f"<script>{SCRIPT.read_text(encoding='utf-8')}</script>",
        encoding="utf-8",
    )
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=QUIET)
        page = browser.new_page(reduced_motion="reduce", device_scale_factor=ratio)
        page.goto(page_file.as_uri())
        page.wait_for_timeout(200)
        left, right, wide = page.evaluate(
            """() => {
              const node = document.querySelector("canvas"), { width, height } = node;
              const dots = node.getContext("2d").getImageData(0, 0, width, height).data;
              let left = width, right = 0;
              for (let at = 3; at < dots.length; at += 4) {
                if (!dots[at]) continue;
                const x = ((at - 3) / 4) % width;
                left = Math.min(left, x);
                right = Math.max(right, x);
              }
              return [left, right, width];
            }"""
        )
        browser.close()
    assert wide == round(340 * ratio)
    assert 0 < left < right < wide - 1
    assert left == pytest.approx(wide - 1 - right, abs=2 * ratio)
