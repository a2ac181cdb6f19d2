"""Cases from the call to the proof, by the flows that pages and commands use."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from balewright.cause.case.case import CaseState, Outcome
from balewright.cause.case.entry import Entry, EntryKind
from balewright.cause.case.payload import fields_of
from balewright.cause.evidence_value import YES
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.cases_for_learning import cases_for_learning
from balewright.flows.close_case import Closing, close_case, reopen_case
from balewright.flows.erase_personal import Erasing, ErasureKind, erase_personal
from balewright.flows.keep_photo import bare_photo
from balewright.flows.list_cases import list_cases
from balewright.flows.open_case import Opening, open_case
from balewright.flows.prove_cure import is_waiting, prove_cure, prove_waiting
from balewright.flows.read_case_of import read_case_of
from balewright.flows.share_case import (
    ShareCase,
    open_shared_case,
    share_case,
    withdraw_case_link,
)
from balewright.flows.take_in_case_entries import Handed, take_in_case_entries
from balewright.flows.take_in_file import Handed as HandedFile
from balewright.flows.take_in_then_review import take_in_then_review
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.readers.case_lines import write_case_lines
from balewright.settings import load_settings, open_workplace
from balewright.store.case_entries import CaseLinkKind, Way
from balewright.store.entries import MachineEntry
from cause.case.entries_by_hand import entry

BEGUN = datetime(2031, 6, 1, 6, tzinfo=UTC)
SERIAL, BURST = "A-1", "A-1:burst:::1"


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A machine whose bales burst, as Today tells it, two hours into the day."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    opened = at_bale(opened, 60)
    opened.register.save_machine(MachineEntry(SERIAL, "Amber", "mossgrinder-m2"))
    make_bales(opened, tmp_path, range(1, 61), (50, 55))
    yield opened
    opened.register.close()


def at_bale(workplace: Workplace, number: int) -> Workplace:
    """The same workplace, a minute after that bale; one is made every two minutes."""
    now = BEGUN + timedelta(minutes=2 * number + 1)
    return replace(workplace, clock=lambda: now)


def make_bales(
    workplace: Workplace, folder: Path, numbers: Iterable[int], burst: Iterable[int] = ()
) -> None:
    """Take these bales in and review."""
    rows = ["machine,bale_no,closed_at,tipped_at,wrap_turns,status"]
    bad = set(burst)
    for number in numbers:
        at = BEGUN + timedelta(minutes=2 * number)
        late = at + timedelta(seconds=30)
        status = "burst" if number in bad else "ok"
        rows.append(f"{SERIAL},{number},{at.isoformat()},{late.isoformat()},14,{status}")
    path = folder / f"bales-{len(list(folder.iterdir()))}.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    take_in_then_review(workplace, HandedFile(path, path.name))


@pytest.mark.own
def test_a_case_goes_from_its_finding_to_its_proof(workplace: Workplace, tmp_path: Path) -> None:
    """Opened on a finding, looked at, repaired, closed before bales can tell: not yet. Enough good
    bales later it is proved, and the proof is written once; it then teaches.
    """
    case = open_case(workplace, Opening(SERIAL, "Bales burst", findings=(BURST,), by="tove"))
    key = case.key
    read = fields_of(check="net_brake_pull", seen="yes")
    add_to_case(workplace, key, Writing(EntryKind.CHECK_READ, read, "tove"))
    with pytest.raises(BadInput, match="a repair or a swap"):
        prove_cure(workplace, key)
    add_to_case(
        workplace, key, Writing(EntryKind.REPAIRED, fields_of(words="New linings", at_bale=60))
    )
    closed = close_case(workplace, key, Closing("net_brake_weak", by="tove"))
    assert closed.state is CaseState.CLOSED
    assert closed.proof is not None
    assert closed.proof.outcome is Outcome.NOT_YET
    assert is_waiting(closed)
    assert not cases_for_learning(workplace)[0].proved

    later = at_bale(workplace, 180)
    make_bales(later, tmp_path, range(61, 151))
    (proved,) = prove_waiting(later)
    assert proved.proof.outcome is Outcome.CURED
    assert (proved.proof.from_bale, proved.proof.to_bale, proved.proof.bales) == (61, 150, 90)
    assert proved.case.is_proved
    assert not is_waiting(proved.case)
    assert prove_waiting(later) == ()
    assert len(prove_cure(later, key).case.entries) == len(proved.case.entries)
    (taught,) = cases_for_learning(later)
    assert (taught.cause, taught.profile, taught.proved) == (
        "net_brake_weak",
        "mossgrinder-m2",
        True,
    )
    assert taught.evidence == {"net_brake_pull": YES}
    assert reopen_case(later, key, "Again").state is CaseState.OPEN
    assert [line.case.key for line in list_cases(later, SERIAL)] == [key]


@pytest.mark.own
def test_what_goes_on_after_a_repair_is_not_cured(workplace: Workplace, tmp_path: Path) -> None:
    """A bale that bursts after the repair says so. Without a number read off, a repair counts from
    when its entry arrived, so that no bale before it can prove anything.
    """
    key = open_case(workplace, Opening(SERIAL, findings=(BURST,))).key
    add_to_case(workplace, key, Writing(EntryKind.REPAIRED, fields_of(words="Set anew")))
    bad = at_bale(workplace, 80)
    make_bales(bad, tmp_path, range(61, 81), (75,))
    proof = prove_cure(bad, key).proof
    assert (proof.outcome, proof.going_on) == (Outcome.NOT_CURED, (BURST,))
    make_bales(bad, tmp_path, range(81, 83))
    before = len(read_case_of(bad, key).case.entries)
    assert [one.proof.outcome for one in prove_waiting(bad)] == [Outcome.NOT_CURED]
    assert len(read_case_of(bad, key).case.entries) == before
    assert (proof.from_bale, proof.bales) == (61, 20)
    add_to_case(bad, key, Writing(EntryKind.REPAIRED, fields_of(words="New linings")))
    late = at_bale(workplace, 200)
    make_bales(late, tmp_path, range(83, 180))
    proof = prove_cure(late, key).proof
    assert (proof.outcome, proof.from_bale) == (Outcome.CURED, 81)


@pytest.mark.own
def test_without_a_finding_there_is_somebodys_word_and_no_proof(workplace: Workplace) -> None:
    """A case from a call alone closes with what was said, teaches nothing, and cannot be about
    nothing, a machine nobody knows or another machine's finding.
    """
    key = open_case(workplace, Opening(SERIAL, "It squeals", reports=("squeal_or_heat",))).key
    add_to_case(workplace, key, Writing(EntryKind.SWAPPED, fields_of(instead="B-2")))
    with pytest.raises(BadInput, match="what was wrong"):
        close_case(workplace, key, Closing())
    closed = close_case(workplace, key, Closing(words="Bearing was dry"))
    assert closed.proof is not None
    assert closed.proof.outcome is Outcome.SAID
    assert not closed.is_proved
    with pytest.raises(BadInput, match="a closed one"):
        close_case(workplace, key, Closing(words="Again"))
    for wrong in (
        Opening(SERIAL),
        Opening("Z-9", "x"),
        Opening(SERIAL, findings=("B-2:burst:::1",)),
        Opening(SERIAL, "x" * 2001),
    ):
        with pytest.raises(BadInput):
            open_case(workplace, wrong)
    for nobodys in (read_case_of, prove_cure):
        with pytest.raises(BadInput, match="kept case"):
            nobodys(workplace, "C-nobody")


@pytest.mark.law
def test_what_a_phone_wrote_comes_in_once_by_line_or_file(workplace: Workplace) -> None:
    """By line, by a file, twice, cut in parts: the same case. A broken line, another case's entry
    and one of a case nobody opened are refused by their id, the others are kept.
    """
    key = open_case(workplace, Opening(SERIAL, "It squeals")).key
    sent = tuple(
        replace(one, case=key, id=f"{one.id}-phone")
        for one in (
            entry(2, EntryKind.CHECK_READ, check="a", seen="yes"),
            entry(3, EntryKind.WENT_BACK, entry="phone-2-phone"),
            entry(4, EntryKind.CHECK_READ, check="a", seen="no"),
        )
    )
    strange = replace(sent[0], id="strange-1", case="C-other")
    content = write_case_lines((*sent, strange), {})
    broken = content + b'{"entry": {"id": "broken-01", "case": "C-x"}}\nnot json\n'
    by_line = take_in_case_entries(workplace, broken, Handed(Way.LINE, key))
    assert (by_line.new, by_line.kept) == (3, tuple(one.id for one in sent))
    assert sorted(one.text for one in by_line.refused) == ["", "broken-01", "strange-1"]
    by_file = take_in_case_entries(workplace, content, Handed(Way.FILE, by="tove", name="x.jsonl"))
    assert (by_file.new, by_file.cases) == (0, (key,))
    assert [one.text for one in by_file.refused] == ["strange-1"]
    taught = read_case_of(workplace, key)
    assert {one.way for one in taught.arrived.values()} == {Way.DESK, Way.LINE}
    assert taught.case.readings[-1].on == "a"
    assert [one.said for one in taught.case.readings] == ["no"]
    for wrong in (b"", b"[]\n", b'{"form": "balewright case", "version": 2}\n', b"\xff\n"):
        with pytest.raises(BadInput):
            take_in_case_entries(workplace, wrong, Handed(Way.FILE))


@pytest.mark.own
def test_whoever_has_a_link_can_neither_prove_nor_move_a_case(workplace: Workplace) -> None:
    """A proof, a sharing or another opening is refused, by line and by file; the case's own opening
    cannot be taken back. A file may open a case of its own, of a machine that is known.
    """
    key = open_case(workplace, Opening(SERIAL, "It squeals")).key
    first = read_case_of(workplace, key).case.entries[0]

    def sent(*entries: Entry, case: str = key) -> tuple[Entry, ...]:
        return tuple(replace(one, case=case, id=f"{one.id}-{case}") for one in entries)

    own = sent(
        entry(2, EntryKind.PROVED, outcome="cured"),
        entry(3, EntryKind.SHARED, words="x"),
        replace(entry(0, EntryKind.OPENED, machine="B-2"), clock=0),
        entry(5, EntryKind.WENT_BACK, entry=first.id),
    )
    for way in (Way.LINE, Way.FILE):
        taken = take_in_case_entries(workplace, write_case_lines(own, {}), Handed(way, key))
        assert taken.kept == (own[3].id,)
        assert len(taken.refused) == 3
    case = read_case_of(workplace, key).case
    assert (case.machine, case.proofs, case.withdrawn) == (SERIAL, (), frozenset())
    echoed = take_in_case_entries(workplace, write_case_lines((first,), {}), Handed(Way.FILE))
    assert (echoed.kept, echoed.new) == ((first.id,), 0)
    new = sent(entry(1, EntryKind.OPENED, machine=SERIAL), entry(2, "note", words="x"), case="C-7")
    assert take_in_case_entries(workplace, write_case_lines(new, {}), Handed(Way.FILE)).new == 2
    lost = sent(entry(1, EntryKind.OPENED, machine="Z-9"), case="C-8")
    assert take_in_case_entries(workplace, write_case_lines(lost, {}), Handed(Way.FILE)).new == 0


@pytest.mark.own
def test_a_link_opens_one_case_and_only_what_it_is_for(workplace: Workplace) -> None:
    """A link to read is none to write, each opens its case until it is over or withdrawn, and who
    it was shared with stands in the case.
    """
    key = open_case(workplace, Opening(SERIAL, "It squeals")).key
    read = share_case(workplace, ShareCase(key, "mara", 7, note="Dealer", claim=True))
    guide = share_case(workplace, ShareCase(key, "mara", 1, CaseLinkKind.GUIDE))
    opened = open_shared_case(workplace, read.token, CaseLinkKind.READ)
    assert opened is not None
    assert opened.kept.case.sharings[0].words == "Dealer"
    assert opened.link.claim
    assert open_shared_case(workplace, read.token, CaseLinkKind.GUIDE) is None
    assert open_shared_case(workplace, guide.token, CaseLinkKind.GUIDE) is not None
    tomorrow = at_bale(workplace, 60 + 24 * 60)
    assert open_shared_case(tomorrow, guide.token, CaseLinkKind.GUIDE) is None
    assert withdraw_case_link(workplace, key, read.entry.id)
    assert open_shared_case(workplace, read.token, CaseLinkKind.READ) is None
    for days, note in ((0, ""), (366, ""), (1, "x" * 121)):
        with pytest.raises(BadInput):
            share_case(workplace, ShareCase(key, "mara", days, note=note))


def jpeg(*segments: bytes) -> bytes:
    """A made-up JPEG: these segments before the picture, a comment's worth of bytes behind it."""
    scan = b"\xff\xda\x00\x04\x01\x00" + b"\x12\xff\x00\x34\xff\xd0\x56"
    return b"\xff\xd8" + b"".join(segments) + scan + b"\xff\xd9"


@pytest.mark.own
def test_a_photo_is_kept_without_where_it_was_taken(workplace: Workplace) -> None:
    """A photo that carries its position is refused with the cure unless its entry says that it is
    wanted; the bare one is kept, found by its hash, and every picture's byte is what it was.
    """
    import hashlib

    app = b"\xff\xe1\x00\x10Exif\x00\x00position"
    jfif = b"\xff\xe0\x00\x07JFIF\x00"
    carrying, bare = jpeg(jfif, app) + b"trailer with a position", jpeg(jfif)
    assert bare_photo(carrying) == bare
    assert bare_photo(bare) == bare
    key = open_case(workplace, Opening(SERIAL, "It squeals")).key

    def send(content: bytes, number: int, **more: object) -> tuple[str, ...]:
        sha256 = hashlib.sha256(content).hexdigest()
        told = replace(entry(number, "photo", sha256=sha256, **more), case=key,
                       id=f"photo-entry-{number}")  # fmt: skip
        lines = write_case_lines((told,), {sha256: content})
        taken = take_in_case_entries(workplace, lines, Handed(Way.LINE, key))
        assert taken.kept == (told.id,)
        return taken.photos

    assert send(carrying, 2) == ()
    assert len(send(bare, 3)) == 1
    assert len(send(carrying, 4, with_position=True)) == 1
    kept = read_case_of(workplace, key)
    assert (len(kept.case.photos), len(kept.photos), kept.photos_missing) == (3, 2, 0)
    erase_personal(workplace, Erasing(ErasureKind.CASE, key))
    assert send(bare, 3) == ()
    assert list((workplace.home / "photos").iterdir()) == []
    for wrong in (b"", b"GIF89a", bare[:-2], bare[:9], b"\x89PNG\r\n\x1a\n\x00\x00"):
        with pytest.raises(BadInput):
            bare_photo(wrong)
