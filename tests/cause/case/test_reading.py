"""What a case says once its entries are read."""

from __future__ import annotations

import pytest

from balewright.cause.case.answers import answers_of, disagreeing
from balewright.cause.case.case import CaseState, Outcome, PartUsed
from balewright.cause.case.entry import EntryKind
from balewright.cause.case.evidence import evidence_before_repair, evidence_of
from balewright.cause.case.read_case import read_case
from balewright.cause.evidence_value import NO, UNKNOWN, YES, read

from .entries_by_hand import entry, opened, walk


@pytest.mark.own
def test_a_case_says_what_happened() -> None:
    """Machine, complaint, answers, cause, repair with its parts, and that it is closed."""
    case = read_case(walk())
    assert (case.machine, case.complaint, case.network) == ("HAZE-1", "Net lies loose", "rbw 1")
    assert case.findings == ("HAZE-1:binding:1",)
    assert case.state is CaseState.CLOSED
    assert case.cause is not None
    assert case.cause.cause == "net_brake_weak"
    (repair,) = case.repairs
    assert (repair.words, repair.minutes, repair.at_bale) == ("New linings", 40, 812)
    assert repair.parts == (PartUsed("net_brake_linings", 2),)
    assert case.skipped == {"net_roll_shaft"}
    assert case.clock == 10
    assert evidence_of(case) == {
        "binding_loose": YES,
        "net_brake_pull": NO,
        "net_knife_gap": read(3.5),
        "since_new_roll": UNKNOWN,
    }


@pytest.mark.law
def test_going_back_deletes_nothing_and_can_itself_be_gone_back_on() -> None:
    """The answer that was taken back stays among the entries; taking the taking back back brings
    it back. Nothing takes back what comes after it.
    """
    answer = entry(2, EntryKind.CHECK_READ, check="a", seen="yes")
    back = entry(3, EntryKind.WENT_BACK, entry="phone-2")
    forth = entry(4, EntryKind.WENT_BACK, entry="phone-3")
    early = entry(1, EntryKind.WENT_BACK, "tablet", entry="phone-2")
    gone = read_case((opened(), answer, back))
    assert (gone.readings, gone.withdrawn) == ((), {"phone-2"})
    assert answer in gone.entries
    assert evidence_of(read_case((opened(), answer, back, forth))) == {"a": YES}
    assert evidence_of(read_case((opened(), answer, early))) == {"a": YES}


@pytest.mark.own
def test_two_readings_of_one_check_are_both_kept() -> None:
    """Two that agree are one answer, two numbers their mean; two that do not agree count as
    unknown and are named until one is taken back.
    """
    yes = entry(2, EntryKind.CHECK_READ, check="a", seen="yes")
    no = entry(2, EntryKind.CHECK_READ, "tablet", check="a", seen="no")
    unsure = entry(3, EntryKind.CHECK_READ, "tablet", check="a", seen="cannot tell")
    numbers = [entry(n, EntryKind.CHECK_READ, check="b", value=100 + n) for n in (4, 6)]
    case = read_case((opened(), yes, no, unsure, *numbers))
    assert len(case.readings) == 5
    assert evidence_of(case) == {"a": UNKNOWN, "b": read(105.0)}
    assert disagreeing(case) == ("a",)
    back = entry(5, EntryKind.WENT_BACK, "tablet", entry="tablet-2")
    settled = read_case((*case.entries, back))
    assert (evidence_of(settled)["a"], disagreeing(settled)) == (YES, ())


@pytest.mark.own
def test_numbers_near_the_end_of_numbers_have_a_mean_too() -> None:
    """Two readings of any size on a phone are an answer, and no error when causes are asked."""
    read_twice = [
        entry(number, EntryKind.CHECK_READ, check="net_knife_gap", value=1.7e308)
        for number in (2, 3)
    ]
    case = read_case((opened(), *read_twice))
    assert answers_of(case)["net_knife_gap"].value == pytest.approx(1.7e308)


@pytest.mark.own
def test_what_is_asked_again_after_a_repair_counts_anew() -> None:
    """After a repair the new answer counts; what led to the repair is still told apart from it."""
    entries = (
        opened(reports=["loose"]),
        entry(2, EntryKind.CHECK_READ, check="a", seen="yes"),
        entry(3, EntryKind.REPAIRED, words="Brake set"),
        entry(4, EntryKind.CHECK_READ, check="a", seen="no"),
    )
    case = read_case(entries)
    assert case.state is CaseState.REPAIRED
    assert evidence_of(case) == {"a": NO, "loose": YES}
    assert evidence_before_repair(case) == {"a": YES, "loose": YES}


@pytest.mark.own
def test_a_case_opened_again_is_open_and_its_old_proof_counts_no_more() -> None:
    """Opening again undoes closing and proof; a repair after it needs a proof of its own."""
    proved = (*walk(), entry(11, EntryKind.PROVED, outcome="cured", bales=60, need_bales=41))
    assert read_case(proved).is_proved
    again = (*proved, entry(12, EntryKind.REOPENED, words="Loose again"))
    case = read_case(again)
    assert (case.state, case.proof, case.is_proved) == (CaseState.OPEN, None, False)
    later = (*again, entry(13, EntryKind.SWAPPED, words="", instead="HAZE-2"))
    swapped = read_case(later)
    assert swapped.state is CaseState.REPAIRED
    assert swapped.repairs[-1].instead == "HAZE-2"
    assert swapped.proof is None
    said = read_case((*later, entry(14, EntryKind.PROVED, outcome="said")))
    assert said.proof is not None
    assert said.proof.outcome is Outcome.SAID
    assert not said.is_proved
