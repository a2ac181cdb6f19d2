"""Lessons of closed cases: accepted one after the other they add up, and each can be left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from balewright.cause.case.entry import EntryKind
from balewright.cause.case.payload import fields_of
from balewright.cause.evidence_value import NO, YES
from balewright.cause.network import Network
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.lessons import accept_lesson, review_lessons, take_back_lesson
from balewright.flows.network_in_force import load_lessons, network_in_force, save_lessons
from balewright.flows.open_case_with import OpeningWith, open_case_with
from balewright.flows.track_record import track_record
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

pytestmark = pytest.mark.law
PROFILE, CAUSE = "mossgrinder-m2", "net_brake_weak"


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A workplace with one machine and a season's bales of it."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    opened.register.save_machine(MachineEntry("A-1", "Amber", PROFILE))
    rows = [f"A-1,{n},2031-06-01T{n // 60:02}:{n % 60:02}:00Z" for n in range(1, 601)]
    path = tmp_path / "bales.csv"
    path.write_text("machine,bale_no,tipped_at\n" + "\n".join(rows) + "\n", encoding="utf-8")
    from balewright.flows.take_in_file import take_in_file

    take_in_file(opened, path)
    yield opened
    opened.register.close()


def proven(workplace: Workplace) -> str:
    """A case of a weak net brake that two checks were asked in, with its proof."""
    answers = {"binding_loose": YES, "net_brake_pull": YES, "binding_roll_place": NO}
    key = open_case_with(workplace, OpeningWith("A-1", "Net is loose", answers)).key
    for kind, payload in (
        (EntryKind.CAUSE_FOUND, fields_of(cause=CAUSE)),
        (EntryKind.REPAIRED, fields_of(words="New linings")),
        (EntryKind.PROVED, fields_of(outcome="cured", bales=90, need_bales=41)),
    ):
        add_to_case(workplace, key, Writing(kind, payload))
    return key


def taken(network: Network) -> tuple[float, float]:
    """The rate of the cause, and how often it shows in the check of its brake."""
    (link,) = (one for one in network.shows[CAUSE] if one.on == "net_brake_pull")
    return network.cause(CAUSE).arises_per_1000, link.chance_frac


def test_lessons_add_up_and_each_can_be_left_out(workplace: Workplace) -> None:
    """What is shown as after is what counts then; a case teaches once; taking both back, in any
    order, gives the network as it came; what changed since it was shown is refused.
    """
    plain = network_in_force(workplace, PROFILE)
    first = proven(workplace)
    review = review_lessons(workplace, PROFILE)
    assert review.proposed is not None
    assert review.proposed.cases == (first,)
    assert review.run_bales == 600.0
    (rate,) = review.rates
    (link,) = (one for one in review.links if one.on == "net_brake_pull")
    # reports say only what is so, and teach no link
    assert {one.on for one in review.links} <= {"net_brake_pull", "binding_roll_place"}
    accept_lesson(workplace, PROFILE, review.proposed.key, "mara")
    once = taken(network_in_force(workplace, PROFILE))
    assert once == pytest.approx((rate.after_per_1000.best, link.after_frac.best), rel=1e-12)
    assert review_lessons(workplace, PROFILE).proposed is None
    second = proven(workplace)
    more = review_lessons(workplace, PROFILE)
    assert more.proposed is not None
    assert more.proposed.cases == (second,)
    assert more.rates[0].before_per_1000 == rate.after_per_1000
    with pytest.raises(BadInput, match="changed since"):
        accept_lesson(workplace, PROFILE, review.proposed.key, "mara")
    accept_lesson(workplace, PROFILE, more.proposed.key, "mara")
    assert taken(network_in_force(workplace, PROFILE))[0] > once[0]
    take_back_lesson(workplace, PROFILE, review.proposed.key, "mara")
    assert taken(network_in_force(workplace, PROFILE)) != taken(plain)
    take_back_lesson(workplace, PROFILE, more.proposed.key, "mara")
    assert network_in_force(workplace, PROFILE) == plain
    with pytest.raises(BadInput, match="a lesson that counts"):
        take_back_lesson(workplace, PROFILE, more.proposed.key, "mara")
    both = review_lessons(workplace, PROFILE).proposed
    assert both is not None
    assert set(both.cases) == {first, second}


def test_a_lesson_of_another_version_does_not_count(workplace: Workplace) -> None:
    """It stays, says so, and its cases can teach anew."""
    case = proven(workplace)
    made = review_lessons(workplace, PROFILE).proposed
    assert made is not None
    accept_lesson(workplace, PROFILE, made.key, "mara")
    (kept,) = load_lessons(workplace, PROFILE)
    assert kept.lesson == made
    old = replace(kept, lesson=replace(made, network=(made.network[0], 0)))
    save_lessons(workplace, PROFILE, (old,), "mara")
    assert not load_lessons(workplace, PROFILE)[0].counts
    assert network_in_force(workplace, PROFILE) == network_in_force(workplace, None)
    anew = review_lessons(workplace, PROFILE).proposed
    assert anew is not None
    assert anew.cases == (case,)


def test_the_record_asks_with_what_was_known_at_the_opening(workplace: Workplace) -> None:
    """A proven case is ranked by its reports alone; one without proof is not in it."""
    key = proven(workplace)
    open_case_with(workplace, OpeningWith("A-1", "Net is loose", {"binding_loose": YES}))
    track = track_record(workplace)
    assert track.cases == 1
    missed = {one.cause for one in track.missed}
    assert missed <= {CAUSE}
    assert key
