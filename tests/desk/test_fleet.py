"""Machines, rolls and people side by side."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.desk.finding_records import keep_machine
from tests.desk.test_today import add_machine

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def keep_fleet(folder: Path) -> None:
    """Six machines of a make; one of them works with an eighth less pressure."""
    from balewright.desk.workplace import the_workplace

    for place in range(6):
        fell_at = 1 if place == 3 else 10_000
        keep_machine(the_workplace(), folder, f"P-{place}", fell_at, f"Number {place} <i>")


def test_machines_stand_side_by_side_and_the_odd_one_apart(desk: Desk, tmp_path: Path) -> None:
    """Levels with intervals in the trade's unit, highest first; the low one alone stands apart."""
    keep_fleet(tmp_path)
    page = desk.reader.get("/fleet?profile=mossgrinder-m2&measure=chamber_bar").content.decode()
    assert "machine stands apart from the others" in page
    rows = re.findall(r"/machines/(P-\d)\?measure=chamber_bar", page)
    assert len(rows) == 6
    assert rows[-1] == "P-3"
    values = [float(one) for one in re.findall(r"(\d{2,3})\sbar \(", page)]
    assert values == sorted(values, reverse=True)
    assert values[0] == pytest.approx(120.0, rel=0.03)
    assert values[-1] == pytest.approx(120.0 * 0.88, rel=0.03)
    assert "moisture, how much crop comes in, what each job adds" in page
    assert "Number 3 &lt;i&gt;" in page
    assert "<svg" in page


def test_an_empty_fleet_and_unknown_words_say_so(desk: Desk) -> None:
    """No machine, no batch, a profile or measure that is none: a plain sentence, no error."""
    assert "No machine of a known make" in desk.reader.get("/fleet").content.decode()
    assert desk.reader.get("/fleet?profile=x&measure=y").status_code == 200
    assert "Nothing to compare yet" in desk.reader.get("/fleet/rolls").content.decode()


def test_people_are_not_read_until_a_manager_says_for_what(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Off by default, and then no bale is read; a purpose switches it on and stands on the page;
    each look is noted; others than managers never see it; it can be switched off."""
    from balewright.desk.workplace import the_workplace
    from balewright.store.journal import Journal

    keep_machine(the_workplace(), tmp_path)
    with monkeypatch.context() as patch:
        patch.setattr(Journal, "read_keyed_bales", None)
        off = desk.manager.get("/fleet/people").content.decode()
    assert "Comparing people is off" in off
    assert "Anke" not in off
    for client in (desk.technician, desk.reader):
        assert client.get("/fleet/people").status_code == 403
        assert desk.post(client, "/fleet/people/allow", purpose="x").status_code == 403
    assert desk.post(desk.manager, "/fleet/people/allow", purpose=" ").status_code == 422
    purpose = "To see who needs a day of training"
    assert desk.post(desk.manager, "/fleet/people/allow", purpose=purpose).status_code == 302
    on = desk.manager.get("/fleet/people").content.decode()
    assert purpose in on
    looks = the_workplace().register.load_accesses(10)
    assert [(one.who, one.deed) for one in looks] == [("mara", "compare people")]
    assert desk.post(desk.manager, "/fleet/people/forbid").status_code == 302
    assert purpose not in desk.manager.get("/fleet/people").content.decode()


def test_batches_stand_as_the_daily_review_kept_them(desk: Desk) -> None:
    """The page looks up what was compared, worst first, with when; it compares nothing itself."""
    from balewright.desk.workplace import the_workplace
    from balewright.findings.rolls_compared import RollUse, compare_rolls
    from balewright.flows.kept_batches import keep_batches, load_batches

    uses = [RollUse("A 1", "good", 400, 2), RollUse("A 1", "bad <b>", 100, 12)]
    compared = compare_rolls(uses)
    keep_batches(the_workplace(), compared)
    kept = load_batches(the_workplace())
    assert kept is not None
    assert kept.compared == compared
    page = desk.reader.get("/fleet/rolls").content.decode()
    assert page.index("bad &lt;b&gt;") < page.index("good")
    assert page.count("beyond chance") == 1
    assert "As the daily review of" in page
    add_machine()
    today = desk.reader.get("/").content.decode()
    assert "Film or net worse than the rest" in today
    assert today.count('href="/fleet/rolls"') == 1
