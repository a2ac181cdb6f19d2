"""A shared sheet on a phone: read and answered with the network cut, and everything open to all."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from tests.desk.cut_line import Line
from tests.desk.test_browser import DESKTOP, PHONE, TOO_SMALL

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

pytestmark = [pytest.mark.own, pytest.mark.browser]

SHEET_KEPT = '[data-part="is-kept"]:visible'


@pytest.fixture(scope="module")
def manager(browser: Browser, address: str) -> Iterator[Page]:
    """The manager's browser; the demo signs its visitor in."""
    page = browser.new_page()
    page.goto(address + "/machines/TT-2002")
    yield page
    page.close()


@pytest.fixture(scope="module")
def sheet(manager: Page) -> str:
    """Path of a kept sheet of the demo."""
    found = manager.locator('a[href^="/sheet/S-"]').first.get_attribute("href")
    assert found is not None
    return found


def make_link(manager: Page, address: str, sheet: str) -> str:
    """The whole address of a new link."""
    manager.goto(f"{address}{sheet}/links")
    manager.click("form.card button.button")
    return manager.inner_text("#made-link")


def keep_settings(manager: Page, address: str) -> str:
    """Keep two lists; the address of what moved between them."""
    for listed in ("Wrap turns;16\nPulses;480", "Wrap turns;12\nLanguage;en"):
        manager.goto(f"{address}/machines/TT-2002/settings")
        manager.fill("#id_listed", listed)
        manager.fill("#id_note", str(time.time()))
        manager.click("main form.card[method=post] button.button")
        manager.wait_for_selector("text=settings are kept")
    assert "Enter again" in manager.inner_text("#compared")
    return manager.url


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    """An operator's phone, signed in nowhere."""
    context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]})
    yield context
    context.close()


@pytest.fixture
def line(address: str) -> Iterator[Line]:
    """The phone's line to the desk."""
    line = Line(address)
    yield line
    line.cut()


def answers(manager: Page, address: str, sheet: str) -> list[str]:
    """How many worked, did not, changed, as the manager sees it."""
    manager.goto(address + sheet)
    return manager.locator("#answer dl.facts dd").all_inner_texts()[:3]


def kept_in(page: Page) -> list[str]:
    """What the phone keeps: paths, without what the desk hashed into a file's name."""
    return page.evaluate(
        """async () => {
          const found = [];
          for (const name of await caches.keys())
            for (const request of await (await caches.open(name)).keys())
              found.push(new URL(request.url).pathname.replace(/\\.[0-9a-f]{12}\\./, "."));
          return found.sort();
        }"""
    )


def test_opened_once_it_is_read_and_answered_without_signal(
    phone: BrowserContext, line: Line, manager: Page, address: str, sheet: str
) -> None:
    """The phone keeps this sheet with what it is drawn with and nothing else. With the network cut
    it opens, says so, and an answer waits in sight; with the network back it is sent, once.
    """
    link = line.address + make_link(manager, address, sheet).removeprefix(address)
    page = phone.new_page()
    page.goto(link)
    page.wait_for_selector(SHEET_KEPT)
    assert kept_in(page) == sorted(
        [
            link.removeprefix(line.address),
            "/s/over",
            *(f"/static/desk/{name}" for name in
              ("bale.svg", "desk.css", "desk.js", "shared.js", "turnable.js")),
        ]
    )  # fmt: skip
    before = answers(manager, address, sheet)
    line.cut()
    page.reload()
    page.wait_for_selector('[data-part="from-kept"]:visible')
    assert "It may have been withdrawn since" in page.inner_text("main")
    assert "Valid until" in page.inner_text("main")
    assert "Wrap turns" in page.inner_text("main")
    font = "getComputedStyle(document.querySelector('.card')).borderRadius"
    assert page.evaluate(font) != "0px", "the styles are not there"
    page.dblclick('#answer button[value="did not"]')
    page.wait_for_selector("text=1 answer waits for signal")
    page.reload()
    page.wait_for_selector("text=1 answer waits for signal")
    assert answers(manager, address, sheet) == before
    line.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_selector("#answer >> text=It has arrived")
    assert page.is_hidden("text=1 answer waits for signal")
    page.reload()
    page.wait_for_timeout(300)
    worked, did_not, changed = map(int, before)
    assert answers(manager, address, sheet) == [str(worked), str(did_not + 1), str(changed)]
    page.close()


def test_a_withdrawn_link_goes_off_the_phone_at_the_next_contact(
    phone: BrowserContext, line: Line, manager: Page, address: str, sheet: str
) -> None:
    """The kept copy is deleted, without signal nothing opens any more, and an answer that still
    waited is told to be too late.
    """
    link = line.address + make_link(manager, address, sheet).removeprefix(address)
    page = phone.new_page()
    page.goto(link)
    page.wait_for_selector(SHEET_KEPT)
    line.cut()
    page.click('#answer button[value="worked"]')
    page.wait_for_selector("text=1 answer waits for signal")
    before = answers(manager, address, sheet)
    manager.goto(f"{address}{sheet}/links")
    manager.locator("text=Withdraw").first.click()
    manager.wait_for_selector("text=It opens nothing from now on")
    line.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_selector("text=could not be sent")
    page.reload()
    page.wait_for_selector("text=This link opens nothing")
    assert kept_in(page) == []
    line.cut()
    with pytest.raises(Exception, match="ERR_"):
        page.reload()
    assert answers(manager, address, sheet) == before
    page.close()


def test_a_kept_sheet_does_not_outlive_its_last_day(
    phone: BrowserContext, line: Line, manager: Page, address: str, sheet: str
) -> None:
    """Past `valid until` the kept copy is not shown though there is no signal to ask the desk."""
    link = line.address + make_link(manager, address, sheet).removeprefix(address)
    page = phone.new_page()
    page.goto(link)
    page.wait_for_selector(SHEET_KEPT)
    line.cut()
    page.evaluate(
        """async () => {
          const [name] = await caches.keys();
          const store = await caches.open(name);
          const kept = await store.match(location.pathname);
          const headers = new Headers(kept.headers);
          headers.set("X-Valid-Until", new Date(Date.now() - 1000).toISOString());
          await store.put(location.pathname, new Response(await kept.text(), { headers }));
        }"""
    )
    page.reload()
    page.wait_for_selector("text=This link opens nothing")
    assert kept_in(page) == []
    page.close()


def test_a_sheet_is_kept_as_it_was_read(
    phone: BrowserContext, line: Line, manager: Page, address: str, sheet: str
) -> None:
    """The copy is in the language and units that the address asked for, also where the browser
    would take others, and opens without signal whether the address asks again or not.
    """
    link = line.address + make_link(manager, address, sheet).removeprefix(address)
    page = phone.new_page()
    page.goto(f"{link}?language=de&units=us&sent")
    page.wait_for_selector(SHEET_KEPT)
    language = page.evaluate("document.documentElement.lang")
    read = page.inner_text("h1")
    line.cut()
    for asked in ("?language=de&units=us", ""):
        page.goto(link + asked)
        page.wait_for_selector('[data-part="from-kept"]:visible')
        assert page.evaluate("document.documentElement.lang") == language
        assert page.inner_text("h1") == read
        assert page.is_hidden('[data-tells="sent"]')
    page.close()


def test_what_was_changed_is_sent_with_its_values(
    phone: BrowserContext, manager: Page, address: str, sheet: str
) -> None:
    """A setting is picked, its value written, and the manager reads both beside the sheet's."""
    page = phone.new_page()
    page.goto(make_link(manager, address, sheet))
    page.click("text=Say what you changed, or more")
    page.select_option("#id_line1", "wrap_turns")
    page.fill("#id_value1", "19")
    page.fill("#id_text", "Thistles.")
    page.click("#answer >> text=Send")
    page.wait_for_selector("#answer >> text=It has arrived")
    assert page.input_value("#id_value1") == ""
    page.fill("#id_value2", "7")
    page.click("#answer >> text=Send")
    page.wait_for_selector("#answer >> text=Needs a setting of this sheet")
    assert page.input_value("#id_value2") == "7"
    manager.goto(address + sheet)
    said = manager.inner_text("#answer")
    assert "Wrap turns: 19 instead of" in said
    assert "Thistles." in said
    page.close()


@pytest.mark.parametrize("view", [(PHONE, "light"), (PHONE, "dark"), (DESKTOP, "dark")], ids=str)
def test_shared_pages_are_whole_quiet_and_open_to_all(
    browser: Browser, manager: Page, address: str, sheet: str, view: Any
) -> None:
    """The sheet behind its link, the page of a link that opens nothing, the links at the desk, what
    was really set, what moved between two lists of settings: no sideways scroll, targets of 44 px,
    the accessibility checker content, nothing in the console.
    """
    from axe_playwright_python.sync_playwright import Axe

    link, (size, scheme) = make_link(manager, address, sheet), view
    moved = keep_settings(manager, address)
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        color_scheme=scheme,
        storage_state=manager.context.storage_state(),
    )
    page = context.new_page()
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text))
    machine = f"{address}/machines/TT-2002"
    ways = (f"{address}{sheet}/links", f"{address}{sheet}", f"{machine}/record", moved)
    for way in (link, f"{address}/s/nothing", *ways):
        page.goto(way, wait_until="networkidle")
        for folded in page.locator("#answer summary, .whole-item summary").all():
            folded.click()
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, way
        assert page.evaluate(TOO_SMALL) == [], way
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    assert [text for text in said if "404" not in text] == []
    context.close()
