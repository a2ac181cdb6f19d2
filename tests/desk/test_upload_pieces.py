"""Files that come in pieces: resumed after a break, checked by their hash, stopped at any time."""

from __future__ import annotations

import base64
import hashlib
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from tests.desk.test_intake import send, work
from tests.readers.can.days import two_bales_day
from tests.readers.can.making import T0

if TYPE_CHECKING:
    from django.test import Client
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

CONTENT = b"machine,bale_no,closed_at\n" + b"".join(
    b"Z-1,%d,2031-06-01T10:%02d:00Z\n" % (number, number) for number in range(1, 60)
)


def begin(client: Client, content: bytes = CONTENT, name: str = "june.csv", **more: str) -> Any:
    """Say that a file will come."""
    first = hashlib.sha256(content[:65536]).hexdigest()
    return client.post(
        "/intake/uploads", {"name": name, "size": len(content), "first": first, **more}
    )


def piece(
    client: Client, place: str, content: bytes, offset: int, whole: bytes | None = None
) -> Any:
    """Send a piece; whole: the whole content where it is the last one."""
    headers = {"upload-offset": str(offset)}
    if whole is not None:
        digest = base64.b64encode(hashlib.sha256(whole).digest()).decode()
        headers |= {"upload-complete": "?1", "repr-digest": f"sha-256=:{digest}:"}
    kind = "application/octet-stream"
    return client.patch(place, content, content_type=kind, headers=headers)


def test_a_file_goes_on_where_it_broke_off(desk: Desk) -> None:
    """A piece, a new sign-in, the same file once more: the desk says how far it was, the rest is
    sent, and the content is taken in as if nothing had happened.
    """
    begun = begin(desk.technician)
    place = begun.headers["Location"]
    assert (begun.status_code, begun.json()["offset"]) == (201, 0)
    assert piece(desk.technician, place, CONTENT[:700], 0).headers["Upload-Offset"] == "700"
    page = desk.technician.get("/intake").content.decode()
    assert "Broken off on the way" in page
    assert f"{100 * 700 // len(CONTENT)} % has come" in page
    again = begin(desk.technician)
    assert (again.headers["Location"], again.json()["offset"]) == (place, 700)
    assert desk.technician.head(place).headers["Upload-Offset"] == "700"
    done = piece(desk.technician, place, CONTENT[700:], 700, CONTENT)
    assert done.status_code == 201
    assert begin(desk.technician).json()["address"] == done.json()["address"], "it waits already"
    work()
    assert "Bales kept: 59." in desk.technician.get(done.json()["address"]).content.decode()
    assert list((desk.home / "uploads").iterdir()) == []


def test_a_piece_in_the_wrong_place_is_told_the_right_one(desk: Desk) -> None:
    """Neither a gap nor a piece sent twice gets into the file."""
    place = begin(desk.technician).headers["Location"]
    assert piece(desk.technician, place, CONTENT[9:20], 9).status_code == 409
    piece(desk.technician, place, CONTENT[:20], 0)
    twice = piece(desk.technician, place, CONTENT[:20], 0)
    assert (twice.status_code, twice.headers["Upload-Offset"]) == (409, "20")
    for offset in ("", "-1", "x", "9" * 20):
        answer = desk.technician.patch(place, b"x", headers={"upload-offset": offset})
        assert answer.status_code == 422
    early = piece(desk.technician, place, CONTENT[20:30], 20, CONTENT)
    assert (early.status_code, early.headers["Upload-Offset"]) == (409, "30")


def test_a_byte_that_changed_on_the_way_is_found(desk: Desk) -> None:
    """The hash of the whole decides: nothing is queued, the upload begins anew, and it is said."""
    place = begin(desk.technician).headers["Location"]
    hurt = CONTENT.replace(b"Z-1,7,", b"Z-1,8,")
    answer = piece(desk.technician, place, hurt, 0, CONTENT)
    assert answer.status_code == 422
    assert "damaged on its way" in answer.json()["faults"][0]["cure"]
    assert begin(desk.technician).json()["offset"] == 0
    too_much = piece(desk.technician, place, CONTENT + b"more", 0)
    assert too_much.status_code == 422


def test_only_who_may_and_only_their_own(desk: Desk) -> None:
    """Readers and visitors begin nothing; a colleague cannot see, send to or end an upload; its
    work is stopped by who sent it, or by a manager.
    """
    assert begin(desk.reader).status_code == 403
    assert begin(desk.nobody).status_code == 302
    place = begin(desk.technician).headers["Location"]
    assert desk.manager.head(place).status_code == 404
    assert piece(desk.manager, place, CONTENT, 0, CONTENT).status_code == 404
    assert desk.manager.delete(place).status_code == 404
    assert desk.manager.post(f"{place}/forget").status_code == 404
    assert begin(desk.manager).headers["Location"] != place
    ticket = send(desk.manager, ("june.csv", CONTENT)).headers["Location"]
    assert "/stop" not in desk.technician.get(ticket).content.decode()
    assert desk.technician.post(f"{ticket}/stop").status_code == 403
    ticket = send(desk.technician, ("june.csv", CONTENT)).headers["Location"]
    assert "/stop" in desk.manager.get(ticket).content.decode()
    assert desk.manager.post(f"{ticket}/stop").status_code == 302


def test_a_piece_needs_the_token_of_a_form_of_the_desk(desk: Desk) -> None:
    """A page elsewhere can neither begin an upload nor send or stop one."""
    from django.test import Client

    begun = begin(desk.technician)
    strict = Client(enforce_csrf_checks=True, headers={"host": "localhost"})
    strict.cookies = desk.technician.cookies
    assert begin(strict).status_code == 403
    place = begun.headers["Location"]
    assert piece(strict, place, CONTENT, 0).status_code == 403
    assert strict.delete(place).status_code == 403


def test_stopped_while_it_comes_waits_or_is_worked_on(desk: Desk) -> None:
    """At each stage nothing of it is kept, and the page says so; the same file may come again."""
    from balewright.desk.intake import tasks
    from balewright.desk.workplace import the_workplace

    place = begin(desk.technician).headers["Location"]
    piece(desk.technician, place, CONTENT[:700], 0)
    assert desk.technician.delete(place).status_code == 204
    assert list((desk.home / "uploads").iterdir()) == []

    ticket = send(desk.technician, ("june.csv", CONTENT)).headers["Location"]
    desk.technician.post(f"{ticket}/stop")
    assert "Stopped. Nothing of it was kept." in desk.technician.get(ticket).content.decode()
    work()
    assert "Stopped. Nothing of it was kept." in desk.technician.get(ticket).content.decode()

    ticket = send(desk.technician, ("june.csv", CONTENT)).headers["Location"]
    seen: list[str] = []
    said = tasks.TellPage.__call__

    def stop_while_reading(self: Any, stage: str, done: int, total: int | None) -> None:
        if stage == "reading" and not seen:
            seen.append(desk.technician.get(f"{ticket}/state").json()["state"])
            desk.technician.post(f"{ticket}/stop")
        said(self, stage, done, total)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tasks.TellPage, "__call__", stop_while_reading)
        work()
    assert seen == ["running"]
    assert desk.technician.get(f"{ticket}/state").json()["state"] == "stopped"
    assert the_workplace().journal.read_bales("Z-1").rows == 0
    assert list((desk.home / "uploads").iterdir()) == []
    last = send(desk.technician, ("june.csv", CONTENT)).headers["Location"]
    work()
    assert desk.technician.get(f"{last}/state").json()["state"] == "taken"


def test_what_nobody_goes_on_with_is_thrown_away(desk: Desk) -> None:
    """Three days after the last piece; one of today stays, and what waits for the worker too."""
    from dataclasses import replace

    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_pieces import KEPT_DAYS, sweep_uploads

    place = begin(desk.technician).headers["Location"]
    piece(desk.technician, place, CONTENT[:700], 0)
    send(desk.technician, ("waits.csv", CONTENT))
    workplace = the_workplace()
    assert sweep_uploads(workplace) == ()
    later = workplace.clock() + timedelta(days=KEPT_DAYS, hours=1)
    assert sweep_uploads(replace(workplace, clock=lambda: later)) == ("june.csv",)
    assert desk.technician.head(place).status_code == 404
    work()
    assert workplace.journal.read_bales("Z-1").rows == 59


def test_a_full_disk_is_said_before_the_first_byte(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file for which there is no room is not begun; neither is one that is too large or empty."""
    from balewright.flows import take_in_pieces

    assert begin(desk.technician, b"").status_code == 422
    monkeypatch.setattr(take_in_pieces, "SPARE_BYTES", 1 << 60)
    answer = begin(desk.technician)
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["place"] == "disk"


def test_the_report_of_the_ledger_and_its_json(desk: Desk) -> None:
    """The ledger leads to each report; as JSON it is the object of `take-in --json`."""
    ticket = send(desk.technician, ("june.csv", CONTENT + b"Z-1,x,\nZ-1,y,\n")).headers["Location"]
    work()
    page = desk.technician.get(ticket).content.decode()
    assert "2" + "\N{NO-BREAK SPACE}" + "times" in page
    sha256 = hashlib.sha256(CONTENT + b"Z-1,x,\nZ-1,y,\n").hexdigest()
    assert f"/intake/reports/{sha256}" in desk.technician.get("/intake").content.decode()
    report = desk.technician.get(f"/intake/reports/{sha256}/report.json")
    assert report.headers["Content-Disposition"].startswith("attachment")
    assert report.json()["notes"]["machines"][0]["new"] == 59
    assert report.json()["notes"]["refusals"][0]["count"] == 2
    assert "1–59" in desk.technician.get(f"/intake/reports/{sha256}").content.decode()
    assert desk.technician.get("/intake/reports/none").status_code == 404
    assert desk.reader.get(f"/intake/reports/{sha256}/report.json").status_code == 403


def test_the_machine_may_be_said_with_the_file(desk: Desk, tmp_path: Path) -> None:
    """By the plain form and in pieces: rows that name no machine are of the one that was chosen."""
    from balewright.desk.workplace import the_workplace
    from balewright.store.entries import MachineEntry

    the_workplace().register.save_machine(MachineEntry("Z-9", "Nine", "mossgrinder-m2"))
    content = b"bale_no,closed_at\n1,2031-06-01T10:00:00Z\n"
    place = begin(desk.technician, content, machine="Z-9").headers["Location"]
    piece(desk.technician, place, content, 0, content)
    work()
    assert the_workplace().journal.read_bales("Z-9").rows == 1
    the_workplace().register.save_machine(MachineEntry("Z-8", "Eight", "mossgrinder-m2"))
    place = begin(desk.technician, content, machine="Z-8").headers["Location"]
    again = piece(desk.technician, place, content, 0, content)
    work()
    page = desk.technician.get(again.json()["address"]).content.decode()
    assert "Not read again for Z-8: its bales stay under Z-9." in page


def test_when_a_recording_began_may_be_said_with_the_file(desk: Desk, tmp_path: Path) -> None:
    """A trace that counts from its start: by the plain form and in pieces, by the machine's own
    clock, two hours ahead; what is no time is told at the field and to the program."""
    from balewright.desk.workplace import the_workplace
    from balewright.store.entries import MachineEntry

    the_workplace().register.save_machine(
        MachineEntry("Z-9", "Nine", "mossgrinder-m2", "Etc/GMT-2")
    )
    dated = two_bales_day().write(tmp_path).read_text()
    undated = re.sub(r"\((\d+)(\.\d+)\)", lambda at: f"({int(at[1]) - int(T0)}{at[2]})", dated)
    said = {"machine": "Z-9", "begins": "2031-06-14T09:30"}
    content = undated.encode()
    wrong = begin(desk.technician, content, "bus.log", **{**said, "begins": "today"})
    assert (wrong.status_code, wrong.json()["faults"][0]["place"]) == (422, "begin")
    place = begin(desk.technician, content, "bus.log", **said).headers["Location"]
    piece(desk.technician, place, content, 0, content)
    work()
    bales = the_workplace().journal.read_bales("Z-9")
    assert bales.rows == 2
    begun = round(datetime(2031, 6, 14, 7, 30, tzinfo=UTC).timestamp() * 1e6)
    assert 0 < int(bales.column("gate_open_at").min()) - begun < 200_000_000
    other = SimpleUploadedFile("bus.log", content + b"# again\n")
    refused = desk.technician.post("/intake", {"chosen": other, **said, "begins": "noon"})
    assert refused.status_code == 422
    assert "needs a day and a time" in refused.content.decode()
    other.seek(0)
    desk.technician.post("/intake", {"chosen": other, **said, "begins": "2031-06-15T07:30Z"})
    work()
    assert the_workplace().journal.read_bales("Z-9").rows == 4


def test_what_failed_by_a_fault_of_ours_may_be_sent_again(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same file begins anew and goes in; before, it passed for one that still waits. A word of
    progress that finds no room on the disk stops nothing."""

    def fails(*_: object) -> None:
        raise ZeroDivisionError

    def is_full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    place = begin(desk.technician).headers["Location"]
    with monkeypatch.context() as broken:
        broken.setattr("balewright.desk.intake.tasks.take_in_then_review", fails)
        piece(desk.technician, place, CONTENT, 0, CONTENT)
        work()
    again = begin(desk.technician)
    assert again.json()["offset"] == 0
    monkeypatch.setattr("balewright.desk.intake.tasks.cache.set", is_full)
    done = piece(desk.technician, again.headers["Location"], CONTENT, 0, CONTENT)
    work()
    assert "Bales kept: 59." in desk.technician.get(done.json()["address"]).content.decode()


def test_a_worker_killed_on_a_file_that_was_to_stop_still_stops_it(desk: Desk) -> None:
    """Work in hand, a stop asked for, and the worker dies before it hears: its next start puts the
    work back, and that ends it: nothing is kept, and the same file may come again."""
    from django_tasks import TaskResultStatus
    from django_tasks_db.models import DBTaskResult

    from balewright.desk.worker import put_back_left_over
    from balewright.desk.workplace import the_workplace

    ticket = send(desk.technician, ("june.csv", CONTENT)).headers["Location"]
    DBTaskResult.objects.update(status=TaskResultStatus.RUNNING)
    desk.technician.post(f"{ticket}/stop")
    assert put_back_left_over() == 1
    work()
    assert desk.technician.get(f"{ticket}/state").json()["state"] == "stopped"
    assert the_workplace().journal.read_bales("Z-1").rows == 0
    assert list((desk.home / "uploads").iterdir()) == []
    last = send(desk.technician, ("june.csv", CONTENT)).headers["Location"]
    work()
    assert desk.technician.get(f"{last}/state").json()["state"] == "taken"


def test_an_end_that_could_not_be_noted_is_noted_by_the_next_worker(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk is full when the work ends: the upload passes for one at work, until a worker
    starts and sees that nobody works on it; one that really waits stays."""
    from balewright.desk.worker import end_lost_uploads
    from balewright.desk.workplace import the_workplace
    from balewright.quantities.errors import BadInput, Fault

    def is_full(*_: object) -> None:
        raise BadInput(Fault("register", "a register that can be written", "full", "Free space."))

    piece(desk.technician, begin(desk.technician).headers["Location"], CONTENT, 0, CONTENT)
    with monkeypatch.context() as broken:
        broken.setattr(type(the_workplace().register), "end_upload", is_full)
        work()
    send(desk.technician, ("waits.csv", CONTENT + b"Z-1,99,2031-06-01T12:00:00Z\n"))
    assert begin(desk.technician).json()["offset"] == len(CONTENT)
    assert end_lost_uploads() == 1
    assert end_lost_uploads() == 0
    assert begin(desk.technician).json()["offset"] == 0
