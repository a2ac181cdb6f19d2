"""Who gets in, and how."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from django.test import Client

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def test_every_page_asks_who_you_are_but_help_and_shared_sheets(desk: Desk) -> None:
    """Without a sign-in every page leads to the sign-in, except help, the sign-in itself and what
    stands below a link, where a token that nobody made opens nothing; the door of the devices asks
    for theirs.
    """
    from balewright.desk.urls import urlpatterns

    open_to_all = {
        "sign_in": 200,
        "help": 200,
        "shared.worker": 200,
        "shared.answer": 405,
        "case_phone.worker": 200,
        "case_phone.entries": 405,
    }
    by_link = ("shared", "case_phone", "case_read")
    for pattern in urlpatterns:
        url = "/" + re.sub(
            r"<int:\w+>", "1", re.sub(r"<(str|path):\w+>", "x", str(pattern.pattern))
        )
        answer = desk.nobody.get(url)
        if pattern.name in open_to_all:
            assert answer.status_code == open_to_all[pattern.name], url
        elif (pattern.name or "").startswith("door"):
            assert answer.status_code == 401, url
        elif (pattern.name or "").startswith(by_link):
            assert answer.status_code == 404, url
        else:
            assert answer.status_code == 302, url
            assert answer.headers["Location"].startswith("/sign-in"), url


def test_good_password_leads_to_today(desk: Desk) -> None:
    """Name and password that go together open the desk."""
    answer = desk.post(desk.nobody, "/sign-in", username="mara", password=desk.password)
    assert (answer.status_code, answer.headers["Location"]) == (302, "/")


def test_wrong_name_and_wrong_password_read_the_same(desk: Desk) -> None:
    """A visitor cannot find out which names exist."""
    pages = [
        desk.post(
            Client(headers={"host": "localhost"}), "/sign-in", username=name, password="wrong"
        ).content.decode()
        for name in ("mara", "nobody-of-that-name")
    ]
    for page in pages:
        assert "Name and password do not go together" in page


def test_six_failures_have_to_wait(desk: Desk) -> None:
    """After five failures even the right password is refused for a while, for that name only."""
    for _ in range(5):
        desk.post(desk.nobody, "/sign-in", username="mara", password="wrong")
    refused = desk.post(desk.nobody, "/sign-in", username="Mara", password=desk.password)
    assert refused.status_code == 429
    assert "Too many failed tries" in refused.content.decode()
    other = desk.post(desk.nobody, "/sign-in", username="tove", password=desk.password)
    assert other.status_code == 302


def test_sign_out_needs_a_post(desk: Desk) -> None:
    """A link or picture elsewhere cannot sign anybody out."""
    assert desk.reader.get("/sign-out").status_code == 405
    assert desk.reader.post("/sign-out").status_code == 302
    assert desk.reader.get("/").status_code == 302


def test_a_person_without_a_role_sees_nothing(desk: Desk) -> None:
    """A sign-in alone opens no page."""
    answer = desk.without_role.get("/")
    assert answer.status_code == 403
    assert "Your role does not include this" in answer.content.decode()


def test_sign_in_never_leads_elsewhere(desk: Desk) -> None:
    """`next` to another site is ignored."""
    answer = desk.post(
        desk.nobody,
        "/sign-in?next=https://elsewhere.example/",
        username="mara",
        password=desk.password,
    )
    assert answer.headers["Location"] == "/"


def test_open_desk_signs_a_visitor_on_this_computer_in(open_desk: Desk) -> None:
    """On the open desk a visitor from loopback under a loopback name is the demo manager."""
    page = Client(headers={"host": "localhost:8000"}).get("/")
    assert page.status_code == 200
    assert "Signed in as demo (manager)" in page.content.decode()


@pytest.mark.parametrize(
    "request_as",
    [
        {"REMOTE_ADDR": "192.0.2.7"},
        {"HTTP_X_FORWARDED_FOR": "192.0.2.7"},
        {"HTTP_FORWARDED": "for=192.0.2.7"},
        {"HTTP_X_REAL_IP": "192.0.2.7"},
    ],
    ids=lambda given: next(iter(given)),
)
def test_open_desk_stays_shut_for_visitors_from_elsewhere(
    open_desk: Desk, request_as: dict[str, str]
) -> None:
    """Another computer, also behind a proxy on this one, has to sign in."""
    answer = Client(headers={"host": "localhost"}).get("/", **request_as)
    assert answer.status_code == 302


def test_a_made_up_host_is_refused(open_desk: Desk) -> None:
    """A name that merely resolves to this computer is not answered at all."""
    assert Client(headers={"host": "rebound.example"}).get("/").status_code == 400


def test_closed_desk_signs_nobody_in(desk: Desk) -> None:
    """Without the setting loopback alone opens nothing."""
    assert Client(headers={"host": "localhost"}).get("/").status_code == 302


def test_first_manager_is_made_once(desk: Desk) -> None:
    """A home in which nobody can sign in gets one manager; a home with people gets none."""
    from django.contrib.auth import authenticate, get_user_model

    from balewright.desk.access import Role, make_first_manager, role_of

    assert make_first_manager() is None
    get_user_model().objects.all().delete()
    password = make_first_manager()
    person = authenticate(username="manager", password=password)
    assert person is not None
    assert role_of(person) is Role.MANAGER
    assert make_first_manager() is None
