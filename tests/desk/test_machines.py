"""The fleet as a list, and adding a machine."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

GOOD = {"serial": "K-301", "name": "The long one", "zone": "Etc/UTC", "customer": ""}


def a_make() -> str:
    """Any make that is shipped."""
    from balewright.desk.workplace import the_workplace

    return next(iter(the_workplace().profiles))


def test_everybody_sees_the_list_and_only_a_manager_adds(desk: Desk) -> None:
    """Reader and technician see; the form is the manager's."""
    assert desk.reader.get("/machines").status_code == 200
    assert desk.manager.get("/machines/add").status_code == 200
    for client in (desk.technician, desk.reader):
        assert client.get("/machines/add").status_code == 403
        assert desk.post(client, "/machines/add", **GOOD).status_code == 403


def test_an_added_machine_stands_in_the_list(desk: Desk) -> None:
    """The manager is led to the machine's page; the list names it."""
    answer = desk.post(desk.manager, "/machines/add", **GOOD, profile_key=a_make())
    assert (answer.status_code, answer.headers["Location"]) == (302, "/machines/K-301")
    assert "The long one" in desk.reader.get("/machines").content.decode()


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("serial", "K/301", "letters, digits, spaces, dots"),
        ("serial", "", "This field is required"),
        ("zone", "Moon/Far_Side", "No such time zone"),
        ("profile_key", "no-such-make", "Select a valid choice"),
    ],
)
def test_what_cannot_be_added_is_said_beside_the_field(
    desk: Desk, field: str, value: str, said: str
) -> None:
    """Nothing is added; the field is marked and says what it needs."""
    fields = {**GOOD, "profile_key": a_make(), field: value}
    answer = desk.post(desk.manager, "/machines/add", **fields)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page
    assert 'aria-invalid="true"' in page
    assert "The long one" not in desk.reader.get("/machines").content.decode()


def test_a_serial_is_taken_once(desk: Desk) -> None:
    """A serial names one machine for ever."""
    desk.post(desk.manager, "/machines/add", **GOOD, profile_key=a_make())
    again = desk.post(desk.manager, "/machines/add", **GOOD, profile_key=a_make())
    assert again.status_code == 422
    assert "in the register already" in again.content.decode()
