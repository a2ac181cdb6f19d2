"""A sheet behind its link: one sheet, no account, nothing else; and the desk's side of it."""

from __future__ import annotations

import logging
import re
from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from django.core.cache import caches
from django.test import Client

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.sheet.sheet import Conditions
from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

FILM = Film(0.75, 25e-6, 1500.0, 0.7)
CONDITIONS = Conditions(
    Crop.GRASS_SILAGE, 0.55, 4.0, 2.5, 0.03, False, False, FILM, 3000.0, 10.0, 200
)
SEALS = {
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive, nosnippet",
    "Cache-Control": "no-store, private",
}


@pytest.fixture(autouse=True)
def _fresh_limits() -> Iterator[None]:
    """No test is held up by what another one counted."""
    caches["limits"].clear()
    yield
    caches["limits"].clear()


@pytest.fixture
def sheet_id(desk: Desk) -> str:
    """A kept sheet of a customer's machine."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.make_sheet import SheetRequest, keep_sheet, make_sheet

    workplace = the_workplace()
    wraps = next(key for key, made in workplace.profiles.items() if made.wrapper)
    workplace.register.save_machine(
        MachineEntry("K-77", "Seventy-seven", wraps, "Europe/Dublin", "Mossy Hollow")
    )
    return keep_sheet(workplace, make_sheet(workplace, SheetRequest(CONDITIONS, serial="K-77")))


def make_link(desk: Desk, sheet_id: str, **fields: Any) -> str:
    """Path of a new link, read off the page that shows it this once."""
    answer = desk.post(desk.technician, f"/sheet/{sheet_id}/links", **{"days": 7, **fields})
    assert answer.status_code == 200
    found = re.search(r'id="made-link">http://localhost(/s/[\w-]{22})<', answer.content.decode())
    assert found is not None
    return found[1]


def read(client: Client, path: str, status: int = 200) -> str:
    """The page under a path."""
    answer = client.get(path)
    assert answer.status_code == status
    return str(answer.content.decode())


def mark(page: str) -> str:
    """The first form's mark of one page."""
    found = re.search(r'name="mark" value="([0-9a-f]{32})"', page)
    assert found is not None
    return found[1]


def test_who_may_share_and_who_may_answer(desk: Desk, sheet_id: str) -> None:
    """Those who make sheets share them; everybody with a role answers; nobody else does either."""
    links = f"/sheet/{sheet_id}/links"
    for client, status in (
        (desk.manager, 200),
        (desk.technician, 200),
        (desk.reader, 403),
        (desk.without_role, 403),
    ):
        assert client.get(links).status_code == status
        assert desk.post(client, links, days=7).status_code == status
        assert desk.post(client, f"{links}/1/withdraw").status_code == (
            302 if status == 200 else 403
        )
    assert desk.nobody.get(links).status_code == 302
    sent = {"mark": "m" * 8, "outcome": "worked"}
    for client, status in ((desk.reader, 302), (desk.without_role, 403)):
        assert desk.post(client, f"/sheet/{sheet_id}/feedback", **sent).status_code == status
    page = read(desk.reader, f"/sheet/{sheet_id}")
    assert "Share by link" not in page
    assert "How did this sheet work?" in page
    assert "Share by link" in read(desk.technician, f"/sheet/{sheet_id}")


def test_whoever_has_the_link_reads_the_sheet_and_nothing_of_the_desk(
    desk: Desk, sheet_id: str
) -> None:
    """Cautions first, settings, validity; no machine, customer, operator, way into the desk."""
    page = read(desk.nobody, make_link(desk, sheet_id, note="Low <b>field"))
    assert page.index("Cautions first") < page.index("Wrap turns")
    assert "Valid until" in page
    assert "Low &lt;b&gt;field" in page
    for private in ("K-77", "Seventy-seven", "Mossy Hollow", "tove", "Dublin", sheet_id):
        assert private not in page, private
    ways = set(re.findall(r'(?:href|src|action)="([^"]+)"', page))
    assert {way for way in ways if not way.startswith(("#", "/static/", "/s/"))} == set()


def test_the_file_to_save_says_until_when_and_nothing_private(desk: Desk, sheet_id: str) -> None:
    """For a browser that keeps no pages: one file without a request, saved and not shown."""
    answer = desk.nobody.get(make_link(desk, sheet_id) + "/sheet.html")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="setup-sheet.html"'
    page = answer.content.decode()
    assert "alid until" in page
    assert "http" not in re.sub(r'http-equiv="Content-Security-Policy"', "", page)
    for private in ("K-77", "Seventy-seven", "Mossy Hollow", "tove", sheet_id):
        assert private not in page, private


def test_the_machines_name_comes_along_only_where_it_was_wanted(desk: Desk, sheet_id: str) -> None:
    """A tick of the maker puts name and serial on it, and never the customer."""
    page = read(desk.nobody, make_link(desk, sheet_id, names_machine="on"))
    assert "Seventy-seven" in page
    assert "K-77" in page
    assert "Mossy Hollow" not in page


def test_a_shared_page_is_sealed_and_sets_no_cookie(desk: Desk, sheet_id: str) -> None:
    """No referrer, no index, no store, the strict policy, and nothing to recognise a visitor by."""
    path = make_link(desk, sheet_id)
    for way in (path, f"{path}/card.pdf", f"{path}/sheet.html", "/s/over"):
        answer = desk.nobody.get(way)
        assert {name: answer.headers[name] for name in SEALS} == SEALS, way
        assert "unsafe" not in answer.headers["Content-Security-Policy"]
        assert "worker-src 'self'" in answer.headers["Content-Security-Policy"]
        assert answer.headers["X-Frame-Options"] == "DENY"
        assert not answer.cookies, way
    assert desk.nobody.get(f"{path}/card.pdf").content.startswith(b"%PDF")
    assert b" style=" not in desk.nobody.get(path).content


def test_who_is_signed_in_makes_no_difference(desk: Desk, sheet_id: str) -> None:
    """A manager with the link sees what everybody sees: no menu, no name, no way in."""
    path = make_link(desk, sheet_id)

    def without_marks(page: str) -> str:
        return re.sub(r"[0-9a-f]{32}", "", page)

    assert without_marks(read(desk.manager, path)) == without_marks(read(desk.nobody, path))


def test_the_open_desk_signs_nobody_in_who_opens_a_link(open_desk: Desk, sheet_id: str) -> None:
    """A shared sheet stays a page without a person there too."""
    path = make_link(open_desk, sheet_id)
    assert not open_desk.nobody.get(path).cookies
    assert open_desk.nobody.get("/").cookies


def test_unknown_over_and_withdrawn_get_the_same_plain_page(
    desk: Desk, sheet_id: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Word for word and header for header, also for cards and answers."""
    from balewright.desk.workplace import the_workplace

    over, gone = make_link(desk, sheet_id, days=1), make_link(desk, sheet_id, days=30)
    assert "Cautions first" in read(desk.nobody, gone)
    link = the_workplace().register.load_links(sheet_id)[0]
    assert (
        desk.post(desk.technician, f"/sheet/{sheet_id}/links/{link.id}/withdraw").status_code == 302
    )
    later = the_workplace().clock() + timedelta(days=2)
    object.__setattr__(the_workplace(), "clock", lambda: later)
    answers = []
    for path in (over, gone, "/s/" + "A" * 22, "/s/x", "/s/%00", f"/s/{'y' * 3000}"):
        for way in (path, f"{path}/card.pdf", f"{path}/sheet.html"):
            answers.append(desk.nobody.get(way))
        answers.append(desk.post(desk.nobody, f"{path}/answer", mark="m" * 8, outcome="worked"))
    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1
    assert len({repr(sorted(answer.headers.items())) for answer in answers}) == 1
    assert "This link opens nothing" in answers[0].content.decode()
    assert the_workplace().register.load_feedback(sheet_id) == ()


def test_fetching_changes_nothing_but_the_count(desk: Desk, sheet_id: str) -> None:
    """Programs that look at links leave no answer; a head and the second fetch that keeps the page
    are not even counted.
    """
    from balewright.desk.workplace import the_workplace

    path = make_link(desk, sheet_id)
    read(desk.nobody, path)
    desk.nobody.head(path)
    desk.nobody.get(path, headers={"X-Balewright-Keep": "1"})
    desk.nobody.get(f"{path}/card.pdf")
    desk.nobody.get(f"{path}/sheet.html")
    assert desk.nobody.get(f"{path}/answer?mark=mmmmmmmm&outcome=worked").status_code == 405
    register = the_workplace().register
    assert register.load_feedback(sheet_id) == ()
    (link,) = register.load_links(sheet_id)
    assert link.opened == 1


def test_an_answer_by_the_link_arrives_once(desk: Desk, sheet_id: str) -> None:
    """Without a token of a form, without a script, with a second tap; and the manager reads it."""
    client = Client(enforce_csrf_checks=True, headers={"host": "localhost"})
    path = make_link(desk, sheet_id)
    page = read(client, path)
    assert page.count('name="mark"') == 2
    sent = {"mark": mark(page), "outcome": "did not"}
    for _tap in range(2):
        answer = desk.post(client, f"{path}/answer", **sent)
        assert (answer.status_code, answer["Location"]) == (303, f"{path}?sent#answer")
    assert mark(read(client, path)) != mark(page)
    told = desk.post(
        client,
        f"{path}/answer",
        mark="n" * 8,
        outcome="changed",
        line1="wrap_turns",
        value1="18",
        text="<script>x</script>",
    )
    assert told.status_code == 303
    assert 'data-tells="sent" role="status">It has arrived' in read(client, f"{path}?sent")
    for way in (f"/sheet/{sheet_id}", "/machines/K-77"):
        shown = read(desk.manager, way)
        assert "What operators said" in shown
        assert "<dt>Did not work</dt><dd>1</dd>" in shown
        assert "<dt>Changed something</dt><dd>1</dd>" in shown
        assert re.search(r"Wrap turns: 18 instead of \d+", shown)
        assert "&lt;script&gt;x&lt;/script&gt;" in shown
        assert "by the link" in shown


def test_an_answer_that_cannot_be_kept_comes_back_with_its_reason(
    desk: Desk, sheet_id: str
) -> None:
    """As a page for a plain form, as JSON for the script; a value without its setting is told."""
    path = make_link(desk, sheet_id)
    wrong = {"mark": "m" * 8, "outcome": "changed", "line2": "", "value2": "18"}
    answer = desk.post(desk.nobody, f"{path}/answer", **wrong)
    assert answer.status_code == 422
    assert "Needs a setting of this sheet" in answer.content.decode()
    from urllib.parse import urlencode

    reply = desk.nobody.post(
        f"{path}/answer",
        urlencode(wrong),
        content_type="application/x-www-form-urlencoded",
        headers={"accept": "application/json"},
    )
    assert reply.status_code == 422
    assert "Needs a setting of this sheet" in reply.json()["faults"][0]


def test_a_person_answers_at_the_desk_by_name(desk: Desk, sheet_id: str) -> None:
    """What a signed-in operator says stands there with the name; a faulty one is told."""
    page = read(desk.reader, f"/sheet/{sheet_id}")
    assert "Nobody said anything" in page
    sent = {"mark": mark(page), "outcome": "worked"}
    for _tap in range(2):
        assert desk.post(desk.reader, f"/sheet/{sheet_id}/feedback", **sent).status_code == 302
    shown = read(desk.reader, f"/sheet/{sheet_id}")
    assert "<dt>Worked</dt><dd>1</dd>" in shown
    assert "· ruben" in shown
    desk.post(desk.reader, f"/sheet/{sheet_id}/feedback", mark="k" * 8, outcome="changed")
    assert "Needs what was changed" in read(desk.reader, f"/sheet/{sheet_id}")
    assert desk.post(desk.reader, "/sheet/S-none/feedback", **sent).status_code == 404


def test_the_desk_lists_links_without_a_word_that_opens_them(desk: Desk, sheet_id: str) -> None:
    """When, by whom, until when, how often; the address is shown once and never again."""
    path = make_link(desk, sheet_id, note="Low field")
    token = path.rpartition("/")[2]
    for _look in range(3):
        read(desk.nobody, path)
    shown = read(desk.manager, f"/sheet/{sheet_id}/links")
    assert token not in shown
    assert "by tove" in shown
    assert "Low field" in shown
    assert "Opened 3 times" in shown
    assert "opens</span>" in shown
    assert desk.manager.get("/sheet/S-none/links").status_code == 404
    wrong = desk.post(desk.manager, f"/sheet/{sheet_id}/links", days=400)
    assert wrong.status_code == 422


def test_a_new_link_is_shown_with_a_code_that_says_it(desk: Desk, sheet_id: str) -> None:
    """The code is the one of this very address; a desk on this computer alone says so."""
    from balewright.cards.qr import code_svg

    answer = desk.post(desk.technician, f"/sheet/{sheet_id}/links", days=7)
    page = answer.content.decode()
    address = re.search(r'id="made-link">([^<]+)<', page)
    assert address is not None
    assert code_svg(address[1]) in page
    assert "viewBox" in code_svg(address[1])
    assert "This desk answers on this computer alone" in page
    assert "no-store" in answer.headers["Cache-Control"]


def test_one_address_and_one_link_are_held_to_a_rate(
    desk: Desk, sheet_id: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Over the limit a plain page says to wait; other addresses, other links and the next minute
    are not held up.
    """
    from balewright.desk.shared import limits, open_page

    few, some = limits.Limit("address", 12, 60), limits.Limit("link", 20, 60)
    monkeypatch.setattr(open_page, "BY_ADDRESS", few)
    monkeypatch.setattr(open_page, "BY_LINK", some)
    at_s = [1_000_000_020.0]
    monkeypatch.setattr(limits.time, "time", lambda: at_s[0])
    path = make_link(desk, sheet_id)
    for _visit in range(few.most):
        assert desk.nobody.get("/s/nothing").status_code == 404
    held = desk.nobody.get(path)
    assert (held.status_code, held.headers["Retry-After"]) == (429, "60")
    assert "Wait a minute" in held.content.decode()
    assert {name: held.headers[name] for name in SEALS} == SEALS
    assert desk.nobody.get(path, REMOTE_ADDR="192.0.2.9").status_code == 200
    at_s[0] += 60
    assert desk.nobody.get(path).status_code == 200
    for visit in range(some.most - 1):
        assert desk.nobody.get(path, REMOTE_ADDR=f"192.0.2.{visit % 200}").status_code == 200
    assert desk.nobody.get(path, REMOTE_ADDR="192.0.2.250").status_code == 429
    other = make_link(desk, sheet_id)
    assert desk.nobody.get(other, REMOTE_ADDR="192.0.2.250").status_code == 200


def test_answers_of_one_link_are_held_to_a_rate(desk: Desk, sheet_id: str) -> None:
    """Thirty in ten minutes; one more is told to wait and not kept."""
    from balewright.desk.workplace import the_workplace

    path = make_link(desk, sheet_id)
    sent = [
        desk.post(desk.nobody, f"{path}/answer", mark=f"mark-{n:04}", outcome="worked").status_code
        for n in range(31)
    ]
    assert sent == [303] * 30 + [429]
    assert len(the_workplace().register.load_feedback(sheet_id)) == 30


def test_an_address_behind_our_own_proxy_is_the_one_it_saw(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only over HTTPS and only from a proxy of this computer; what a visitor made up is not heard.
    Of IPv6 a household's part counts.
    """
    from dataclasses import replace

    from django.conf import settings
    from django.test import RequestFactory

    from balewright.desk.shared.limits import address_of

    def seen(remote: str, passed_on: str) -> str:
        request = RequestFactory().get("/", REMOTE_ADDR=remote, HTTP_X_FORWARDED_FOR=passed_on)
        return address_of(request)

    assert seen("127.0.0.1", "192.0.2.1") == "127.0.0.1"
    monkeypatch.setattr(settings, "BALEWRIGHT", replace(settings.BALEWRIGHT, https=True))
    assert seen("127.0.0.1", "198.51.100.7, 192.0.2.1") == "192.0.2.1"
    assert seen("192.0.2.44", "198.51.100.7") == "192.0.2.44"
    assert seen("2001:db8:1:2:3::4", "") == seen("2001:db8:1:2:9::8", "") == "2001:db8:1:2::/64"
    assert seen("127.0.0.1", "nonsense") == "unknown"


def test_no_token_comes_into_the_log() -> None:
    """A refused request is logged with its way, and the way without what opens the sheet."""
    from balewright.desk.shared.hide_tokens import HideTokens

    record = logging.makeLogRecord(
        {"msg": "%s: %s", "args": ("Not Found", "/s/AbC-_9/answer"), "levelno": logging.WARNING}
    )
    assert HideTokens().filter(record)
    assert record.getMessage() == "Not Found: /s/.../answer"
    other = logging.makeLogRecord({"msg": "%s: %s", "args": ("Not Found", "/sheet/S-1")})
    assert HideTokens().filter(other)
    assert other.getMessage() == "Not Found: /sheet/S-1"


def test_the_worker_rules_over_shared_sheets_alone(desk: Desk) -> None:
    """It lies below /s/, so no browser lets it near the rest of the desk."""
    answer = desk.nobody.get("/s/worker.js")
    assert answer.status_code == 200
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert "Service-Worker-Allowed" not in answer.headers
    assert not answer.cookies
