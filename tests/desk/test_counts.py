"""Counts, misplaced bales, drawn fields and batches at the desk: seen by all, some may tell."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from balewright.store.entries import JobEntry, MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

FAR = "%s,%s,2031-06-14T%02d:%02d:00Z,%s,%.6f,%.6f\n"


@pytest.fixture
def counted(desk: Desk, tmp_path: Path) -> Desk:
    """Machine C-1: 13 bales of job A, six of them in B's field, four of B; a reset; a batch."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    workplace = the_workplace()
    make = next(iter(workplace.profiles))
    workplace.register.save_machine(MachineEntry("C-1", "Cee", make, "Etc/UTC"))
    for job, field in (("A", "Long field"), ("B", "Round field")):
        workplace.register.save_job(JobEntry(job, None, None, field))
    rows = []
    for place in range(17):
        job, lon = ("B" if place > 12 else "A"), (-38.0 if place < 7 else -37.99)
        number = place + 1 if place > 9 else 500 + place
        rows.append(FAR % ("C-1", number, 9 + place // 6, place, job, 8.001, lon + place / 2e4))
    (tmp_path / "june.csv").write_text("machine,bale_no,tipped_at,job,lat,lon\n" + "".join(rows))
    (tmp_path / "rolls.csv").write_text(
        "machine,bale,kind,item,value,batch\nC-1,503,film roll changed,dispenser 1,1500,<K 7>\n"
    )
    for name in ("june.csv", "rolls.csv"):
        assert take_in_file(workplace, tmp_path / name).refused == 0
    return desk


def _fields(name: str = "Round field", west: float = -37.9905) -> bytes:
    east = west + 0.002
    ring = [[west, 8.0], [east, 8.0], [east, 8.002], [west, 8.002], [west, 8.0]]
    shape = {"type": "Polygon", "coordinates": [ring]}
    return json.dumps(
        {"type": "Feature", "properties": {"field": name}, "geometry": shape}
    ).encode()


def test_everybody_sees_and_technicians_tell(counted: Desk) -> None:
    """Readers see the pages without their forms and meet 403 behind them; no role sees nothing."""
    for page in ("/machines/C-1/counts", "/misplaced", "/fields", "/rolls?batch=x"):
        assert counted.without_role.get(page).status_code == 403
        seen = counted.reader.get(page)
        assert seen.status_code == 200
        assert b'<form method="post" action="/m' not in seen.content
        assert counted.technician.get(page).status_code == 200
    posts = (
        *("/machines/C-1/counts/swap", "/machines/C-1/counts/back/1"),
        *("/machines/C-1/counts/strike", "/misplaced/x/accept", "/misplaced/x/back"),
        *("/fields/add", "/fields/x/remove"),
    )
    for page in posts:
        assert counted.post(counted.reader, page).status_code == 403
    assert counted.reader.get("/machines/C-9/counts").status_code == 404
    assert counted.reader.get("/misplaced?machine=C-9").status_code == 404


def test_a_swap_is_told_and_taken_back(counted: Desk) -> None:
    """The suggested fall is told by its button: 509 + 17 bales; and back to at least 509."""
    page = counted.technician.get("/machines/C-1/counts").content.decode()
    assert "at least 509" in page
    assert "It was swapped between 509 and 11" in page
    told = {"last_no": 509, "first_no": 11}
    assert counted.post(counted.technician, "/machines/C-1/counts/swap", **told).status_code == 302
    page = counted.reader.get("/machines/C-1/counts").content.decode()
    assert "<dd>526</dd>" in page
    back = counted.technician.get("/machines/C-1/counts").content.decode()
    way = back.partition('action="/machines/C-1/counts/back/')[2].partition('"')[0]
    counted.post(counted.technician, f"/machines/C-1/counts/back/{way}")
    assert "at least 509" in counted.reader.get("/machines/C-1/counts").content.decode()
    wrong = {"last_no": 3, "first_no": 11}
    answer = counted.post(counted.technician, "/machines/C-1/counts/swap", **wrong)
    assert answer.status_code == 422
    assert "follow each other" in answer.content.decode()
    refused = counted.post(counted.technician, "/machines/C-1/counts/strike", number="509")
    assert refused.status_code == 302
    assert "leapt away" in counted.technician.get("/machines/C-1/counts").content.decode()


def test_fields_are_added_and_a_split_accepted(counted: Desk) -> None:
    """A bad file changes nothing and says where; a good one lets six bales be put under B."""
    from django.core.files.uploadedfile import SimpleUploadedFile

    bad = SimpleUploadedFile("bad.geojson", _fields()[:-3])
    answer = counted.technician.post("/fields/add", {"file": bad})
    assert answer.status_code == 422
    assert "needs JSON" in answer.content.decode()
    assert counted.technician.post("/fields/add", {}).status_code == 422
    good = SimpleUploadedFile("good.geojson", _fields())
    assert counted.technician.post("/fields/add", {"file": good}).status_code == 302
    assert "Round field" in counted.reader.get("/fields").content.decode()
    page = counted.technician.get("/misplaced?machine=C-1").content.decode()
    assert "6 bales of job A lie in field Round field" in page
    assert "<svg" in page
    key = page.partition('action="/misplaced/')[2].partition("/")[0]
    wrong = counted.post(counted.technician, f"/misplaced/{key}/accept", job="A")
    assert wrong.status_code == 422
    done = counted.post(counted.technician, f"/misplaced/{key}/accept", job="B", machine="C-1")
    assert done.headers["Location"] == "/misplaced?machine=C-1"
    page = counted.technician.get("/misplaced").content.decode()
    assert "Now under B: 6\xa0bales" in page
    assert "Now under B" in page
    back = page.partition('action="/misplaced/')[2].partition("/back")[0]
    assert counted.post(counted.technician, f"/misplaced/{back}/back").status_code == 302
    assert "6 bales of job A" in counted.technician.get("/misplaced").content.decode()
    lines = counted.technician.get("/fields").content.decode()
    way = lines.partition('action="/fields/')[2].partition("/remove")[0]
    counted.post(counted.technician, f"/fields/{way}/remove")
    assert "No field is drawn yet" in counted.reader.get("/fields").content.decode()


def test_a_batch_is_looked_up_and_its_words_are_escaped(counted: Desk) -> None:
    """14 bales from number 503 on; the batch's signs do not become tags."""
    page = counted.reader.get("/rolls?batch=%3Ck+7%3E&kind=film").content.decode()
    assert "14\xa0bales of 1\xa0machine</strong>" in page
    assert "<K 7>" not in counted.reader.get("/machines/C-1/counts").content.decode()
    assert counted.reader.get("/rolls?batch=").status_code == 422
    assert "No bale is known" in counted.reader.get("/rolls?batch=k9&kind=net").content.decode()


def test_batches_that_break_more_stand_below_with_their_bales_a_step_away(counted: Desk) -> None:
    """None yet, then one by the daily review: its rate, how many times as often, how sure; it
    leads to its bales, and its signs do not become tags."""
    from balewright.desk.workplace import the_workplace
    from balewright.findings.rolls_compared import RollUse, compare_rolls
    from balewright.flows.kept_batches import keep_batches

    assert "found no batch that breaks more" in counted.reader.get("/rolls").content.decode()
    uses = (RollUse("C-1 1", "<k 7>", 100, 20), RollUse("C-1 1", "good", 100, 1))
    keep_batches(the_workplace(), compare_rolls(uses))
    page = counted.reader.get("/rolls").content.decode()
    told = page[page.index("Batches that break more") :]
    assert 'href="/rolls?batch=%3Ck%207%3E">&lt;k 7&gt;</a>' in told
    assert "20.0 (12.2 to 30.9)" in told  # Garwood's interval for 20 in 100
    assert "20.0 times as often" in told
    assert "good" not in told
