"""What holds for every page: headers, roles, failures in plain words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from django.test import Client

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def test_policy_allows_nothing_from_elsewhere_and_nothing_inline(desk: Desk) -> None:
    """The content policy names only this desk, with no unsafe word in it."""
    answer = desk.reader.get("/")
    policy = answer.headers["Content-Security-Policy"]
    assert "unsafe" not in policy
    assert "http" not in policy
    for part in ("default-src 'none'", "script-src 'self'", "style-src 'self'", "base-uri 'none'"):
        assert part in policy
    assert answer.headers["X-Frame-Options"] == "DENY"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_pages_carry_no_inline_style_or_script(desk: Desk) -> None:
    """No page holds what its own policy would refuse."""
    for url in ("/", "/help", "/people"):
        page = desk.manager.get(url).content.decode()
        assert " style=" not in page, url
        assert "<style" not in page, url
        assert " onclick=" not in page, url


def test_cookies_are_out_of_a_scripts_reach(desk: Desk) -> None:
    """The session's cookie is HTTP-only and stays on this site."""
    desk.post(desk.nobody, "/sign-in", username="mara", password="straw-and-plum-42")
    cookie = desk.nobody.cookies["balewright_session"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


def test_missing_page_says_so(desk: Desk) -> None:
    """A wrong address meets plain words and a way back."""
    answer = desk.reader.get("/no-such-page")
    assert answer.status_code == 404
    assert "There is nothing under this address" in answer.content.decode()


def test_a_slash_at_the_end_leads_to_the_page_without_it(desk: Desk) -> None:
    """The query comes along; nothing is made up, and nobody is led away from this desk."""
    answer = desk.reader.get("/machines/?page=2")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/machines?page=2")
    assert desk.reader.get("/machines//").headers["Location"] == "/machines"
    for nowhere in ("/no-such-page/", "//evil.example/", "//evil.example//"):
        assert desk.reader.get("/", PATH_INFO=nowhere).status_code == 404, nowhere


def test_form_without_its_token_changes_nothing(desk: Desk) -> None:
    """A form sent from elsewhere is refused in plain words."""
    client = Client(enforce_csrf_checks=True, headers={"host": "localhost"})
    client.cookies = desk.manager.cookies
    answer = desk.post(client, "/people", name="eve", role="manager", password="long-enough-77")
    assert answer.status_code == 403
    assert "This form was open for too long" in answer.content.decode()


def test_our_own_fault_shows_no_trace() -> None:
    """The 500 page is plain words, and works without a request."""
    from balewright.desk.failing import our_fault

    page = our_fault(None).content.decode()  # type: ignore[arg-type]
    assert "The desk made a mistake" in page
    assert "Traceback" not in page


def test_help_puts_cautions_first_and_needs_no_sign_in(desk: Desk) -> None:
    """Whoever opens the help reads what can hurt before anything else."""
    page = desk.nobody.get("/help").content.decode()
    assert page.index("Before anyone goes near a machine") < page.index("What the pages are for")
    assert "Never bridge an interlock" in page
    assert "Apache License 2.0" in page


@pytest.mark.own
def test_every_page_that_stands_alone_is_on_the_map_and_says_where_it_belongs(desk: Desk) -> None:
    """The help leads a manager to each page that an address without parameters opens; a reader
    only to what opens; every page under an entry of the way round marks that entry.
    """
    from balewright.desk.urls import urlpatterns

    parts = {"sign_in", "sign_out", "help"}
    alone = {
        str(one.pattern)
        for one in urlpatterns
        if "<" not in str(one.pattern) and "." not in (one.name or "") and one.name not in parts
    }
    page = desk.manager.get("/help").content.decode()
    map_of = page[page.index("What the pages are for") : page.index("What it cannot tell")]
    assert {f'href="/{url}"' for url in alone} == set(re.findall(r'href="[^"]*"', map_of))
    for_reader = desk.reader.get("/help").content.decode()
    assert 'href="/rolls"' in for_reader
    for url in ("/personal", "/columns", "/senders"):
        assert f'href="{url}"' not in for_reader
    for url, entry in (("/columns", "intake"), ("/senders", "intake"), ("/rolls", "book")):
        said = desk.manager.get(url).content.decode()
        assert f'<a href="/{entry}" aria-current="page">' in said
