"""Words that mean harm, in every place a file or a form can bring them in: shown, never obeyed."""

from __future__ import annotations

import io
import json
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import pytest

from balewright.desk.addresses import SerialInAddress
from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from pathlib import Path

    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

HARM = "<img src=x onerror=alert({})>"
SERIAL = HARM.format(1)
ODD_SERIALS = ("A/7", "..", ".", "?x#y", "%2F", "%", "a b")


@pytest.fixture
def harmed(desk: Desk, tmp_path: Path) -> Desk:
    """A season whose serial, jobs, operators, crops, batches and file names are markup."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    workplace = the_workplace()
    make = next(iter(workplace.profiles))
    workplace.register.save_machine(MachineEntry(SERIAL, HARM.format(2), make, "Etc/UTC"))
    rows = [
        f"{serial},{at + 1},2031-06-14T09:{at:02d}:00Z,{HARM.format('B' if at > 12 else 'A')},"
        f"8.001,{(-38.0 if at < 7 else -37.99) + at / 2e4:.6f},{HARM.format(3)}\n"
        for serial in (SERIAL, *ODD_SERIALS)
        for at in range(17 if serial == SERIAL else 1)
    ]
    head = "machine,bale_no,tipped_at,job,lat,lon,operator\n"
    files = {
        "<b>june.csv": head + "".join(rows) + f"{SERIAL},<b>,{HARM.format(4)},,,,\n",
        "rolls.csv": "machine,bale,kind,item,value,batch\n"
        + "".join(f"{s},1,film roll changed,dispenser 1,1500,<b>K\n" for s in (SERIAL, "A/7")),
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text)
        assert take_in_file(workplace, tmp_path / name).state == "taken"
    ring = [[-37.9905, 8], [-37.9885, 8], [-37.9885, 8.002], [-37.9905, 8.002], [-37.9905, 8]]
    field = {
        "type": "Feature",
        "properties": {"field": HARM.format(5), "farm": "<b>", "customer": "<b>"},
        "geometry": {"type": "Polygon", "coordinates": [ring]},
    }
    send(desk, "/fields/add", "file", json.dumps(field).encode())
    return desk


def send(desk: Desk, url: str, field: str, content: bytes) -> Any:
    """Send a file with a harmful name."""
    file = io.BytesIO(content)
    file.name = "<b>harm.csv"
    return desk.technician.post(url, {field: file})


def check(answer: Any) -> str:
    """The page, which holds no markup of anybody else's."""
    page: str = answer.content.decode()
    assert answer.status_code < 500
    assert "<img src=x" not in page
    assert "<b>" not in page
    return page


def test_no_page_obeys_what_a_file_says(harmed: Desk) -> None:
    """Every page that shows words of files shows them as words, whatever serials it links to."""
    from balewright.desk.workplace import the_workplace

    own = f"/machines/{quote(SERIAL, safe='')}"
    key = the_workplace().journal.read_keyed_bales(SERIAL, ("bale_no",)).keys[0]
    pages = [
        *(own, f"{own}/counts", f"{own}/bales", f"{own}/bales/{key}", f"{own}/settings"),
        *(f"{own}/record", f"{own}/bales?number=%3Cb%3E&job=%3Cb%3E", "/", "/machines", "/book"),
        *("/misplaced", "/fields", "/rolls?batch=%3Cb%3EK", "/intake", "/senders", "/columns"),
        *("/prices", "/personal", "/health"),
        *(f"/intake/reports/{one.sha256}" for one in the_workplace().register.load_intakes()),
    ]
    seen = "".join(check(harmed.manager.get(page)) for page in pages)
    for number in (1, 2, "A", "B", 5):
        assert f"&lt;img src=x onerror=alert({number})&gt;" in seen, number
    put = f"{own}/bales/{key}/correct"
    for column, value, mark in (("job", "<b>", "a"), ("mass_kg", "<b>", "b"), ("<b>", "", "<b>")):
        check(harmed.post(harmed.technician, put, column=column, value=value, why="<b>", mark=mark))
    check(harmed.manager.get(f"{own}/bales/{key}", follow=True))
    for subject in (HARM.format(3), "<b>"):
        asked = {"kind": "operator", "subject": subject}
        check(harmed.post(harmed.manager, "/personal/held", **asked))
    check(harmed.post(harmed.manager, "/senders", machine=SERIAL, label="<b>"))
    check(harmed.manager.get("/senders"))


def test_no_page_of_causes_obeys_what_somebody_says(harmed: Desk) -> None:
    """Words, keys and numbers in an address, a case and its forms: shown as words, or told."""
    own, bad = f"/machines/{quote(SERIAL, safe='')}", "%3Cb%3E"
    asked = f"said={bad}&yes={bad}&no={bad}&read={bad}:1&look={bad}&put_right={bad}&language={bad}"
    numbers = "standing_bales=nan&rain_in_h=-1e999&there=nobody&read=roll_dented_1:inf"
    for page in (
        *(f"{own}/causes?{asked}", f"{own}/causes?{numbers}", f"{own}/causes?case={bad}"),
        *(f"/causes?profile={bad}", f"/causes/heard?profile={bad}&said={bad}"),
        *(f"/lessons?profile={bad}",),
        *(f"/network?q={bad}&profile={bad}", f"/network/{bad}", f"/cases?machine={bad}"),
        *(f"/cases/{bad}", f"{own}/causes?on={bad}&number={bad}"),
    ):  # fmt: skip
        check(harmed.manager.get(page))
    opening = {"machine": SERIAL, "complaint": HARM.format(8), "yes": "film_breaks_often"}
    made = harmed.post(harmed.technician, "/cases/open", **opening)
    key = made["Location"].partition("case=")[2].partition("#")[0]
    for deed, fields in (
        ("note", {"words": HARM.format(9)}),
        ("found", {"words": "<b>", "cause": ""}),
        ("found", {"words": "", "cause": "<b>"}),
        ("repaired", {"words": "<b>", "part1": "<b>", "count1": "1e999", "at_bale": "<b>"}),
        ("repaired", {"words": "<b>", "part1": "<b>", "instead": "<b>", "swapped": "on"}),
        ("answer", {"on": "roll_dented_1", "seen": "<b>"}),
        ("answer", {"on": "roll_dented_1", "number": "<b>", "query": "?<b>\r\nx: y"}),
        ("back", {"entry": "<b>"}),
        ("righted", {"cause": "<b>", "helped": "no"}),
        ("share", {"kind": "<b>", "days": "x", "note": "<b>"}),
        ("claim", {"words": "<b>"}),
        ("close", {"words": "<b>"}),
    ):
        check(harmed.post(harmed.technician, f"/cases/{key}/{deed}", **fields))
    seen = check(harmed.manager.get(f"/cases/{key}")) + check(harmed.manager.get("/cases"))
    for number in (8, 9):
        assert f"&lt;img src=x onerror=alert({number})&gt;" in seen, number
    check(harmed.manager.get(f"{own}/causes?case={key}"))


def test_tables_and_maps_are_no_markup_and_break_nothing(harmed: Desk) -> None:
    """Headings, cells, names and answers that no form of ours sends: a page or plain faults."""
    table = f"{HARM.format(7)};<b>No;Time<b>\nZ;1;14.06.2031 09:30\nZ;2;14.06.2031 09:31\n"
    held = send(harmed, "/columns", "table", table.encode()).headers["Location"]
    for query in ("", "?encoding=%3Cb%3E&sheet=%3Cb%3E&head_row=99", f"?head_row={'9' * 5000}"):
        check(harmed.technician.get(held + query))
    for more in ({"head_row": "900"}, {"zone": "<b>", "twice": "<b>"}, {"encoding": "zork"}):
        check(harmed.post(harmed.technician, f"{held}/preview", name="<b>", **more))
    check(harmed.post(harmed.technician, held, name="<b>", zone="<b>", do="take"))
    for content in (b'form = "<b>"', b"\xff\xfe[", b"x = " + b"[" * 5000, b" " * 4_000_001):
        assert send(harmed, "/columns/import", "map", content).status_code == 422
    for depth in (500, 900, 950, 990, 5000):
        nested = b'{"type":"Polygon","coordinates":' + b"[" * depth + b"]" * depth + b"}"
        assert send(harmed, "/fields/add", "file", nested).status_code == 422


@pytest.mark.parametrize("serial", [*ODD_SERIALS, SERIAL, "HAZE-1", "%2E", "%252F", "a%2Fb/c"])
def test_every_serial_has_an_address(desk: Desk, serial: str) -> None:
    """A serial comes back from its address as it is; plain ones stand in it as they are."""
    from urllib.parse import unquote

    from django.urls import resolve, reverse

    del desk  # Django is up
    address = reverse("bales", args=[serial])
    assert resolve(unquote(address)).kwargs == {"serial": serial}
    assert SerialInAddress().to_url("HAZE-1") == "HAZE-1"
