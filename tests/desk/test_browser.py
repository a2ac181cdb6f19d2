"""Every page in a real browser: nothing from outside, nothing refused, nothing cut off."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from string import Formatter
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = [pytest.mark.own, pytest.mark.browser]

PHONE, DESKTOP = (390, 844), (1280, 800)
PRICED = (
    "{machine}/outlook?film_price=90&net_price=200&fuel_price=1.2&wage=20&gathered=7&season=4000"
    "&machine_price=90000&tractor_price=120000&tractor_power=110&years=8&tractor_hours=700"
    "&interest=4&shelter=1&feed_price=180"
)
PAGES = ("/", "{finding}", "/fleet", "/fleet/people", "/machines", "{machine}",
         "{machine}/bales", "{machine}/counts", "{bale}",
         "{machine}/outlook", PRICED, "/misplaced", "/fields", "/rolls?batch=K7",
         "/machines/add", "/sheet", "/sheet/{sheet}/files", "/intake", "/book", "/people",
         "/health", "/prices", "/personal", "/help", "/no-such-page")  # fmt: skip
TOO_SMALL = """() => {
  const found = [];
  for (const part of document.querySelectorAll("a, button, input, select, summary, textarea")) {
    const target = part.closest("label") || part;
    const box = target.getBoundingClientRect();
    const shown = target.checkVisibility({ visibilityProperty: true }) && box.width > 0;
    if (!shown || part.type === "hidden" || part.classList.contains("skip")) continue;
    if (part.matches("svg a")) continue;
    if (box.height < 43.5 || box.width < 43.5)
      found.push(`${part.outerHTML.slice(0, 120)} ${box.width}x${box.height}`);
  }
  return found;
}"""


@pytest.fixture(scope="module")
def machine(browser: Browser, address: str) -> str:
    """Path of the machine that needs attention most."""
    page = browser.new_page()
    page.goto(address)
    page.locator("a.item.harm").first.click()
    found = page.locator("a.back").get_attribute("href")
    page.close()
    assert found is not None
    return found.partition("#")[0]


@pytest.fixture(scope="module")
def finding(browser: Browser, address: str) -> str:
    """Path of a finding of a chart: with an interval of its start, and how sure it is."""
    page = browser.new_page()
    page.goto(address)
    found = page.locator("a.item", has_text="sure").first.get_attribute("href")
    page.close()
    assert found is not None
    return found


@pytest.fixture(scope="module")
def sheet(browser: Browser, address: str, machine: str) -> str:
    """Id of a kept sheet of that machine."""
    page = browser.new_page()
    page.goto(address + machine)
    found = page.locator('a[href^="/sheet/S-"]').first.get_attribute("href")
    page.close()
    assert found is not None
    return found.partition("#")[0].split("/")[2]


@pytest.fixture(scope="module")
def bale(browser: Browser, address: str, machine: str) -> str:
    """Path of the newest bale of that machine."""
    page = browser.new_page()
    page.goto(f"{address}{machine}/bales")
    found = page.locator("tbody th a").first.get_attribute("href")
    page.close()
    assert found is not None
    return found


class Watch:
    """A page with everything noted that should not happen."""

    def __init__(self, browser: Browser, address: str, size: tuple[int, int], scheme: Any) -> None:
        viewport: Any = {"width": size[0], "height": size[1]}
        self.context = browser.new_context(viewport=viewport, color_scheme=scheme)
        self.page: Page = self.context.new_page()
        self.address = address
        self.outside: list[str] = []
        self.said: list[str] = []
        # The checker is slow and looks at colours and structure: two of the four will do.
        self.is_checked = (size, scheme) in ((PHONE, "light"), (DESKTOP, "dark"))
        self.page.on("request", self._request)
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self.said.append(str(error)))

    def _request(self, request: Any) -> None:
        if not request.url.startswith((self.address, "data:")):
            self.outside.append(request.url)

    def _console(self, message: Any) -> None:
        expected = "status of 404" in message.text
        if message.type in ("error", "warning") and not expected:
            self.said.append(message.text)

    def open(self, path: str) -> Page:
        """Go there and wait until it is quiet."""
        self.page.goto(self.address + path, wait_until="networkidle")
        return self.page


@pytest.fixture(
    params=[(PHONE, "light"), (PHONE, "dark"), (DESKTOP, "light"), (DESKTOP, "dark")],
    ids=["phone-light", "phone-dark", "desktop-light", "desktop-dark"],
)
def watch(request: pytest.FixtureRequest, browser: Browser, address: str) -> Iterator[Watch]:
    """Phone and desktop, light and dark."""
    watching = Watch(browser, address, *request.param)
    yield watching
    watching.context.close()


def show_pictures(page: Page) -> None:
    """Scroll to what the machine would give, as a reader does, and wait for its pictures."""
    page.locator("#outlook").scroll_into_view_if_needed()
    page.wait_for_selector("#pictures #card-layers")
    page.wait_for_load_state("networkidle")


@pytest.mark.parametrize("path", PAGES)
def test_page_is_whole_quiet_and_open_to_all(
    watch: Watch, request: pytest.FixtureRequest, path: str
) -> None:
    """No sideways scroll, targets of 44 px, the accessibility checker content, no stray request."""
    from axe_playwright_python.sync_playwright import Axe

    names = [name for _, name, _, _ in Formatter().parse(path) if name]
    page = watch.open(path.format(**{name: request.getfixturevalue(name) for name in names}))
    if path == "{machine}":
        show_pictures(page)
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0, f"{wide} px too wide"
    assert page.evaluate(TOO_SMALL) == []
    if watch.is_checked:
        found = Axe().run(page)
        assert len(found.response["passes"]) > 10
        assert found.violations_count == 0, found.generate_report()
    assert watch.outside == []
    assert watch.said == []


def test_charts_are_drawn_and_say_their_values(watch: Watch, machine: str) -> None:
    """Under the strict policy each chart stands in the page and a hovered bale tells its values."""
    page = watch.open(machine)
    page.wait_for_selector(".chart canvas")
    assert page.locator(".charts figure:visible").count() >= 2
    page.locator(".chart canvas").first.scroll_into_view_if_needed()
    box = page.locator(".chart canvas").first.bounding_box()
    assert box is not None
    tooltip = page.locator("#vg-tooltip-element.visible")
    for step in range(int(box["height"]) // 2):
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 2 * step)
        if tooltip.count():
            break
    assert "Bale" in tooltip.inner_text()
    assert "Layers at the thinnest spot" in tooltip.inner_text()
    assert "Layers wanted" in tooltip.inner_text()
    assert watch.said == []


def test_the_keyboard_reaches_the_content_first(browser: Browser, address: str) -> None:
    """The first Tab is the skip link, and it leads past the way round."""
    watch = Watch(browser, address, DESKTOP, "light")
    page = watch.open("/machines")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == "#content"
    page.keyboard.press("Tab")
    assert page.evaluate("document.querySelector('main').contains(document.activeElement)")
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"
    watch.context.close()


def test_the_sheet_follows_as_you_type(browser: Browser, address: str) -> None:
    """A changed crop and an impossible moisture show in the result without a new page."""
    watch = Watch(browser, address, DESKTOP, "light")
    page = watch.open("/sheet")
    page.select_option("#id_crop", "hay")
    page.fill("#id_moisture", "15")
    page.wait_for_selector("#result >> text=the wrapper stays off")
    page.fill("#id_moisture", "150")
    page.wait_for_selector("#result >> text=The sheet cannot be made yet")
    assert page.get_attribute("#id_moisture", "aria-invalid") == "true"
    assert "id_moisture_error" in str(page.get_attribute("#id_moisture", "aria-describedby"))
    page.fill("#id_moisture", "15")
    page.wait_for_selector("#id_moisture:not([aria-invalid])")
    assert watch.said == []
    watch.context.close()


def test_the_pictures_follow_the_form(browser: Browser, address: str, machine: str) -> None:
    """On a phone: a fatter bale shows at once, the address keeps it, and the way back restores
    it; a wrong value is told beside its field; the bale that can be turned is drawn again.
    """
    watch = Watch(browser, address, PHONE, "dark")
    page = watch.open(f"{machine}/outlook")
    page.click("summary >> text=Bale and film")
    page.fill("#id_diameter", "1.45")
    page.wait_for_selector("#pictures >> text=of a bale 1.45")
    assert "diameter=1.45" in page.url
    assert page.get_attribute("canvas.turnable", "role") == "img"
    page.fill("#id_diameter", "45")
    page.wait_for_selector("#id_diameter_error:not(:empty)")
    assert page.get_attribute("#id_diameter", "aria-invalid") == "true"
    page.reload(wait_until="networkidle")
    assert page.input_value("#id_diameter") == "45"
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    assert watch.said == []
    assert watch.outside == []
    watch.context.close()


def test_what_if_shows_at_once_and_stands_beside_the_form(watch: Watch) -> None:
    """A chosen condition answers with a usual value, a typed one moves the answer and keeps the
    focus; nothing is cut off, small, or read wrongly; then two kept sheets side by side.
    """
    from axe_playwright_python.sync_playwright import Axe

    page = watch.open("/sheet")
    page.select_option("#what_what", "slope")
    page.wait_for_selector("#what-if-answer >> text=Slope 15")
    page.fill("#what_to_slope", "20")
    page.wait_for_selector("#what-if-answer >> text=Slope 20")
    assert page.evaluate("document.activeElement.id") == "what_to_slope"
    page.fill("#what_to_slope", "200")
    page.wait_for_selector("#what_to_slope[aria-invalid]")
    page.fill("#what_to_slope", "20")
    page.wait_for_selector("#what-if-answer >> text=settings change")
    page.fill("#id_slope", "5")
    page.wait_for_selector("#what-if-answer >> text=instead of 5")
    kept = []
    for slope in ("5", "20"):
        page.fill("#id_slope", slope)
        page.wait_for_load_state("networkidle")
        page.click("button >> text=Keep this sheet")
        page.wait_for_url("**/sheet/S-*")
        kept.append(page.url.rpartition("/")[2])
        if slope == "5":
            watch.open("/sheet")
    for path in (f"/sheet/{kept[0]}/what-if?what=slope", f"/sheet/{kept[0]}/beside",
                 f"/sheet/{kept[0]}/beside/{kept[1]}"):  # fmt: skip
        watch.open(path)
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        assert page.evaluate(TOO_SMALL) == []
        if watch.is_checked:
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()
    assert watch.outside == []
    left = [said for said in watch.said if "sendAbort" not in said and "afterRequest" not in said]
    assert left == []  # a request that a click on another page overtakes is ended by the browser


def test_a_wrong_value_is_told_where_it_was_typed(browser: Browser, address: str) -> None:
    """On a phone the word stands in sight, right under the field, and the typing goes on."""
    watch = Watch(browser, address, PHONE, "light")
    page = watch.open("/sheet")
    page.fill("#id_windrow", "400")
    said = page.wait_for_selector("#id_windrow_error:not(:empty)")
    assert said is not None
    field, word = page.locator("#id_windrow").bounding_box(), said.bounding_box()
    assert field is not None
    assert word is not None
    assert 0 <= word["y"] - (field["y"] + field["height"]) < 60
    assert word["y"] + word["height"] <= PHONE[1]
    assert page.evaluate("document.activeElement.id") == "id_windrow"
    assert watch.said == []
    watch.context.close()


def test_a_file_is_taken_in_with_a_bar_that_moves(
    browser: Browser, address: str, tmp_path: Path
) -> None:
    """From the chosen file to its account, by the worker, without a reload by hand."""
    watch = Watch(browser, address, DESKTOP, "light")
    records = tmp_path / "bales.csv"
    records.write_text(
        "machine,bale_no,closed_at,status\n"
        "NEW-1,1,2031-06-01T10:00:00Z,ok\n"
        "NEW-1,2,2031-06-01T10:02:00Z,ok\n"
        "NEW-1,three,2031-06-01T10:04:00Z,ok\n"
    )
    page = watch.open("/intake")
    page.set_input_files("#id_chosen", records)
    page.click("main button.button")
    page.wait_for_selector("text=Bales kept: 2. Refused: 1.", timeout=20_000)
    assert "three" in page.inner_text("main")
    assert watch.said == []
    watch.context.close()


def test_pages_keep_their_weight(browser: Browser, address: str, machine: str) -> None:
    """50 KB without statistics charts, 400 KB compressed with them, scripts and all."""
    for path, most_kb in (("/", 50), ("/sheet", 50), ("/machines", 50), (machine, 400)):
        watch = Watch(browser, address, PHONE, "light")
        session = watch.context.new_cdp_session(watch.page)
        session.send("Network.enable")
        weights: list[float] = []
        session.on("Network.loadingFinished", lambda e, w=weights: w.append(e["encodedDataLength"]))
        page = watch.open(path)
        if path == machine:
            show_pictures(page)
        assert sum(weights) < most_kb * 1024, f"{path}: {sum(weights) / 1024:.0f} KB"
        watch.context.close()


@pytest.fixture(scope="module")
def case(browser: Browser, address: str) -> str:
    """Path of the open case of the demo."""
    page = browser.new_page()
    page.goto(f"{address}/cases")
    found = page.locator("a.item.cost").first.get_attribute("href")
    page.close()
    assert found is not None
    return found


@pytest.mark.parametrize("look", [(PHONE, "light", 9), (DESKTOP, "dark", 4)])
def test_pages_of_causes_are_whole(
    browser: Browser, address: str, machine: str, case: str, look: tuple[tuple[int, int], str, int]
) -> None:
    """No sideways scroll, targets of 44 px, the accessibility checker content, nothing refused."""
    from axe_playwright_python.sync_playwright import Axe

    watch = Watch(browser, address, look[0], look[1])
    paths = (
        *(f"{machine}/causes", case, "/network/net_brake_weak?language=de", "/lessons", "/cases"),
        *("/causes", "/causes?profile=mossgrinder-m2&said=film+breaks", "/network?q=net"),
        "/service-costs",
    )
    for path in paths[: look[2]]:
        page = watch.open(path)
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, path
        assert page.evaluate(TOO_SMALL) == [], path
        found = Axe().run(page)
        assert found.violations_count == 0, f"{path}: {found.generate_report()}"
    assert watch.outside == []
    assert watch.said == []
    watch.context.close()


def test_words_are_heard_as_they_are_typed(browser: Browser, address: str) -> None:
    """A few words on a phone bring reports to tick; an answer brings the next question; a case
    keeps what was said, and goes on with the same step.
    """
    watch = Watch(browser, address, PHONE, "light")
    page = watch.open("/machines/MM-1003/causes")
    page.fill("#said", "film breaks often")
    page.check("#heard input[value=film_breaks_often]")
    page.locator("#heard button").click()
    page.locator("#looks a").first.click()
    page.get_by_role("button", name="No", exact=True).click()
    page.wait_for_url("**no=*")
    after = page.inner_text(".next-title")
    page.fill("#complaint", "Film breaks")
    page.get_by_role("button", name="Open a case").click()
    page.wait_for_url("**?case=*")
    assert page.inner_text(".next-title") == after
    assert "The film breaks often" in page.inner_text("#known")
    assert watch.said == []
    watch.context.close()


DROP = """([name, kilobytes]) => {
  const line = "NEW-2,1,2031-06-01T10:00:00Z," + "x".repeat(995) + "\\n";
  const text = "machine,bale_no,closed_at,job\\n" + line.repeat(kilobytes);
  const carried = new DataTransfer();
  carried.items.add(new File([text], name));
  const form = document.querySelector("form[data-uploads]");
  for (const kind of ["dragenter", "drop"]) {
    form.dispatchEvent(new DragEvent(kind, { dataTransfer: carried, bubbles: true }));
  }
}"""
"""Drops a file of so many lines of a kilobyte and more on the page."""


def test_a_dropped_file_goes_on_after_a_break_and_another_is_stopped(
    browser: Browser, address: str
) -> None:
    """Two files are dropped: the bar of one moves, it is stopped and nothing of it stays; the line
    of the other breaks, the page is closed, and dropped once more it goes on where it stopped and
    is taken in.
    """
    watch = Watch(browser, address, DESKTOP, "light")
    page = watch.open("/intake")
    offsets: list[int] = []
    broken = [True]

    def pass_on(route: Any) -> None:
        offset = int(route.request.headers["upload-offset"])
        offsets.append(offset)
        if broken[0] and offset > 0:
            route.abort()
        else:
            page.wait_for_timeout(150)
            route.continue_()

    page.route("**/intake/uploads/*", lambda route: (
        pass_on(route) if route.request.method == "PATCH" else route.continue_()
    ))  # fmt: skip
    page.evaluate(DROP, ["goes-on.csv", 3000])
    page.evaluate(DROP, ["stopped.csv", 500])
    lines = page.locator("#sending li")
    page.wait_for_function("() => document.querySelector('#sending progress').value >= 20")
    page.wait_for_selector("text=The line broke. Trying again")
    lines.nth(1).locator("button").click()
    page.goto(f"{address}/book")  # closed while it was sent
    page.goto(f"{address}/intake", wait_until="networkidle")
    assert "Broken off on the way" in page.inner_text("main")
    broken[0] = False
    offsets.clear()
    page.evaluate(DROP, ["goes-on.csv", 3000])
    page.wait_for_selector("text=Kept with a doubt", timeout=30_000)
    assert "goes-on.csv" in page.inner_text("h1")
    assert offsets[0] == 2 << 20, "the first piece was not sent twice"
    assert "stopped.csv" not in page.inner_text("main")
    assert not [text for text in watch.said if "ERR_FAILED" not in text]
    watch.context.close()
