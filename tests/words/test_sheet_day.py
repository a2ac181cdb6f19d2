"""What pulls two ways, what to measure first and when rolls end, in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from balewright.plan.sheet.sheet import Conflict, LostRoll, Measure, RollChange
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason
from balewright.words.sheet_day import conflicts_of, measures_of, rolls_of
from cards.examples import sheet_for

ROW, NET = Reason("sheet.windrow"), Reason("sheet.binding.what_it_has")


@pytest.mark.own
def test_a_conflict_says_both_sides_before_what_was_settled() -> None:
    """The setting, each want in order, then the decision."""
    sheet = replace(
        sheet_for("plainrow-p0"), conflicts=(Conflict("speed_m_s", (ROW, NET), NET, "practice"),)
    )
    assert conflicts_of(sheet) == (
        "Forward speed: As wide as the chamber; else weave, so that no cone is rolled. "
        "What this machine binds with. What this machine binds with.",
    )


@pytest.mark.own
def test_a_measure_says_its_limits_where_it_has_some() -> None:
    """With limits, without them, and without a target: nothing is said that is not known."""
    measures = (
        Measure("gate_opening_mm", 20.0, 14.0, 26.0, NET, "practice"),
        Measure("gate_opening_mm", 20.0, None, None, NET, "practice"),
        Measure("gate_opening_mm", None, None, None, NET, "practice"),
    )
    said = measures_of(replace(sheet_for("plainrow-p0"), measures=measures))
    space = "\N{NO-BREAK SPACE}"
    assert said == (
        f"Gate opening when full: 20{space}mm (14{space}mm to 26{space}mm). "
        "What this machine binds with.",
        f"Gate opening when full: 20{space}mm. What this machine binds with.",
        "Gate opening when full. What this machine binds with.",
    )


@pytest.mark.own
def test_the_ends_of_one_roll_stand_in_one_sentence() -> None:
    """Each roll once, six of its ends at most, an end that is sure as one number; then what to
    reach when one of two rolls is lost."""
    changes = tuple(
        RollChange("film 1", Interval(bale - 2.0, float(bale), bale + 3.0, 0.95))
        for bale in range(40, 320, 40)
    )
    sure = RollChange("net", Interval(90.0, 90.2, 90.4, 0.95))
    lost = (LostRoll(0, 25), LostRoll(6, 19))
    sheet = replace(sheet_for("plainrow-p0"), roll_changes=(*changes, sure), lost_rolls=lost)
    assert rolls_of(sheet) == (
        "Film roll 1 ends during bale 40 (38 to 43), 80 (78 to 83), 120 (118 to 123), "
        "160 (158 to 163), 200 (198 to 203), 240 (238 to 243), and so on.",
        "The net roll ends during bale 90.",
        "One film roll lost: reach turn 25 if at turn 0, 19 if at turn 6.",
    )
    assert rolls_of(replace(sheet, roll_changes=(), lost_rolls=())) == ()
