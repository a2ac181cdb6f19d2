"""What was really set, and the settings kept, as the desk shows them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from pathlib import Path

    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

HEADER = "machine,bale_no,tipped_at,wrap_turns,binding,chamber_bar\n"


@pytest.fixture
def machine(desk: Desk, tmp_path: Path) -> str:
    """Path of a machine's page: three bales on 2 June by its own clock, then one a day later."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    workplace = the_workplace()
    wraps = next(key for key, made in workplace.profiles.items() if made.wrapper)
    workplace.register.save_machine(MachineEntry("K-77", "Seventy-seven", wraps, "Etc/GMT-2"))
    workplace.register.save_machine(MachineEntry("K-78", "Other", wraps))
    records = tmp_path / "bales.csv"
    records.write_text(
        HEADER + "K-77,1,2031-06-01T22:30:00Z,12,net,100\n"
        "K-77,2,2031-06-01T22:32:00Z,14,net,110\n"
        "K-77,3,2031-06-01T22:34:00Z,14,net,120\n"
        "K-77,4,2031-06-02T22:30:00Z,16,net,130\n"
    )
    assert take_in_file(workplace, records).kept == 4
    return "/machines/K-77"


def row(page: str, label: str) -> str:
    """The text of one setting's row."""
    found = re.search(rf'<th scope="row">{label}</th>(.*?)</tr>', page, re.DOTALL)
    assert found is not None, label
    return " ".join(re.sub("<[^>]*>", " ", found[1]).replace("\xa0", " ").split())


def test_everybody_with_a_role_sees_what_was_set(desk: Desk, machine: str) -> None:
    """Reading is for all roles, from a link on the machine's page; nobody else gets in."""
    for client in (desk.manager, desk.technician, desk.reader):
        assert client.get(f"{machine}/record").status_code == 200
        assert client.get(f"{machine}/settings").status_code == 200
        page = client.get(machine).content.decode()
        assert f'href="{machine}/record"' in page
        assert f'href="{machine}/settings"' in page
    for way in ("record", "settings"):
        assert desk.without_role.get(f"{machine}/{way}").status_code == 403
        assert desk.nobody.get(f"{machine}/{way}").status_code == 302
        assert desk.reader.get(f"/machines/NO/{way}").status_code == 404


def test_the_newest_day_stands_there_at_once(desk: Desk, machine: str) -> None:
    """Days of the machine's own clock with their bales; what no record tells is said so."""
    page = desk.reader.get(f"{machine}/record").content.decode()
    assert "<h2>2031-06-03</h2>" in page
    assert row(page, "Wrap turns").startswith("16")
    assert row(page, "Knives in").startswith("not recorded")
    for day, bales in (("2031-06-03", 1), ("2031-06-02", 3)):
        assert f'href="?day={day}"' in page
        assert f"{bales} bales" in page


def test_a_day_or_numbers_can_be_asked_for(desk: Desk, machine: str) -> None:
    """Turns were raised after the first bale; from bale 2 on they are one value."""
    page = desk.reader.get(f"{machine}/record?day=2031-06-02").content.decode()
    assert row(page, "Wrap turns").startswith("14 12 from bale 1; 14 from bale 2")
    assert row(page, "Density pressure").startswith("110 bar 8 of 10 bales 102 bar to 118 bar")
    later = desk.reader.get(f"{machine}/record?first=2&last=3").content.decode()
    assert "Bales 2 to 3" in later
    assert row(later, "Wrap turns").startswith("14 On the sheet")
    assert row(later, "Binding").startswith("net")
    none = desk.reader.get(f"{machine}/record?day=2031-07-01").content.decode()
    assert "No bales are recorded there" in none
    assert "no bales in the journal" in desk.reader.get("/machines/K-78/record").content.decode()


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("day=yesterday", "Enter a valid date"),
        ("first=5", "Give both numbers, or a day"),
        ("first=5&last=2", "The lower number comes first"),
        ("first=-1&last=2", "greater than or equal to 0"),
    ],
)
def test_what_cannot_be_asked_is_told_beside_its_field(
    desk: Desk, machine: str, query: str, said: str
) -> None:
    """The form comes back with its reason, and nothing is shown that was not asked for."""
    answer = desk.reader.get(f"{machine}/record?{query}")
    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_settings_are_kept_by_those_who_answer_for_them(desk: Desk, machine: str) -> None:
    """Technicians and managers keep; a reader sees what was kept and is offered no form."""
    way = f"{machine}/settings/keep"
    assert desk.post(desk.reader, way, listed="a;1").status_code == 403
    assert desk.post(desk.technician, way, listed="a;1").status_code == 302
    assert desk.technician.get(way).status_code == 405
    page = desk.reader.get(f"{machine}/settings").content.decode()
    assert "1 settings" in page
    assert "tove" in page
    assert "Keep them" not in page
    assert "Keep them" in desk.manager.get(f"{machine}/settings").content.decode()


def test_after_an_update_the_page_tells_what_to_enter_again(desk: Desk, machine: str) -> None:
    """Keeping the second list leads to what moved since the first, old value first."""
    way = f"{machine}/settings/keep"
    desk.post(desk.technician, way, listed="wrap_turns;16\nPulses;480\nNet;2,5", note="before")
    answer = desk.post(desk.technician, way, listed="Wrap turns;12\nNet;2.50\n<b>new</b>;1")
    page = desk.technician.get(answer["Location"]).content.decode()
    assert "Enter again" in page
    assert row(page, "Wrap turns") == "16 12"
    assert row(page, "Pulses") == "480 not there"
    assert "The same: 1." in page
    assert "&lt;b&gt;new&lt;/b&gt; 1" in page
    assert "<b>new" not in page
    other = "/machines/K-78/settings" + answer["Location"].partition("settings")[2]
    assert "Enter again" not in desk.technician.get(other).content.decode()


def test_a_sheet_can_be_kept_as_settings(desk: Desk, machine: str) -> None:
    """What a kept sheet wants is a list like any other, its lines in the sheet's words."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.make_sheet import SheetRequest, keep_sheet, make_sheet
    from balewright.plan.crop import Crop
    from balewright.plan.sheet.sheet import Conditions

    conditions = Conditions(Crop.HAYLAGE, 0.45, 3.0, 2.5, 0.02, False, False, None, 2000.0, 8.0, 50)
    workplace = the_workplace()
    sheet = make_sheet(workplace, SheetRequest(conditions, serial="K-77"))
    sheet_id = keep_sheet(workplace, sheet)
    answer = desk.post(desk.technician, f"{machine}/settings/keep", sheet=sheet_id)
    assert answer.status_code == 302
    page = desk.reader.get(f"{machine}/settings").content.decode()
    assert sheet_id in page
    assert "<dt>Binding turns</dt>" in page


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, "Give a list or pick a sheet"),
        ({"listed": "wrap turns 16"}, "with the same sign between"),
        ({"listed": "a;1\nA;2"}, "each name once"),
        ({"listed": "a;1", "note": "x" * 121}, "at most 120 characters"),
        ({"sheet": "S-none"}, "Select a valid choice"),
    ],
)
def test_a_list_that_cannot_be_kept_comes_back_with_its_reason(
    desk: Desk, machine: str, fields: dict[str, str], said: str
) -> None:
    """Beside the field, with what was typed still in it; nothing is kept."""
    answer = desk.post(desk.technician, f"{machine}/settings/keep", **fields)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    assert fields.get("listed", "").partition("\n")[0] in page
    assert "No settings of this machine were kept yet" in page
