"""The sheet as one HTML file: complete, asking for nothing, read with the network cut."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import pytest

from balewright.cards.sheet_data import sheet_data
from balewright.cards.sheet_page import sheet_page
from balewright.readers.profile import shipped_profiles
from cards.examples import LINK, LONG, full_day, issued, sheet_for

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

QUIET = (
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync"),
    *("--disable-background-networking", "--disable-component-update"),
)
SIZES = {"phone": (390, 844), "desktop": (1280, 800)}
MAKES = sorted(shipped_profiles())


class Text(HTMLParser):
    """Collects what is shown, tags that are open, and every address."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self.addresses: list[tuple[str, str]] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name in ("href", "src", "srcset", "action", "data", "poster"):
                self.addresses.append((tag, value or ""))

    def handle_data(self, data: str) -> None:
        if data.strip():
            self.said.append(data)


def read(page: str) -> Text:
    """The page as text."""
    reader = Text()
    reader.feed(page)
    return reader


@pytest.mark.own
@pytest.mark.parametrize("make", MAKES)
def test_all_of_the_sheet_stands_on_the_page(make: str) -> None:
    """Cautions, each line's value, dial, range and reason, each section and source; cautions
    before the first setting."""
    sheet = full_day(sheet_for(make, LONG, winded=True))
    data = sheet_data(sheet, issued(sheet))
    said = " ".join(read(sheet_page(sheet, "en", issued(sheet))).said)
    for line in (line for group in data["groups"] for line in group["lines"]):
        for part in ("label", "value", "dial", "allowed", "why", "source"):
            assert line[part] in said
    for text in (text for part in data["sections"] for text in part["sentences"]):
        assert text in said
    assert all(entry["text"] in said for entry in data["sources"]["entries"])
    first = said.index(data["groups"][0]["lines"][0]["value"])
    assert max(said.index(caution) for caution in data["cautions"]) < first
    assert said.index("valid until 2026-07-07") < said.index(data["cautions"][0])


@pytest.mark.law
def test_the_file_asks_for_nothing() -> None:
    """No script, picture, font, frame or form; the one address is the link to read on; a policy
    forbids every request."""
    sheet = sheet_for("mossgrinder-m2")
    text = sheet_page(sheet, "en", issued(sheet))
    page = read(text)
    assert page.addresses == [("a", LINK)]
    assert not set(page.tags) & {"script", "img", "link", "iframe", "form", "object", "video"}
    assert "url(" not in text
    assert "@import" not in text
    assert "default-src 'none'" in text
    assert len(text.encode()) < 40_000  # sends over the poorest signal in seconds


@pytest.mark.own
def test_text_is_never_read_as_markup() -> None:
    """A serial written like a tag is shown as it is."""
    sheet = replace(sheet_for("plainrow-p0"), machine_serial='<script>"&')
    text = sheet_page(sheet)
    assert "<script" not in text
    assert '<script>"&' in " ".join(read(text).said)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A headless Chromium."""
    path = shutil.which("chromium")
    if path is None:
        pytest.skip("no chromium on this machine")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=path, args=list(QUIET))
        yield running
        running.close()


def opened(
    browser: Browser, folder: Path, size: str, scheme: Literal["light", "dark"]
) -> tuple[Page, list[str]]:
    """The longest sheet, opened from a file with the network cut, and what the page complained
    of or asked for."""
    sheet = full_day(sheet_for("mossgrinder-m2", LONG, winded=True))
    file = folder / "sheet.html"
    file.write_text(sheet_page(sheet, "en", issued(sheet)), encoding="utf-8")
    wide, high = SIZES[size]
    context = browser.new_context(
        viewport={"width": wide, "height": high}, offline=True, color_scheme=scheme
    )
    page = context.new_page()
    heard: list[str] = []
    page.on("console", lambda line: heard.append(line.text))
    page.on("request", lambda one: heard.append(one.url) if one.url != file.as_uri() else None)
    page.goto(file.as_uri())
    return page, heard


@pytest.mark.own
@pytest.mark.browser
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_opens_with_the_network_cut(
    browser: Browser, tmp_path: Path, size: str, scheme: Literal["light", "dark"]
) -> None:
    """Nothing is asked for or refused, nothing is cut off sideways, cautions show without a
    scroll, no text is under 16 px, and axe finds nothing."""
    from axe_playwright_python.sync_playwright import Axe

    page, heard = opened(browser, tmp_path, size, scheme)
    assert heard == []
    wide = SIZES[size][0]
    assert page.evaluate("document.documentElement.scrollWidth") <= wide
    assert page.locator(".first").bounding_box()["y"] < SIZES[size][1] / 2  # type: ignore[index]
    smallest = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll("main *")]
          .filter(e => e.childNodes.length && [...e.childNodes].some(n => n.nodeType == 3))
          .map(e => parseFloat(getComputedStyle(e).fontSize)))"""
    )
    assert smallest >= 16
    value = page.evaluate("parseFloat(getComputedStyle(document.querySelector('.set')).fontSize)")
    assert value >= 24
    found = Axe().run(page)
    assert found.response["violations"] == [], found.generate_report()
    page.context.close()


@pytest.mark.own
@pytest.mark.browser
def test_it_prints_black_on_white(browser: Browser, tmp_path: Path) -> None:
    """On paper a dark screen's colours are gone: every text is a grey darker than its ground."""
    page, _ = opened(browser, tmp_path, "phone", "dark")
    page.emulate_media(media="print")
    colours = page.evaluate(
        """() => [...new Set([...document.querySelectorAll("main *")].map(
          e => getComputedStyle(e).color))]"""
    )
    for colour in colours:
        red, green, blue = map(int, re.findall(r"\d+", colour)[:3])
        assert red == green == blue <= 0x44
    page.context.close()
