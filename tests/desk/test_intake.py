"""Taking files in at the desk."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import pytest
from django.conf import settings

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

GOOD = b"""machine,bale_no,closed_at,status
Z-1,1,2031-06-01T10:00:00Z,ok
Z-1,2,2031-06-01T10:02:00Z,ok
Z-1,three,2031-06-01T10:04:00Z,ok
"""


def send(client: Any, *files: tuple[str, bytes]) -> Any:
    """Upload files by the form."""
    chosen = []
    for name, content in files:
        file = io.BytesIO(content)
        file.name = name
        chosen.append(file)
    return client.post("/intake", {"chosen": chosen})


def work() -> None:
    """What the worker does until nothing waits."""
    from django.core.management import call_command

    call_command("db_worker", batch=True, interval=0, startup_delay=False, verbosity=0)


def test_technician_and_manager_may_a_reader_may_not(desk: Desk) -> None:
    """Neither the page nor an upload is a reader's, nor a visitor's."""
    assert desk.manager.get("/intake").status_code == 200
    assert desk.technician.get("/intake").status_code == 200
    assert desk.reader.get("/intake").status_code == 403
    assert send(desk.reader, ("a.csv", GOOD)).status_code == 403
    assert send(desk.nobody, ("a.csv", GOOD)).status_code in (302, 403)
    assert not list((desk.home / "uploads").iterdir())


def test_a_file_waits_is_worked_on_and_gets_its_account(desk: Desk) -> None:
    """Two bales are kept, the third row is refused with its place and reason."""
    ticket = send(desk.technician, ("second cut.csv", GOOD)).headers["Location"]
    waiting = desk.technician.get(ticket).content.decode()
    assert "Waiting for its turn" in waiting
    assert "<progress" in waiting
    work()
    done = desk.technician.get(f"{ticket}/progress").content.decode()
    assert "Bales kept: 2. Refused: 1." in done
    assert "line 4" in done
    assert "three" in done
    assert "hx-get" not in done, "a finished account asks no more"
    assert "no machine of that serial is in the register" in done
    assert "second cut.csv" in desk.technician.get("/intake").content.decode()
    assert not list((desk.home / "uploads").iterdir())


def test_the_same_file_twice_changes_nothing(desk: Desk) -> None:
    """The second time it says so and shows the first account."""
    from balewright.desk.workplace import the_workplace

    for _ in range(2):
        ticket = send(desk.manager, ("a.csv", GOOD)).headers["Location"]
        work()
    assert "taken in before. Nothing changed" in desk.manager.get(ticket).content.decode()
    assert the_workplace().journal.read_bales("Z-1").rows == 2


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("junk.bin", bytes(range(256)) * 40),
        ("notes.txt", b"dear all, the bales are wet\n" * 20),
        ("cut-off.zip", b"PK\x03\x04" + b"\0" * 40),
    ],
)
def test_a_file_that_is_no_record_is_refused_whole(desk: Desk, name: str, content: bytes) -> None:
    """Nothing is kept, and the account says so without a trace."""
    ticket = send(desk.manager, (name, content)).headers["Location"]
    work()
    page = desk.manager.get(ticket).content.decode()
    assert "The file was refused. Nothing of it was kept." in page
    assert "Traceback" not in page


def test_several_files_are_queued_and_too_many_are_refused(desk: Desk) -> None:
    """Up to the limit they all wait; one more and the form says how many it takes."""
    assert send(desk.manager, ("a.csv", GOOD), ("b.csv", GOOD)).headers["Location"] == "/intake"
    page = desk.manager.get("/intake").content.decode()
    assert page.count("Waiting for its turn") == 2
    many = [(f"{place}.csv", GOOD) for place in range(settings.UPLOAD_FILES + 1)]
    assert send(desk.manager, *many).status_code == 400


def test_several_files_on_their_way_are_followed_on_the_page(desk: Desk) -> None:
    """The list asks for itself until all have arrived, then the ledger is shown anew."""
    send(desk.technician, ("one.csv", GOOD), ("two.csv", GOOD.replace(b"Z-1", b"Z-2")))
    page = desk.technician.get("/intake").content.decode()
    assert 'hx-get="/intake/recent"' in page
    waiting = desk.technician.get("/intake/recent")
    assert "HX-Refresh" not in waiting.headers
    work()
    arrived = desk.technician.get("/intake/recent")
    assert arrived.headers["HX-Refresh"] == "true"
    assert "hx-get" not in arrived.content.decode()
    assert desk.reader.get("/intake/recent").status_code == 403


def test_nothing_chosen_and_empty_files_are_said(desk: Desk) -> None:
    """The field says what it needs."""
    nothing = desk.manager.post("/intake", {})
    assert nothing.status_code == 422
    assert "Choose at least one file" in nothing.content.decode()
    assert "This file is empty" in send(desk.manager, ("a.csv", b"")).content.decode()


def test_a_file_past_the_limit_is_dropped_and_named(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page names the file and how to take it in all the same."""
    monkeypatch.setattr(settings, "UPLOAD_FILE_BYTES", 60)
    answer = send(desk.manager, ("large.csv", GOOD))
    assert answer.status_code == 422
    assert "large.csv is larger than the desk takes" in answer.content.decode()
    monkeypatch.setattr(settings, "UPLOAD_FILES", 1)
    far_too_much = send(desk.manager, ("larger.csv", GOOD * 10))
    assert far_too_much.status_code == 400


def test_a_name_that_climbs_stays_a_name(desk: Desk) -> None:
    """A path in the name of an upload leads nowhere."""
    ticket = send(desk.manager, ("../../etc/evil.csv", GOOD)).headers["Location"]
    work()
    page = desk.manager.get(ticket).content.decode()
    assert "<h1>evil.csv</h1>" in page


def test_an_unknown_ticket_is_not_there(desk: Desk) -> None:
    """Neither a made-up ticket nor nonsense."""
    for ticket in ("x", "3f0e7f6e-0000-4000-8000-000000000000"):
        assert desk.manager.get(f"/intake/{ticket}").status_code == 404


def test_work_left_by_a_killed_worker_is_done_again(desk: Desk) -> None:
    """A piece that was running when its worker died goes back into the queue and is kept once."""
    from django_tasks.base import TaskResultStatus
    from django_tasks_db.models import DBTaskResult

    from balewright.desk.worker import put_back_left_over
    from balewright.desk.workplace import the_workplace

    ticket = send(desk.manager, ("a.csv", GOOD)).headers["Location"]
    DBTaskResult.objects.update(status=TaskResultStatus.RUNNING)
    work()
    assert "<progress" in desk.manager.get(ticket).content.decode()
    assert put_back_left_over() == 1
    work()
    assert "Bales kept: 2." in desk.manager.get(ticket).content.decode()
    assert the_workplace().journal.read_bales("Z-1").rows == 2
