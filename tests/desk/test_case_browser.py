"""A case on a phone in a real browser, with the line to the desk really cut."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any

import pytest
from django.core.cache import caches
from tests.desk.case_desk import jpeg_of, link_to, open_a_case, served
from tests.desk.conftest import _QUIET, empty
from tests.desk.cut_line import Line
from tests.desk.test_browser import PHONE, TOO_SMALL

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, BrowserContext, Page

    from balewright.cause.case.case import Case

pytestmark = [pytest.mark.own, pytest.mark.browser]

KEPT = '[data-part="is-kept"]:visible'

PHOTOS_LEFT = """() => new Promise((resolve, reject) => {
  const asked = indexedDB.open("balewright-case", 1);
  asked.onerror = () => reject(asked.error);
  asked.onsuccess = () => {
    const count = asked.result.transaction("photos").objectStore("photos").count();
    count.onsuccess = () => resolve(count.result);
  };
})"""


def apart(work: Callable[..., Any], *given: Any) -> Any:
    """Do it in a thread of its own: the browser's driver owns this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(work, *given).result()


@pytest.fixture(scope="module")
def desk_address(desk_ready: Path) -> Iterator[str]:
    """The desk, served in this process with an empty register."""
    from balewright.desk.workplace import the_workplace

    if shutil.which("chromium") is None:
        pytest.skip("no chromium on this machine")
    empty(desk_ready)
    the_workplace.cache_clear()
    caches["limits"].clear()
    with served() as address:
        yield address
    the_workplace.cache_clear()
    empty(desk_ready)


@pytest.fixture(scope="module")
def chromium(desk_address: str) -> Iterator[Browser]:
    """A headless browser that calls nobody by itself."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        running = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=list(_QUIET)
        )
        yield running
        running.close()


@pytest.fixture
def phone(chromium: Browser) -> Iterator[BrowserContext]:
    """A technician's phone."""
    context = chromium.new_context(
        viewport={"width": PHONE[0], "height": PHONE[1]}, accept_downloads=True
    )
    yield context
    context.close()


@pytest.fixture
def line(desk_address: str) -> Iterator[Line]:
    """The phone's line to the desk."""
    line = Line(desk_address)
    yield line
    line.cut()


def new_case() -> tuple[str, str]:
    """Key of a case, and the address of a link that guides."""
    from balewright.desk.workplace import the_workplace

    key = open_a_case(the_workplace())
    return key, link_to(the_workplace(), key)


def case_of(key: str) -> Case:
    """The case as the desk has it."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.read_case_of import read_case_of

    return read_case_of(the_workplace(), key).case


def end_links(key: str) -> None:
    """Withdraw every link to a case."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.share_case import withdraw_case_link

    workplace = the_workplace()
    for link in workplace.register.load_case_links(key):
        withdraw_case_link(workplace, key, link.id)


def hand_in(path: str) -> Any:
    """Take a saved file in at the desk."""
    from pathlib import Path

    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_case_entries import Handed, take_in_case_entries
    from balewright.store.case_entries import Way

    handed = Handed(Way.FILE, by="tove", name="case.jsonl")
    return take_in_case_entries(the_workplace(), Path(path).read_bytes(), handed)


def asked(page: Page) -> str:
    """The question in sight."""
    return page.inner_text("#asks")


def answer(page: Page, word: str) -> None:
    """Tap one of the answers."""
    page.locator('[data-part="step"]').get_by_role("button", name=word, exact=True).click()


def write_note(page: Page, words: str) -> None:
    """Enter a note."""
    page.click("text=Enter a note")
    page.fill("#note-words", words)
    page.locator('[data-part="note"] button').click()


def add_photo(page: Page, folder: Path) -> None:
    """Add a picture from a file."""
    picture = folder / "IMG_7.png"
    picture.write_bytes(jpeg_of())
    page.click("text=Add a photo")
    page.set_input_files("#photo-file", str(picture))
    page.fill("#photo-words", "The roller")
    page.locator('[data-part="photo"] button').click()


def test_a_case_goes_on_without_signal_and_arrives_once(
    phone: BrowserContext, line: Line, tmp_path: Path
) -> None:
    """With the line cut the page opens, asks on by what is answered, takes an answer back, keeps a
    note and a photo, and shows how many wait, also after it was opened anew. With the line back
    everything arrives once, in its order, the photo without what the camera wrote beside it.
    """
    key, way = apart(new_case)
    page = phone.new_page()
    page.goto(line.address + way)
    page.wait_for_selector(KEPT)
    line.cut()
    page.reload()
    page.wait_for_selector('[data-part="from-kept"]:visible')
    page.fill("#by", "Tove")
    page.locator("#by").blur()
    first = asked(page)
    answer(page, "No")
    second = asked(page)
    assert second != first
    answer(page, "Yes")
    page.click("text=Back: take the last answer back")
    assert asked(page) == second
    answer(page, "Cannot tell")
    write_note(page, "Rubber is worn <b>")
    add_photo(page, tmp_path)
    page.wait_for_selector("text=6 entries wait for signal")
    page.reload()
    page.wait_for_selector("text=6 entries wait for signal")
    assert len(apart(case_of, key).entries) == 1
    line.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_selector("text=Nothing waits to be sent")
    page.reload()
    page.wait_for_selector("text=Nothing waits to be sent")
    case = apart(case_of, key)
    assert [one.kind for one in case.entries[1:]] == [
        *("check read", "check read", "went back", "check read", "note", "photo")
    ]
    assert [one.said for one in case.readings[1:]] == ["no", "cannot tell"]
    assert {one.by for one in case.entries[1:]} == {"Tove"}
    assert (case.notes[0].words, len(case.photos), case.conflicts) == ("Rubber is worn <b>", 1, ())
    assert apart(photo_is_bare, key)
    assert page.evaluate(PHOTOS_LEFT) == 0
    page.close()


def photo_is_bare(key: str) -> bool:
    """Whether the case's photo arrived under its hash, as a JPEG that carries nothing else."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.read_case_of import read_case_of
    from balewright.readers.photo import read_photo
    from balewright.store.photos import Photos

    kept = read_case_of(the_workplace(), key)
    (one,) = kept.case.photos
    content = Photos(the_workplace().home / "photos").read(one.sha256)
    photo = read_photo(content)
    return photo.is_bare and photo.media == "image/jpeg" and one.sha256 in kept.photos


def test_cautions_come_first_and_the_page_is_whole_and_quiet(
    chromium: Browser, desk_address: str
) -> None:
    """Walked by "cannot tell" to its end: whatever cautions a step has stand above it. No sideways
    scroll, targets of 44 px, the accessibility checker content, in light and dark, on the page
    that guides and on the one for a dealer; nothing in the console.
    """
    from axe_playwright_python.sync_playwright import Axe

    key, way = apart(new_case)
    read = apart(read_link, key)
    for scheme in ("light", "dark"):
        context = chromium.new_context(
            viewport={"width": PHONE[0], "height": PHONE[1]}, color_scheme=scheme
        )
        page = context.new_page()
        said: list[str] = []
        page.on("pageerror", lambda error: said.append(str(error)))  # noqa: B023
        page.on("console", lambda message: said.append(message.text))  # noqa: B023
        for address in (way, read):
            page.goto(desk_address + address, wait_until="networkidle")
            for folded in page.locator("summary").all():
                folded.click()
            assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
            assert page.evaluate(TOO_SMALL) == []
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()
        assert said == []
        context.close()
    page = chromium.new_page()
    page.goto(desk_address + way)
    seen = 0
    while page.get_by_role("button", name="Cannot tell", exact=True).count():
        cautions = page.locator("[data-cautions]")
        if cautions.count():
            seen += 1
            above = "(c) => c.compareDocumentPosition(document.getElementById('asks')) & 4"
            assert cautions.first.evaluate(above)
        answer(page, "Cannot tell")
    assert seen
    assert page.locator("text=Most likely").count()
    page.close()


def read_link(key: str) -> str:
    """The address that shows a case."""
    from balewright.desk.workplace import the_workplace

    return link_to(the_workplace(), key, "read", claim=True)


def test_a_saved_page_guides_and_its_file_is_handed_in(
    phone: BrowserContext, desk_address: str, tmp_path: Path
) -> None:
    """Opened from a file it asks, takes a reading by its limit, and saves what was entered as
    another file, which the desk takes in once.
    """
    key, way = apart(new_case)
    page = phone.new_page()
    page.goto(desk_address + way)
    with page.expect_download() as loading:
        page.click("text=Save this page as a file")
    saved = tmp_path / "case.html"
    saved.write_text(with_a_reading(loading.value.path().read_text("utf-8")), encoding="utf-8")
    page.goto(saved.as_uri())
    page.wait_for_selector("text=This is a saved page")
    page.fill("#reading", "many")
    page.click("text=Take this reading")
    assert "Write a number" in page.inner_text('[data-part="step"]')
    page.fill("#reading", "3,5")
    page.click("text=Take this reading")
    assert "Put this right" in page.inner_text('[data-part="step"]')
    page.locator('[data-part="step"] button', has_text="This was it").first.click()
    page.fill("#repair-words", "New linings")
    page.fill("#repair-parts", "2 x lining\nspring")
    page.fill("#repair-bale", "812")
    page.locator('[data-part="repair"] button').click()
    with page.expect_download() as loading:
        page.click("text=Save what was not sent as a file")
    for new in (3, 0):
        taken = apart(hand_in, str(loading.value.path()))
        assert (taken.new, len(taken.kept), taken.refused) == (new, 3, ())
    case = apart(case_of, key)
    assert (case.readings[-1].value, case.readings[-1].unit) == (3.5, "mm")
    (repair,) = case.repairs
    assert [(used.part, used.count) for used in repair.parts] == [("lining", 2), ("spring", 1)]
    assert (repair.at_bale, repair.minutes) == (812, None)
    page.close()


def test_what_a_link_that_ended_left_on_the_phone_is_not_lost(
    phone: BrowserContext, line: Line
) -> None:
    """Withdrawn while an entry waited, the page says so; opened anew it still lets the entry be
    saved as a file, which the desk takes in.
    """
    key, way = apart(new_case)
    page = phone.new_page()
    page.goto(line.address + way)
    page.wait_for_selector(KEPT)
    line.cut()
    write_note(page, "Left over")
    page.wait_for_selector("text=1 entry waits for signal")
    apart(end_links, key)
    line.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_selector("text=This link is over or was withdrawn")
    page.reload()
    page.wait_for_selector("text=were not sent are on this phone")
    with page.expect_download() as loading:
        page.click("text=Save what was not sent as a file")
    assert apart(hand_in, str(loading.value.path())).new == 1
    assert apart(case_of, key).notes[-1].words == "Left over"
    page.close()


def test_the_phone_names_photos_as_the_desk_does(phone: BrowserContext, desk_address: str) -> None:
    """Its own SHA-256 gives what Python's does, round every edge of a block."""
    page = phone.new_page()
    page.goto(f"{desk_address}{apart(new_case)[1]}")
    for size in (0, 1, 55, 56, 63, 64, 65, 1_000):
        content = bytes(n * 7 % 251 for n in range(size))
        told = page.evaluate("(bytes) => sha256(new Uint8Array(bytes))", list(content))
        assert told == hashlib.sha256(content).hexdigest()

    page.close()


def with_a_reading(html: str) -> str:
    """The page with a tree of one check that reads a number: above 3 it shows the fault."""
    begin = '<script id="pack" type="application/json">'
    head, _, rest = html.partition(begin)
    said, _, tail = rest.partition("</script>")
    pack = json.loads(said)
    check = pack["nodes"][0]["check"]
    cause = pack["nodes"][0]["top"][0][0]
    pack["checks"][check]["reading"] = {"unit": "mm", "limit": 3, "bad": "up"}
    end = {"deed": "repair", "who": "operator", "cautions": [], "cause": cause, "ends": True}
    ends = [{**end, "deed": deed, "top": [[cause, 0.9]], "repairs": [cause]}
            for deed in ("repair", "ask", "ask")]  # fmt: skip
    root = {**pack["nodes"][0], "yes": 1, "no": 2, "cannot tell": 3}
    pack["nodes"] = [root, *ends]
    return f"{head}{begin}{json.dumps(pack)}</script>{tail}"
