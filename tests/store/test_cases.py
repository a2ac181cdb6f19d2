"""Cases in the register: entries only add up, photos lie under their hash, nothing is lost."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from balewright.cause.case.entry import Entry, content_of
from balewright.cause.case.payload import fields_of
from balewright.cause.case.read_case import read_case
from balewright.flows.back_up_house import back_up_house
from balewright.flows.erase_personal import Erasing, ErasureKind, erase_personal, see_held
from balewright.flows.restore_house import restore_house
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.case_entries import (
    Arrived,
    CaseLinkEntry,
    CaseLinkKind,
    PhotoEntry,
    Way,
)
from balewright.store.health.case_checks import look_at_cases
from balewright.store.health.lines import HealthState
from balewright.store.photos import Photos
from balewright.store.register import open_register
from balewright.words.say import say
from cause.case.entries_by_hand import CASE, entry, opened, walk

if TYPE_CHECKING:
    from balewright.store.shelves.register import Register

NOON = datetime(2031, 6, 1, 12, tzinfo=UTC)
HASH = hashlib.sha256(b"some token").hexdigest()


def keep(register: Register, *entries: Entry, way: Way = Way.LINE) -> int:
    """Keep entries as a phone's line brings them; how many were new."""
    return len(register.add_case_entries([Arrived(one, 1_000, way, "tove") for one in entries]))


@pytest.mark.law
def test_entries_come_back_as_they_came_and_only_once(tmp_path: Path) -> None:
    """Sent again, in any order and by another way, nothing changes: not how it first came either.
    Newer kinds come back whole; two contents of one id are both kept and counted.
    """
    newer = entry(11, "torque logged", deep={"list": [1, {"a": None}], "yes": True})
    entries = (*walk(), newer)
    other = replace(entries[1], payload=fields_of(check="net_brake_pull", seen="no"))
    with open_register(tmp_path / "register.sqlite3") as register:
        assert keep(register, *entries[4:]) == 7
        assert keep(register, *reversed(entries), way=Way.FILE) == 4
        assert keep(register, *entries) == 0
        kept = register.load_case(CASE)
        assert {content_of(one.entry) for one in kept} == {content_of(one) for one in entries}
        assert read_case(one.entry for one in kept) == read_case(entries)
        ways = {one.entry.id: one.way for one in kept}
        assert (ways["phone-5"], ways["phone-1"]) == (Way.LINE, Way.FILE)
        assert register.count_entry_conflicts() == 0
        assert keep(register, other) == 1
        assert register.count_entry_conflicts() == 1
        assert register.load_case("C-none") == ()


@pytest.mark.own
def test_cases_are_listed_by_machine_with_the_last_news_first(tmp_path: Path) -> None:
    """A case is its machine's by its opening; one whose opening has not come is nobody's yet."""
    other = replace(opened(machine="HAZE-2"), id="tablet-1", case="C-other")
    lost = replace(entry(5, "note", words="x"), case="C-lost")
    with open_register(tmp_path / "register.sqlite3") as register:
        keep(register, *walk())
        register.add_case_entries([Arrived(other, 2_000, Way.DESK)])
        register.add_case_entries([Arrived(lost, 3_000, Way.FILE)])
        rows = register.load_cases()
        assert [row.case for row in rows] == ["C-lost", "C-other", CASE]
        assert [row.machine for row in rows] == [None, "HAZE-2", "HAZE-1"]
        assert [row.case for row in register.load_cases("HAZE-1")] == [CASE]
        assert rows[2].entries == 10
        whole = register.load_cases_whole([CASE, "C-none"])
        assert len(whole[CASE]) == 10
        assert whole["C-none"] == ()


@pytest.mark.law
def test_a_link_to_a_case_comes_back_by_the_hash_alone(tmp_path: Path) -> None:
    """Found under its hash and no other, counted, withdrawn once, good until its time."""
    link = CaseLinkEntry(0, CASE, CaseLinkKind.READ, NOON, "mara", NOON + timedelta(days=7),
                         note="Claim 7", claim=True)  # fmt: skip
    with open_register(tmp_path / "register.sqlite3") as register:
        made = register.save_case_link(HASH, link)
        assert register.load_case_link(HASH) == replace(link, id=made.id)
        assert register.load_case_link(HASH[:-1] + "0") is None
        register.count_case_opening(made.id)
        assert not register.withdraw_case_link("C-other", made.id, NOON)
        assert register.withdraw_case_link(CASE, made.id, NOON)
        assert not register.withdraw_case_link(CASE, made.id, NOON)
        (ended,) = register.load_case_links(CASE)
        assert (ended.opened, ended.is_good(NOON)) == (1, False)
    assert link.is_good(NOON)
    assert not link.is_good(NOON + timedelta(days=7))


@pytest.mark.law
def test_a_case_that_is_erased_keeps_what_was_found_and_done(tmp_path: Path) -> None:
    """Words, names and photos are gone everywhere; answers, cause, parts and minutes stay. The
    phone that sends it all once more brings nothing back. A backup before holds the photo, one
    after does not.
    """
    place = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    photos = Photos(place.home / "photos")
    sha256 = photos.keep(b"a photo")
    assert photos.keep(b"a photo") == sha256
    sent = (*walk(), entry(11, "photo", sha256=sha256, words="Orla's lining"))
    keep(place.register, *sent)
    place.register.add_photo(CASE, PhotoEntry(sha256, "image/jpeg", 7, 1_000))
    back_up_house(place, tmp_path / "before.tar")
    restore_house(tmp_path / "before.tar", tmp_path / "again")
    assert Photos(tmp_path / "again" / "photos").read(sha256) == b"a photo"

    erasing = Erasing(ErasureKind.CASE, CASE)
    held = see_held(place, erasing)
    assert held.places == {"caseentry.payload": 4, "caseentry.said_by": 11, "photos": 1}
    erase_personal(place, erasing, "mara")
    assert see_held(place, erasing).is_nothing
    keep(place.register, *sent)
    case = read_case(one.entry for one in place.register.load_case(CASE))
    whole = read_case(sent)
    assert len(case.entries) == len(whole.entries)
    assert [one.on for one in case.readings] == [one.on for one in whole.readings]
    assert case.cause is not None
    assert case.cause.cause == "net_brake_weak"
    assert case.repairs[0].parts == whole.repairs[0].parts
    assert (case.minutes, case.complaint, case.repairs[0].words) == (40, "erased", "erased")
    assert {one.by for one in case.entries} == {"erased"}
    with pytest.raises(BadInput):
        photos.read(sha256)
    back_up_house(place, tmp_path / "after.tar")
    restore_house(tmp_path / "after.tar", tmp_path / "later")
    assert not (tmp_path / "later" / "photos").exists()


@pytest.mark.own
def test_a_photo_that_is_another_by_now_is_not_shown(tmp_path: Path) -> None:
    """Its file is held against its hash whenever it is read."""
    photos = Photos(tmp_path / "photos")
    sha256 = photos.keep(b"a photo")
    (tmp_path / "photos" / sha256).write_bytes(b"another")
    with pytest.raises(BadInput, match="another"):
        photos.read(sha256)
    assert [path.name for path in (tmp_path / "photos").iterdir()] == [sha256]


@pytest.mark.own
def test_the_doctor_sees_lost_photos_and_contradicting_ids(tmp_path: Path) -> None:
    """A photo without its file weighs more than an id under which two things stand; both are told
    with a cure, an erased photo is none that is lost.
    """
    folder = tmp_path / "photos"
    sha256 = Photos(folder).keep(b"a photo")
    with open_register(tmp_path / "register.sqlite3") as register:
        keep(register, *walk())
        register.add_photo(CASE, PhotoEntry(sha256, "image/jpeg", 7, 1_000))
        assert look_at_cases(folder, register).state is HealthState.GOOD
        keep(register, replace(walk()[1], clock=9))
        doubtful = look_at_cases(folder, register)
        Photos(folder).let_go(sha256)
        lost = look_at_cases(folder, register)
        register.note_photo_gone(sha256, NOON, "erasure")
        erased = look_at_cases(folder, register)
    states = [line.state for line in (doubtful, lost, erased)]
    assert states == [HealthState.LOOK, HealthState.BROKEN, HealthState.LOOK]
    for line in (doubtful, lost):
        assert line.cure is not None
        assert say(line.said)
        assert say(line.cure)
