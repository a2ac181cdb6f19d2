"""The page People: managers only."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def test_only_a_manager_opens_it(desk: Desk) -> None:
    """Manager yes; technician and reader meet the 403 page."""
    assert desk.manager.get("/people").status_code == 200
    assert desk.technician.get("/people").status_code == 403
    assert desk.reader.get("/people").status_code == 403


def test_a_person_is_added_with_a_role(desk: Desk) -> None:
    """The new person can do what the role says."""
    from django.contrib.auth import authenticate

    from balewright.desk.access import Deed, deeds_of

    answer = desk.post(
        desk.manager, "/people", name="ilka", role="technician", password="mown-yesterday-9"
    )
    assert answer.status_code == 302
    person = authenticate(username="ilka", password="mown-yesterday-9")
    assert person is not None
    may = {Deed.TAKE_IN, Deed.MAKE_SHEET, Deed.SHARE_SHEET, Deed.KEEP_SETTINGS, Deed.CORRECT,
           Deed.SET_ASIDE, Deed.KEEP_CASES}  # fmt: skip
    assert deeds_of(person) == {Deed.SEE, Deed.GIVE_FEEDBACK, *may}


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"name": "new", "role": "reader", "password": ""}, "A new person needs a password"),
        ({"name": "new", "role": "reader", "password": "12345678"}, "entirely numeric"),
        ({"name": "two words", "role": "reader", "password": "x"}, "without spaces"),
        ({"name": "demo", "role": "reader", "password": "x"}, "belongs to the demo"),
        ({"name": "mara", "role": "reader", "password": ""}, "manager&#x27;s role from yourself"),
    ],
)
def test_what_cannot_be_saved_is_said_beside_the_field(
    desk: Desk, fields: dict[str, str], said: str
) -> None:
    """A refused form comes back with its reason and changes nothing."""
    answer = desk.post(desk.manager, "/people", **fields)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    from django.contrib.auth import get_user_model

    assert not get_user_model().objects.filter(username__in=["new", "two words", "demo"]).exists()


def test_the_manager_stays_signed_in_after_a_new_password(desk: Desk) -> None:
    """Changing one's own password does not end one's own session."""
    desk.post(desk.manager, "/people", name="mara", role="manager", password="another-good-1")
    assert desk.manager.get("/people").status_code == 200
