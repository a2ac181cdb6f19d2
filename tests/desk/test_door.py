"""Devices that hand their records over by HTTP, each by a token of its own."""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from tests.desk.test_intake import send, work

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

HEAD = b"machine,bale_no,counter_epoch,closed_at\n"
CSV = HEAD + b"Z-1,1,0,2031-06-01T10:00:00Z\nZ-1,2,0,2031-06-01T10:02:00Z\n"


class Device:
    """What a machine's box does: no cookies, a token, an address."""

    def __init__(self, machine: str = "Z-1") -> None:
        from balewright.desk.workplace import the_workplace
        from balewright.flows.senders import make_sender

        self.made = make_sender(the_workplace(), machine, f"box of {machine}", "mara")
        self.address = f"/in/{self.made.entry.key}"
        self.client = Client(enforce_csrf_checks=True, headers={"host": "localhost"})

    def post(
        self, body: bytes = CSV, key: str = "batch-1", kind: str = "text/csv", **headers: str
    ) -> Any:
        """Hand a batch over."""
        given = {"authorization": f"Bearer {self.made.token}", "idempotency-key": key} | {
            name.replace("_", "-"): value for name, value in headers.items()
        }
        return self.client.post(self.address, body, content_type=kind, headers=given)

    def get(self, address: str) -> Any:
        """Ask what became of it."""
        return self.client.get(address, headers={"authorization": f"Bearer {self.made.token}"})


def bales_of(machine: str = "Z-1") -> int:
    """How many bales of a machine the journal has."""
    from balewright.desk.workplace import the_workplace

    return the_workplace().journal.read_bales(machine).rows


@pytest.fixture(autouse=True)
def nobody_came_yet(desk_ready: Path) -> None:
    """No request counts yet, and nothing waits."""
    from django.core.cache import caches

    caches["limits"].clear()
    shutil.rmtree(desk_ready / "deliveries", ignore_errors=True)


def test_a_batch_is_accepted_taken_in_and_told(desk: Desk) -> None:
    """The answer comes at once; its address tells what became of it, with the intake report; and
    no cookie was set.
    """
    device = Device()
    answer = device.post()
    assert (answer.status_code, answer.json()["state"]) == (202, "waiting")
    assert answer.json()["sha256"] == hashlib.sha256(CSV).hexdigest()
    assert device.get(answer.headers["Location"]).json()["report"] is None
    work()
    told = device.get(answer.headers["Location"])
    assert (told.status_code, told.json()["state"]) == (200, "taken")
    assert told.json()["report"]["notes"]["machines"][0]["new"] == 2
    assert bales_of() == 2
    assert not answer.cookies
    assert not told.cookies
    assert list((desk.home / "deliveries").glob("*")) == []


def test_the_same_key_is_the_same_delivery(desk: Desk) -> None:
    """Sent again it has no second effect; another body under that key is refused, as the IETF's
    draft of the header has it; another sender may use the same key.
    """
    device = Device()
    first = device.post()
    assert device.post().json() == first.json()
    other = device.post(HEAD + b"Z-1,3,0,2031-06-01T10:04:00Z\n")
    assert other.status_code == 422
    assert other.json()["faults"][0]["place"] == "Idempotency-Key"
    work()
    again = device.post()
    assert (again.status_code, again.json()["state"]) == (202, "taken")
    assert again.headers["Location"] == first.headers["Location"]
    under_another = device.post(key="batch-2")
    work()
    assert device.get(under_another.headers["Location"]).json()["state"] == "already taken"
    assert bales_of() == 2
    assert Device("Z-2").post(HEAD + b"Z-2,1,0,2031-06-01T10:00:00Z\n").status_code == 202


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("application/gzip", gzip.compress(CSV)),
        ("application/jsonl", b'{"bale_no": 1}\n{"bale_no": 2, "machine": "Z-1"}\n'),
        ("application/x-ndjson", b'{"bale_no": 1}\n{"bale_no": 2}\n'),
        ("text/csv; charset=utf-8", CSV),
    ],
)
def test_each_form_is_read_by_its_content_type(desk: Desk, kind: str, body: bytes) -> None:
    """CSV, packed, and JSON lines; rows that name no machine are of the sender's own."""
    assert Device().post(body, kind=kind).status_code == 202
    work()
    assert bales_of() == 2


def test_a_sender_speaks_of_its_own_machine_alone(desk: Desk) -> None:
    """Rows of another machine are refused by line and said; its own are kept."""
    device = Device()
    answer = device.post(CSV + b"Z-2,7,0,2031-06-01T10:02:00Z\n")
    work()
    report = device.get(answer.headers["Location"]).json()["report"]
    assert (report["kept"], report["refused"]) == (2, 1)
    assert report["refusals"][0]["place"] == "line 4"
    assert "speaks of no other" in report["refusals"][0]["reason"]
    assert bales_of("Z-2") == 0


def test_who_has_no_good_token_gets_nothing(desk: Desk) -> None:
    """No token, a wrong one, another sender's, a withdrawn one, or a person's own sign-in: 401
    alike; after thirty tries in a minute an address has to wait; nothing is kept.
    """
    from balewright.desk.workplace import the_workplace

    device, other = Device(), Device("Z-2")
    own = device.made.token
    for header in ("", "Bearer", "Bearer wrong", f"Basic {own}", f"Bearer {other.made.token}"):
        answer = device.post(authorization=header)
        assert answer.status_code == 401
        assert answer.headers["WWW-Authenticate"].startswith("Bearer")
    assert desk.manager.post(device.address, CSV, content_type="text/csv").status_code == 401
    taken = device.post()
    assert other.get(taken.headers["Location"]).status_code == 401
    assert other.get(f"{other.address}/{taken.json()['id']}").status_code == 404
    desk.manager.post(f"/senders/{device.made.entry.key}/withdraw")
    assert device.post(key="late").status_code == 401
    statuses = {device.post(authorization="Bearer wrong").status_code for _ in range(31)}
    assert statuses == {401, 429}
    assert len(the_workplace().register.load_deliveries(device.made.entry.key, 9)) == 1


@pytest.mark.parametrize(
    ("change", "status"),
    [
        ({"key": ""}, 400),
        ({"key": "k" * 101}, 400),
        ({"kind": "text/html"}, 415),
        ({"content_encoding": "gzip"}, 415),
    ],
)
def test_what_cannot_be_taken_is_said(desk: Desk, change: dict[str, Any], status: int) -> None:
    """With a status a device understands and a fault a person does; nothing stays on the disk."""
    device = Device()
    answer = device.post(**change)
    assert answer.status_code == status
    assert set(answer.json()["faults"][0]) == {"place", "need", "given", "cure"}
    assert list((desk.home / "deliveries").glob("*")) == []
    assert device.get(device.address).status_code == 405


def test_too_much_at_once_is_refused(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """By the length that is said, and by what really comes."""
    from balewright.desk.senders import door
    from balewright.flows import take_in_delivery

    device = Device()
    monkeypatch.setattr(door, "MOST_BYTES", 20)
    assert device.post().status_code == 413
    monkeypatch.setattr(door, "MOST_BYTES", 1 << 20)
    monkeypatch.setattr(take_in_delivery, "MOST_BYTES", 20)
    assert device.post().status_code == 413
    assert list((desk.home / "deliveries").glob("*")) == []


def test_a_full_queue_and_a_full_disk_make_devices_wait(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its own queue: 429; everybody's: 503; the disk: 503; each with when to come again. Once
    there is room the same batch is taken.
    """
    from balewright.flows import take_in_delivery, take_in_pieces

    device = Device()
    device.post(key="waits")
    with monkeypatch.context() as patch:
        patch.setattr(take_in_delivery, "MOST_WAITING_OF_ONE", 1)
        own = device.post(key="b")
        patch.setattr(take_in_delivery, "MOST_WAITING_OF_ONE", 9)
        patch.setattr(take_in_delivery, "MOST_WAITING", 1)
        all_ = device.post(key="b")
        patch.setattr(take_in_delivery, "MOST_WAITING", 9)
        patch.setattr(take_in_pieces, "SPARE_BYTES", 1 << 60)
        disk = device.post(key="b")
    told = [(answer.status_code, answer.headers["Retry-After"]) for answer in (own, all_, disk)]
    assert told == [(429, "30"), (503, "60"), (503, "600")]
    assert device.post(key="b").status_code == 202


def test_a_sender_that_comes_too_often_waits(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Past its requests of a minute: 429 with when to come again; another is not held up."""
    from balewright.desk.senders import door
    from balewright.desk.shared.limits import Limit

    monkeypatch.setattr(door, "BY_SENDER", Limit("few", 2, 60))
    device = Device()
    answers = [device.post().status_code for _ in range(3)]
    assert answers == [202, 202, 429]
    assert Device("Z-2").post(HEAD + b"Z-2,1,0,2031-06-01T10:00:00Z\n").status_code == 202


def test_what_failed_here_may_be_sent_again(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault of ours while it is taken in: the delivery says `failed`, and the same one sent once
    more is taken in.
    """
    from balewright.flows import take_in_delivery

    device = Device()
    with monkeypatch.context() as patch:
        patch.setattr(take_in_delivery, "take_in_then_review", lambda *_, **__: 1 / 0)
        first = device.post()
        work()
    assert device.get(first.headers["Location"]).json()["state"] == "failed"
    assert device.post().json()["state"] == "waiting"
    work()
    assert device.get(first.headers["Location"]).json()["state"] == "taken"
    assert bales_of() == 2


@pytest.mark.law
def test_one_content_by_three_ways_at_once_is_kept_once(desk: Desk) -> None:
    """The same file by a device, by the desk and in a shell of its own, while the worker is at it:
    its bales stand there once, and the others are told it was known.
    """
    device = Device()
    by_device = device.post()
    by_desk = send(desk.technician, ("june.csv", CSV)).headers["Location"]
    path = desk.home / "june.csv"
    path.write_bytes(CSV)
    line = [sys.executable, "-m", "balewright", "take-in", str(path), "--json"]
    environ = {**os.environ, "BALEWRIGHT_HOME": str(desk.home)}
    environ.pop("DJANGO_SETTINGS_MODULE")
    with subprocess.Popen(line, env=environ, stdout=subprocess.PIPE) as shell:
        work()
        told = json.loads(shell.communicate(timeout=60)[0])
    states = [
        told["files"][0]["state"],
        device.get(by_device.headers["Location"]).json()["state"],
        desk.technician.get(f"{by_desk}/state").json()["state"],
    ]
    assert sorted(states) == ["already taken", "already taken", "taken"]
    assert bales_of() == 2


def test_a_manager_makes_and_withdraws_senders(desk: Desk) -> None:
    """The token is shown in that answer alone; neither it nor its hash stands on the page later; a
    technician may not.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.flows.senders import find_sender
    from balewright.store.entries import MachineEntry

    assert desk.technician.get("/senders").status_code == 403
    assert "none yet" in desk.manager.get("/senders").content.decode()
    the_workplace().register.save_machine(MachineEntry("Z-1", "Zed", "mossgrinder-m2"))
    made = desk.post(desk.manager, "/senders", machine="Z-1", label="box")
    page = made.content.decode()
    token = page.split('id="made-token">')[1].split("<")[0]
    (entry,) = the_workplace().register.load_senders()
    assert find_sender(the_workplace(), entry.key, token) is not None
    assert f"http://localhost/in/{entry.key}" in page
    assert token not in desk.manager.get("/senders").content.decode()
    assert desk.post(desk.manager, "/senders", machine="Z-9", label="").status_code == 422
    assert desk.technician.post(f"/senders/{entry.key}/withdraw").status_code == 403
    desk.manager.post(f"/senders/{entry.key}/withdraw")
    assert find_sender(the_workplace(), entry.key, token) is None
    assert "Withdrawn" in desk.manager.get("/senders").content.decode()
