"""Cases at the desk: opened from an answer, answered, repaired, proved, shared, taken in; what they
teach is accepted and taken back.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from tests.desk.finding_records import SERIAL, keep_machine, key_of_pressure
from tests.desk.test_causes import open_checks, text_of

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own
AT = f"/machines/{SERIAL}/causes"


@pytest.fixture
def records(desk: Desk, tmp_path: Path) -> str:
    """Machine Q-7, whose pressure fell; the key of that finding."""
    from balewright.desk.workplace import the_workplace

    keep_machine(the_workplace(), tmp_path)
    return key_of_pressure(the_workplace())


def opened(desk: Desk, **fields: Any) -> str:
    """Open a case on machine Q-7; its key."""
    answer = desk.post(desk.technician, "/cases/open", machine=SERIAL, **fields)
    assert answer.status_code == 302
    found = re.search(r"case=(C-\w+)", answer["Location"])
    assert found is not None, answer["Location"]
    return found[1]


def kept(key: str) -> Any:
    """The case as it is kept."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.read_case_of import read_case_of

    return read_case_of(the_workplace(), key).case


def test_an_answer_becomes_a_case_and_goes_on_in_it(desk: Desk, records: str) -> None:
    """Reports, answers and findings of the page become entries; the next answer is one more; two
    that contradict are both shown until one is taken back; a reader writes nothing.
    """
    fields = {"yes": "pressure_falls", "no": "net_brake_pull", "finding": records}
    assert desk.post(desk.reader, "/cases/open", machine=SERIAL, **fields).status_code == 403
    key = opened(desk, complaint="Soft bales", **fields)
    case = kept(key)
    assert (case.complaint, case.findings) == ("Soft bales", (records,))
    assert [one.on for one in case.readings] == ["pressure_falls", "net_brake_pull"]
    looks = open_checks(desk.technician.get(f"{AT}?case={key}").content.decode())
    page = desk.technician.get(f"{AT}?case={key}&look={looks[0]}").content.decode()
    on = re.search(r'name="on" value="(\w+)"', page)
    assert on is not None
    query = f"?case={key}&language=de"
    at = f"/cases/{key}/answer"
    assert desk.post(desk.reader, at, on=on[1], seen="yes").status_code == 403
    went = desk.post(desk.technician, at, on=on[1], seen="yes", query=query)
    assert went["Location"] == f"{AT}{query}#next"
    desk.post(desk.manager, at, on=on[1], seen="no", query=query)
    both = desk.technician.get(f"{AT}?case={key}")
    assert "yes and no were both said" in text_of(both)
    last = kept(key).readings[-1].entry
    assert last.by == "mara"
    desk.post(desk.technician, f"/cases/{key}/back", entry=last.id, query=query)
    assert "yes and no were both said" not in text_of(desk.technician.get(f"{AT}?case={key}"))
    said = text_of(desk.reader.get(f"/cases/{key}"))
    assert "taken back" in said
    assert "Take back" not in said
    assert desk.post(desk.technician, at, on="gremlins", seen="yes").status_code == 404


def test_a_case_is_mended_closed_and_opened_again(desk: Desk, records: str) -> None:
    """Cause and repair stand in it; bales before the repair prove nothing; what is missing in a
    form is told beside its field.
    """
    key = opened(desk, complaint="Soft bales", finding=records)
    assert desk.post(desk.technician, f"/cases/{key}/found").status_code == 422
    assert desk.post(desk.technician, f"/cases/{key}/repaired", minutes="-3").status_code == 422
    assert desk.post(desk.technician, f"/cases/{key}/close").status_code == 422  # of what?
    desk.post(desk.technician, f"/cases/{key}/found", cause="density_valve_sticks", words="")
    found = desk.post(desk.technician, f"/cases/{key}/found", words="A stone in the valve")
    assert found.status_code == 302
    desk.post(desk.technician, f"/cases/{key}/repaired", words="Stone out", minutes="25",
              at_bale="420", part1="Net brake linings", count1="2", part2="X-9")  # fmt: skip
    (repair,) = kept(key).repairs
    parts = [(one.part, one.count) for one in repair.parts]
    assert parts == [("net_brake_linings", 2), ("X-9", 1)]
    assert (repair.minutes, repair.at_bale) == (25, 420)
    assert "Not proved yet" in text_of(desk.reader.get(f"/cases/{key}"))
    desk.post(desk.technician, f"/cases/{key}/note", words="Customer was there")
    desk.post(desk.technician, f"/cases/{key}/claim", words="Claim 7")
    assert desk.post(desk.technician, f"/cases/{key}/close", words="Done").status_code == 302
    assert kept(key).state.value == "closed"
    listed = text_of(desk.reader.get("/cases"))
    assert "1 closed" in listed
    assert "A stone in the valve" in listed
    desk.post(desk.technician, f"/cases/{key}/reopen", words="Soft again")
    assert kept(key).state.value == "open"


def test_a_case_is_shared_printed_and_takes_photos(desk: Desk, records: str) -> None:
    """The link stands there once and opens the phone's page until it is withdrawn; a photo loses
    what it says of its place; another case's photo is not shown.
    """
    from django.core.files.uploadedfile import SimpleUploadedFile

    key = opened(desk, complaint="Soft bales", finding=records)
    made = desk.post(desk.technician, f"/cases/{key}/share", kind="guide", days="3")
    link = re.search(r'id="made-link">http://localhost(/c/[^<]+)<', made.content.decode())
    assert link is not None
    assert desk.nobody.get(link[1]).status_code == 200
    ends = re.search(rf"/cases/{key}/links/\d+/withdraw", made.content.decode())
    assert ends is not None
    desk.post(desk.technician, ends[0])
    assert desk.nobody.get(link[1]).status_code == 404
    assert desk.reader.get(f"/cases/{key}/case.pdf").content.startswith(b"%PDF")
    taken_at = b"\xff\xe1\x00\x0cExif\x00\x00GPS!"
    photo = b"\xff\xd8" + taken_at + b"\xff\xda\x00\x02\x12\x34\xff\xd9"
    sent = SimpleUploadedFile("roll.jpg", photo, "image/jpeg")
    desk.technician.post(f"/cases/{key}/photos", {"photo": sent, "words": "The roll"})
    (taken,) = kept(key).photos
    shown = desk.reader.get(f"/cases/{key}/photos/{taken.sha256}")
    assert shown.status_code == 200
    assert b"Exif" not in shown.content
    other = opened(desk, complaint="Another", finding=records)
    assert desk.reader.get(f"/cases/{other}/photos/{taken.sha256}").status_code == 404


def test_a_phones_file_is_taken_in(desk: Desk, records: str) -> None:
    """Its entries join their case; what is no such file is told."""
    from django.core.files.uploadedfile import SimpleUploadedFile

    from balewright.cause.case.entry import Entry
    from balewright.cause.case.payload import fields_of
    from balewright.readers.case_lines import write_case_lines

    key = opened(desk, complaint="Soft bales", finding=records)
    entry = Entry("phone-entry-1", key, "phone", 1, 9, "note", fields_of(words="By the hedge"))
    for content, told in ((write_case_lines((entry,), {}), "By the hedge"), (b"x", "Needed:")):
        sent = SimpleUploadedFile("case.jsonl", content)
        page = desk.technician.post("/cases/take-in", {"file": sent}, follow=True)
        assert told in text_of(page)
    assert desk.reader.post("/cases/take-in", {}).status_code == 403


def test_proven_cases_teach_once_a_manager_accepts(desk: Desk, tmp_path: Path) -> None:
    """Nothing moves before; accepted it moves what is asked; what was shown is what counts; taken
    back all is as it was; cases without proof are counted out by cause.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.flows.network_in_force import network_in_force

    keep_machine(the_workplace(), tmp_path)
    proven = proved_case(desk, "net_brake_weak")
    opened_only = opened(desk, complaint="Another")
    desk.post(desk.technician, f"/cases/{opened_only}/found", cause="knives_blunt")
    desk.post(desk.technician, f"/cases/{opened_only}/repaired", words="Ground")
    desk.post(desk.technician, f"/cases/{opened_only}/close")
    profile = "mossgrinder-m2"

    def rate() -> float:
        network = network_in_force(the_workplace(), profile)
        return network.cause("net_brake_weak").arises_per_1000

    before = rate()
    page = desk.manager.get(f"/lessons?profile={profile}")
    said, lesson = text_of(page), re.search(r'name="lesson" value="(L-\w+)"', page.content.decode())
    assert lesson is not None
    assert "Net brake is weak" in said
    assert proven in said
    assert "1 of 1 (100 %)" in said  # blunt knives: not proved
    assert desk.post(desk.technician, "/lessons/accept", profile=profile,
                     lesson=lesson[1]).status_code == 403  # fmt: skip
    desk.post(desk.manager, "/lessons/accept", profile=profile, lesson="L-other")
    assert rate() == before
    desk.post(desk.manager, "/lessons/accept", profile=profile, lesson=lesson[1])
    assert rate() > before
    assert network_in_force(the_workplace(), "thistlewick-t1").cause(
        "net_brake_weak").arises_per_1000 == before  # fmt: skip
    again = text_of(desk.manager.get(f"/lessons?profile={profile}"))
    assert "No proven case of this type is left" in again
    desk.post(desk.manager, "/lessons/back", profile=profile, lesson=lesson[1])
    assert rate() == before
    assert "taken back" in text_of(desk.manager.get(f"/lessons?profile={profile}"))
    assert "1 proven case" in text_of(desk.reader.get("/network"))


def proved_case(desk: Desk, cause: str) -> str:
    """A closed case whose proof, as bales would give it, is kept."""
    from balewright.cause.case.entry import EntryKind
    from balewright.cause.case.payload import fields_of
    from balewright.desk.workplace import the_workplace
    from balewright.flows.add_to_case import Writing, add_to_case

    key = opened(desk, complaint="Net comes loose", yes="binding_loose", no="net_brake_pull")
    desk.post(desk.technician, f"/cases/{key}/found", cause=cause)
    desk.post(desk.technician, f"/cases/{key}/repaired", words="New linings")
    proof = fields_of(outcome="cured", bales=90, need_bales=41, from_bale=1, to_bale=90)
    add_to_case(the_workplace(), key, Writing(EntryKind.PROVED, proof))
    return key
