"""What a machine would give: the pictures on its page, and the form that moves them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import pytest

from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

LIVE = {"HX-Request": "true"}
SERIAL = "K-88"
KEYS = ("layers",)


def add(profile_key: str, serial: str = SERIAL) -> str:
    """A machine of that make without a sheet; the path of its outlook."""
    from balewright.desk.workplace import the_workplace

    the_workplace().register.save_machine(MachineEntry(serial, serial, profile_key, "UTC"))
    return f"/machines/{serial}/outlook"


def pictures(desk: Desk, place: str, **asked: object) -> str:
    """The live answer to those fields."""
    query = f"?{urlencode(asked)}" if asked else ""
    answer = desk.reader.get(f"{place}/pictures{query}", headers=LIVE)
    assert answer.status_code == 200
    return str(answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")


def beside(page: str, field: str) -> str:
    """What a live answer puts beside a field."""
    found = re.search(rf'id="id_{field}_error"[^>]*hx-swap-oob[^>]*>(.*?)</p>', page)
    assert found is not None
    return found[1]


def test_every_role_sees_it_and_only_makers_of_sheets_are_led_to_one(desk: Desk) -> None:
    """Looking ahead is for everybody who may see; without a role or a sign-in there is nothing."""
    place = add("mossgrinder-m2")
    for client in (desk.manager, desk.technician):
        page = client.get(place).content.decode()
        assert f'href="/sheet?machine=machine%3A{SERIAL}' in page.replace("&amp;", "&")
    page = desk.reader.get(place).content.decode()
    assert 'id="card-layers"' in page
    assert "/sheet?" not in page
    assert desk.without_role.get(place).status_code == 403
    assert desk.nobody.get(place).status_code == 302
    assert desk.reader.get("/machines/NOT-THERE/outlook").status_code == 404
    assert desk.reader.get("/machines/NOT-THERE/outlook/pictures").status_code == 404


@pytest.mark.parametrize("make", ["mossgrinder-m2", "thistlewick-t1", "plainrow-p0"])
def test_a_machine_without_a_sheet_is_shown_an_example_that_says_so(desk: Desk, make: str) -> None:
    """Made-up conditions are never passed off as the machine's own; every card is there."""
    page = pictures(desk, add(make))
    assert "the conditions are made up" in page
    for key in KEYS:
        assert f'id="card-{key}"' in page
    assert ("<svg" in page.partition('id="card-layers"')[2]) == (make != "plainrow-p0")


def test_the_conditions_are_those_of_the_sheet_in_force(desk: Desk) -> None:
    """Every machine of the demo: by the sheet its newest bales name, and its own page asks for
    the pictures by themselves.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.flows.demo_fleet import DEMO_FLEET
    from balewright.flows.fill_demo import fill_demo

    fill_demo(the_workplace())
    for demo in DEMO_FLEET:
        own = f"/machines/{demo.entry.serial}"
        assert f'hx-get="{own}/outlook/pictures"' in desk.reader.get(own).content.decode()
        page = pictures(desk, f"{own}/outlook")
        assert "the sheet that the newest bales were made by" in page
        assert f"{demo.conditions.moisture_frac:.0%} moisture".replace("%", " %") in page
        assert "No answer for these conditions" not in page
        for key in KEYS:
            assert f'id="card-{key}"' in page


def test_a_kept_sheet_is_taken_before_an_example(desk: Desk) -> None:
    """No bale names it yet, and the words say that it is only kept."""
    place = add("mossgrinder-m2")
    fields = {
        "machine": f"machine:{SERIAL}",
        "crop": "lucerne",
        "moisture": 51,
        "windrow": 3,
        "speed": 8,
        "slope": 2,
        "net_roll": 3000,
        "storage": 7,
        "bales": 90,
        "film_width": 750,
        "film_thickness": 25,
        "film_roll": 1500,
        "stretch": 70,
    }
    assert desk.post(desk.technician, "/sheet/keep", **fields).status_code == 302
    page = pictures(desk, place)
    assert "the newest sheet kept for this machine" in page
    assert "lucerne, 51 % moisture" in page


def test_pictures_follow_the_form_and_its_address_can_be_passed_on(desk: Desk) -> None:
    """A fatter bale at the same turns comes short, and opening the address shows the same."""
    place = add("mossgrinder-m2")
    enough = pictures(desk, place, crop="grass silage", diameter=1.25, wrap_turns=12)
    assert "6 layers or more on every spot of a bale 1.25 m across" in enough
    asked = {"crop": "grass silage", "diameter": 1.45, "wrap_turns": 12}
    short = pictures(desk, place, **asked)
    assert "of the round side of a bale 1.45 m across short of 6 layers" in short
    answer = desk.reader.get(f"{place}/pictures?{urlencode(asked)}", headers=LIVE)
    assert answer.headers["HX-Replace-Url"] == f"{place}?{urlencode(asked)}"
    whole = desk.reader.get(f"{place}?{urlencode(asked)}").content.decode()
    assert "1.45\N{NO-BREAK SPACE}m across short of 6 layers" in whole
    without_script = desk.reader.get(f"{place}/pictures?{urlencode(asked)}")
    assert "<!doctype html>" in without_script.content.decode()


@pytest.mark.parametrize("given", ["nan", "inf", "-inf", "-1", "0", "1e309", "abc", "1e9", "%00"])
@pytest.mark.parametrize("field", ["moisture", "diameter", "wrap_turns", "film_width"])
def test_no_value_breaks_the_page_and_a_wrong_one_is_told_beside_its_field(
    desk: Desk, field: str, given: str
) -> None:
    """The page stands, the word is beside the field, its group is open, nothing is drawn."""
    place = add("mossgrinder-m2")
    page = pictures(desk, place, **{field: given})
    assert beside(page, field) != ""
    assert beside(page, "windrow") == ""
    assert "<svg" not in page
    whole = desk.reader.get(f"{place}?{urlencode({field: given})}").content.decode()
    assert f'aria-describedby="id_{field}' in whole
    group = whole.rpartition(f'id="id_{field}"')[0].rpartition("<details")[2]
    assert group.startswith(' class="more" open')


def test_a_value_that_only_the_rules_refuse_is_told_beside_its_field(desk: Desk) -> None:
    """Film too wide for this machine, and hay too damp to be hay; odd names are passed over."""
    place = add("thistlewick-t1")
    assert "which fits this machine" in beside(pictures(desk, place, film_width=500), "film_width")
    damp = pictures(desk, place, crop="hay", moisture=60)
    assert "moisture from 0.03 to 0.4" in beside(damp, "moisture")
    assert beside(pictures(desk, place, crop="moss"), "crop") != ""
    assert "the conditions are made up" in pictures(desk, place, nonsense="<b>")


def test_unknown_stays_unknown(desk: Desk) -> None:
    """Without a roll's label there is no strip to count; hay gets no film, and both are said."""
    place = add("mossgrinder-m2")
    empty = dict.fromkeys(("film_width", "film_thickness", "film_roll", "stretch"), "")
    page = pictures(desk, place, crop="grass silage", **empty)
    assert "Unknown: no roll of film is named" in page
    assert "hay keeps by being dry" in pictures(desk, place, crop="hay", moisture=15)
