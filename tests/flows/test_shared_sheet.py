"""A link opens its sheet and nothing else; what people say of a sheet is kept once."""

from __future__ import annotations

import base64
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from balewright.flows.give_feedback import (
    MOST_BY_A_LINK,
    Answer,
    give_feedback,
    give_feedback_by_link,
)
from balewright.flows.hear_feedback import BalesMade, ChangeHeard, hear_machine, hear_sheet
from balewright.flows.make_sheet import SheetRequest, keep_sheet, make_sheet
from balewright.flows.open_shared_sheet import open_shared_sheet
from balewright.flows.share_sheet import ShareRequest, hash_token, share_sheet, withdraw_link
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.plan.crop import Crop
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import Change, MachineEntry

CONDITIONS = Conditions(Crop.HAYLAGE, 0.45, 3.0, 2.5, 0.02, False, False, None, 2000.0, 8.0, 50)
NOON = datetime(2031, 6, 1, 12, tzinfo=UTC)
WORKED = Answer("mark-0001", "worked")


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A workplace at noon of a June day, with one machine of a customer."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path)}))
    entry = MachineEntry("TIN-7", "Tin seven", "thistlewick-t1", customer="Mossy Hollow")
    opened.register.save_machine(entry)
    yield at(opened, NOON)
    opened.register.close()


def at(workplace: Workplace, moment: datetime) -> Workplace:
    """The same workplace at another time."""
    return replace(workplace, clock=lambda: moment)


@pytest.fixture
def sheet_id(workplace: Workplace) -> str:
    """A kept sheet of that machine."""
    return keep_sheet(workplace, make_sheet(workplace, SheetRequest(CONDITIONS, serial="TIN-7")))


@pytest.mark.law
def test_a_token_has_128_bits_and_is_kept_nowhere(workplace: Workplace, sheet_id: str) -> None:
    """Each is new; the register's file holds its hash and not one of the tokens."""
    tokens = [share_sheet(workplace, ShareRequest(sheet_id, "mara", 7)).token for _ in range(20)]
    assert len(set(tokens)) == 20
    assert {len(base64.urlsafe_b64decode(token + "==")) for token in tokens} == {16}
    database = sqlite3.connect(workplace.home / "register.sqlite3")
    dump = "\n".join(database.iterdump())
    database.close()
    for token in tokens:
        assert hash_token(token) in dump
        assert token not in dump


@pytest.mark.own
def test_a_link_says_no_machine_and_no_customer_by_itself(
    workplace: Workplace, sheet_id: str
) -> None:
    """The serial and name come along only where the maker of the link wants them to."""
    plain = open_shared_sheet(
        workplace, share_sheet(workplace, ShareRequest(sheet_id, "mara", 7)).token
    )
    named = open_shared_sheet(
        workplace, share_sheet(workplace, ShareRequest(sheet_id, "mara", 7, True)).token
    )
    assert plain is not None
    assert named is not None
    assert (plain.sheet.machine_serial, plain.name) == (None, None)
    assert "TIN-7" not in repr(plain)
    assert "Mossy Hollow" not in repr(named)
    assert (named.sheet.machine_serial, named.name) == ("TIN-7", "Tin seven")
    assert replace(named.sheet, machine_serial=None) == plain.sheet


@pytest.mark.law
def test_unknown_over_and_withdrawn_are_alike(workplace: Workplace, sheet_id: str) -> None:
    """None in every case, for reading and for answering, and nothing is counted or kept."""
    over = share_sheet(workplace, ShareRequest(sheet_id, "mara", 1))
    gone = share_sheet(workplace, ShareRequest(sheet_id, "mara", 30))
    assert open_shared_sheet(workplace, gone.token) is not None
    assert withdraw_link(workplace, sheet_id, gone.entry.id)
    later = at(workplace, NOON + timedelta(days=1))
    for token in (over.token, gone.token, "", "A" * 22, over.token + " ", over.entry.sheet_id):
        assert open_shared_sheet(later, token) is None
        assert give_feedback_by_link(later, token, WORKED) is None
    assert [link.opened for link in workplace.register.load_links(sheet_id)] == [1, 0]
    assert workplace.register.load_feedback(sheet_id) == ()
    just_before = at(workplace, NOON + timedelta(days=1, microseconds=-1))
    assert open_shared_sheet(just_before, over.token) is not None


@pytest.mark.own
def test_openings_are_counted_and_a_second_fetch_for_keeping_is_not(
    workplace: Workplace, sheet_id: str
) -> None:
    """A number is all that is kept of who looked."""
    made = share_sheet(workplace, ShareRequest(sheet_id, "mara", 7))
    for counted in (True, False, True):
        assert open_shared_sheet(workplace, made.token, counted) is not None
    (link,) = workplace.register.load_links(sheet_id)
    assert link.opened == 2


@pytest.mark.own
@pytest.mark.parametrize("days", [0, -1, 366])
def test_a_link_ends_within_a_year(workplace: Workplace, sheet_id: str, days: int) -> None:
    """No link for ever, none that is over already, none with an endless note."""
    with pytest.raises(BadInput, match="days: needs from 1 to 365 days"):
        share_sheet(workplace, ShareRequest(sheet_id, "mara", days))
    with pytest.raises(BadInput, match="note: needs at most 120 characters"):
        share_sheet(workplace, ShareRequest(sheet_id, "mara", 7, note="x" * 121))
    with pytest.raises(BadInput, match="sheet: needs the id of a kept sheet"):
        share_sheet(workplace, ShareRequest("S-none", "mara", 7))


@pytest.mark.law
def test_an_answer_sent_twice_is_one(workplace: Workplace, sheet_id: str) -> None:
    """By the link and by a person alike; what it says stays what was said first."""
    token = share_sheet(workplace, ShareRequest(sheet_id, "mara", 7)).token
    assert give_feedback_by_link(workplace, token, WORKED) is True
    assert give_feedback_by_link(workplace, token, WORKED) is False
    assert give_feedback(workplace, sheet_id, replace(WORKED, outcome="did not"), "tove") is False
    (kept,) = workplace.register.load_feedback(sheet_id)
    assert (kept.outcome.value, kept.given_by) == ("worked", None)


@pytest.mark.own
@pytest.mark.parametrize(
    ("answer", "message"),
    [
        (Answer("mark-0001", "great"), "outcome: needs one of worked, did not, changed"),
        (Answer("short", "worked"), "mark: needs 8 to 64"),
        (Answer("mark 0001 <b>", "worked"), "mark: needs 8 to 64"),
        (Answer("mark-0001", "worked", text="x" * 501), "text: needs at most 500 characters"),
        (Answer("mark-0001", "changed"), "changes: needs what was changed, was given nothing"),
        (Answer("mark-0001", "changed", (Change("nose", "1"),)), "needs a setting of this sheet"),
        (Answer("mark-0001", "changed", (Change("binding_turns", " "),)), "needs 1 to 40"),
        (Answer("mark-0001", "changed", (Change("binding_turns", "9" * 41),)), "needs 1 to 40"),
        (Answer("mark-0001", "changed", (Change("binding_turns", "3"),) * 13), "at most 12"),
    ],
)
def test_an_answer_that_cannot_be_kept_is_told(
    workplace: Workplace, sheet_id: str, answer: Answer, message: str
) -> None:
    """Each fault has its place, its need and its cure, and nothing is kept."""
    with pytest.raises(BadInput, match=message):
        give_feedback(workplace, sheet_id, answer, "tove")
    assert workplace.register.load_feedback(sheet_id) == ()


@pytest.mark.own
def test_invisible_signs_are_left_out(workplace: Workplace, sheet_id: str) -> None:
    """Control signs and marks that turn the direction of writing round do not come through."""
    odd = Answer(
        "mark-0001", "changed", (Change("binding_turns", "\u202e3\x07"),), "a\x00b\n\u200bc "
    )
    assert give_feedback(workplace, sheet_id, odd, "tove")
    (kept,) = workplace.register.load_feedback(sheet_id)
    assert (kept.changes, kept.text) == ((Change("binding_turns", "3"),), "ab\nc")


@pytest.mark.own
def test_a_link_can_leave_only_so_many_answers(workplace: Workplace, sheet_id: str) -> None:
    """Whoever has a link fills no disk with it; an answer that is here already is still known."""
    token = share_sheet(workplace, ShareRequest(sheet_id, "mara", 7)).token
    for number in range(MOST_BY_A_LINK):
        assert give_feedback_by_link(workplace, token, Answer(f"mark-{number:04}", "worked"))
    with pytest.raises(BadInput, match="link: needs at most 200 answers"):
        give_feedback_by_link(workplace, token, Answer("mark-9999", "worked"))
    assert give_feedback_by_link(workplace, token, Answer("mark-0000", "worked")) is False


@pytest.mark.derived
def test_what_was_said_stands_beside_the_bales_made(
    workplace: Workplace, sheet_id: str, tmp_path: Path
) -> None:
    """Three bales name the sheet, one of them burst; a second pass is no bale, a bale of another
    sheet is not counted. Two people changed the same setting alike.
    """
    records = tmp_path / "bales.csv"
    records.write_text(
        "machine,bale_no,sheet,tipped_at,status\n"
        f"TIN-7,1,{sheet_id},2031-06-01T08:00:00Z,ok\n"
        f"TIN-7,2,{sheet_id},2031-06-01T08:02:00Z,burst\n"
        f"TIN-7,3,{sheet_id},2031-06-01T08:04:00Z,ok\n"
        f"TIN-7,3,{sheet_id},2031-06-01T08:06:00Z,re-wrapped\n"
        "TIN-7,4,S-another,2031-06-01T08:08:00Z,ok\n"
        "TIN-7,5,,2031-06-01T08:10:00Z,ok\n"
    )
    assert take_in_file(workplace, records).kept == 6
    assert hear_machine(workplace, "TIN-7") == ()
    changed = Answer("mark-0002", "changed", (Change("binding_turns", "3"),), "Slipped.")
    give_feedback(workplace, sheet_id, WORKED, "tove")
    give_feedback(workplace, sheet_id, changed, "ruben")
    later = at(workplace, NOON + timedelta(hours=1))
    give_feedback(
        later, sheet_id, replace(changed, mark="mark-0003", text="", outcome="did not"), "x"
    )
    (heard,) = hear_machine(workplace, "TIN-7")
    assert heard == hear_sheet(workplace, sheet_id)
    assert (heard.worked, heard.did_not, heard.changed, heard.answers) == (1, 1, 1, 3)
    assert heard.changes == (ChangeHeard("binding_turns", "3", 2),)
    assert [entry.mark for entry in heard.newest] == ["mark-0003", "mark-0002", "mark-0001"]
    first = round(datetime(2031, 6, 1, 8, tzinfo=UTC).timestamp()) * 1_000_000
    assert heard.bales == BalesMade(3, 1, first, first + 4 * 60 * 1_000_000)


@pytest.mark.own
def test_a_sheet_of_no_machine_has_no_bales(workplace: Workplace) -> None:
    """A make's sheet can be answered too; which bales it made nobody can know."""
    request = SheetRequest(CONDITIONS, profile_key="thistlewick-t1")
    sheet_id = keep_sheet(workplace, make_sheet(workplace, request))
    assert give_feedback(workplace, sheet_id, WORKED, "tove")
    heard = hear_sheet(workplace, sheet_id)
    assert (heard.worked, heard.bales) == (1, None)
