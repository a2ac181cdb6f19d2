"""A machine's bales and one of them: where its values come from, and putting them right."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from pathlib import Path

    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

HEAD = "machine,bale_no,tipped_at,job,mass_kg,status\n"
BALES = "/machines/K-77/bales"
FIRST = f"{BALES}/1-20310601T223000Z"


@pytest.fixture
def taken(desk: Desk, tmp_path: Path) -> None:
    """Sixty bales from 22:30 UTC on, two hours ahead by the machine's clock; one weighed again."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    workplace = the_workplace()
    profile = next(iter(workplace.profiles))
    workplace.register.save_machine(MachineEntry("K-77", "Seventy-seven", profile, "Etc/GMT-2"))
    rows = [
        f"K-77,{n},2031-06-01T{22 + (30 + n - 1) // 60}:{(30 + n - 1) % 60:02d}:00Z,"
        f"{'Low' if n % 2 else 'High'} field,600,ok\n"
        for n in range(1, 61)
    ]
    for name, text in (("day.csv", rows), ("scale.csv", [rows[0].replace("600,ok", "640,")])):
        path = tmp_path / name
        path.write_text(HEAD + "".join(text))
        assert take_in_file(workplace, path).state == "taken"


def _text(page: bytes) -> str:
    return " ".join(re.sub("<[^>]*>", " ", page.decode()).replace("\xa0", " ").split())


@pytest.mark.usefixtures("taken")
def test_bales_are_listed_and_searched(desk: Desk) -> None:
    """Fifty a page, the newest first; by number, by day of the machine's clock, by job."""
    first = _text(desk.reader.get(BALES).content)
    assert "bales: 60" in first
    assert first.index("2031-06-02 01:29") < first.index("2031-06-02 01:28")
    assert "Page 1 of 2" in first
    second = _text(desk.reader.get(f"{BALES}?page=2").content)
    assert "Files 2 differ" in second
    for query, count in (("number=7", 1), ("day=2031-06-02", 60), ("day=2031-06-01", 0),
                         ("job=Low+field", 30)):  # fmt: skip
        assert f"bales: {count} " in _text(desk.reader.get(f"{BALES}?{query}").content), query
    assert desk.reader.get(f"{BALES}?number=x").status_code == 422
    assert desk.reader.get("/machines/K-78/bales").status_code == 404
    assert f'href="{BALES}"' in desk.reader.get("/machines/K-77").content.decode()


@pytest.mark.usefixtures("taken")
def test_a_bale_is_traced_put_right_and_taken_back(desk: Desk) -> None:
    """Both files' lines and values stand there; a technician corrects, a reader only reads; what
    is wrong is told beside its field; a bale whose number was corrected is found by both keys.
    """
    page = _text(desk.reader.get(FIRST).content)
    assert "[1] day.csv · line 2" in page
    assert "[2] scale.csv · line 2" in page
    assert "Bale mass 600 kg [1] differ 640 kg [2]" in page
    assert "Put a value right" not in page
    asked = {"column": "mass_kg", "value": "655", "why": "ticket 118", "mark": "m1"}
    assert desk.post(desk.reader, f"{FIRST}/correct", **asked).status_code == 403
    wrong = desk.post(desk.technician, f"{FIRST}/correct", **{**asked, "value": "9000"})
    assert wrong.status_code == 422
    assert "needs a number from 20 to 3000" in _text(wrong.content)
    assert desk.post(desk.technician, f"{FIRST}/correct", **asked).status_code == 302
    page = _text(desk.technician.get(FIRST).content)
    assert "Bale mass 655 kg corrected 600 kg [1] , 640 kg [2]" in page
    assert "ticket 118" in page
    assert "tove" in page

    number = {**asked, "column": "bale_no", "value": "1001", "mark": "m2"}
    moved = desk.post(desk.technician, f"{FIRST}/correct", **number)
    assert moved["Location"] == f"{BALES}/1001-20310601T223000Z"
    assert desk.reader.get(FIRST)["Location"] == moved["Location"]
    back = f"{moved['Location']}/back"
    for key in ("m1", "m2"):
        given = {"correction": key, "why": "other ticket"}
        assert desk.post(desk.technician, back, **given).status_code == 302
    page = _text(desk.reader.get(FIRST).content)
    assert "Bale mass 600 kg [1] differ 640 kg [2]" in page
    assert page.count("Taken back: other ticket") == 2
    assert desk.post(desk.technician, f"{FIRST}/back", correction="m9").status_code == 404
    assert desk.reader.get(f"{BALES}/99").status_code == 404
