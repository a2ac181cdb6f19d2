"""The size setting fitted to readings of the gate, alone and as a line of the sheet."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from tests.plan.sheet.jobs import RING, SECOND_CUT, line_of, number, readings, sheet_for

from balewright.plan.sheet.gate_fit import ROW_KG_M, fit_gate, reading_feed_t_h
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import GateReading, HowSure, Row
from balewright.quantities.errors import BadInput
from balewright.words.say import say

READ = (
    GateReading(20.0, 17.0, 20.0),
    GateReading(23.5, 19.0, 34.0),
    GateReading(25.0, 18.0, 46.0),
    GateReading(18.5, 16.0, 14.0),
    GateReading(24.2, 18.0, 40.0),
)


@pytest.mark.reference
@pytest.mark.check(model="gate.fit", source="scipy-stats")
@pytest.mark.parametrize("feed_t_h", [14.0, 36.0, 60.0])
def test_fit_and_interval_agree_with_a_library(feed_t_h: float) -> None:
    """Slope, setting and its 95 % interval for one more bale against scipy's regression."""
    fit = fit_gate(READ, 2.5)
    assert fit is not None
    assert fit.line is not None
    feeds = [reading.feed_t_h or 0.0 for reading in READ]
    overs = [reading.opening_mm - reading.setting_mm for reading in READ]
    seen = stats.linregress(feeds, overs)
    assert fit.line.slope == pytest.approx(seen.slope, rel=1e-12)
    mean = sum(feeds) / len(feeds)
    about = sum((one - mean) ** 2 for one in feeds)
    left = [
        over - seen.intercept - seen.slope * one for one, over in zip(feeds, overs, strict=True)
    ]
    residual = math.sqrt(sum(one**2 for one in left) / (len(feeds) - 2))
    error = residual * math.sqrt(1.0 + 1.0 / len(feeds) + (feed_t_h - mean) ** 2 / about)
    half = stats.t.ppf(0.975, len(feeds) - 2) * error
    setting = fit.setting_mm(20.0, feed_t_h)
    best = 20.0 - (seen.intercept + seen.slope * feed_t_h)
    assert setting.best == pytest.approx(best, rel=1e-12)
    assert setting.low == pytest.approx(best - half, rel=1e-9)
    assert setting.high == pytest.approx(best + half, rel=1e-9)


@pytest.mark.derived
def test_a_line_without_scatter_is_given_back() -> None:
    """Openings made with 2 mm + 0.1 mm for each t/h ask for 20 - 5.6 mm at 36 t/h, exactly."""
    made = [GateReading(18.0 + 2.0 + 0.1 * feed, 18.0, feed) for feed in (10.0, 25.0, 50.0)]
    fit = fit_gate(made, 2.5)
    assert fit is not None
    setting = fit.setting_mm(20.0, 36.0)
    assert setting.best == pytest.approx(14.4)
    assert setting.high - setting.low < 1e-9
    assert fit.has_seen(36.0)
    assert not fit.has_seen(60.0)


@pytest.mark.own
def test_a_line_that_falls_is_not_believed() -> None:
    """More crop cannot close a gate: the mean stands, the same for every feed rate."""
    fell = [GateReading(22.0, 18.0, 10.0), GateReading(21.0, 18.0, 30.0), GateReading(20.5, 18, 50)]
    fit = fit_gate(fell, 2.5)
    assert fit is not None
    assert fit.line is None
    assert fit.setting_mm(20.0, 10.0) == fit.setting_mm(20.0, 60.0)
    assert fit.setting_mm(20.0, 10.0).best == pytest.approx(20.0 - 9.5 / 3)


@pytest.mark.own
def test_one_feed_rate_tells_no_slope() -> None:
    """Readings all in one row give a mean with its spread."""
    fit = fit_gate([GateReading(22.0 + step, 18.0, row=Row.HEAVY) for step in (0, 1, 2)], 2.5)
    assert fit is not None
    assert fit.line is None
    setting = fit.setting_mm(20.0, 30.0)
    half = stats.t.ppf(0.975, 2) * 1.0 * math.sqrt(4.0 / 3.0)
    assert setting.best - setting.low == pytest.approx(half)


@pytest.mark.own
def test_two_readings_are_too_few() -> None:
    """Nothing is fitted to less than three, and the sheet goes by the row alone."""
    assert fit_gate(READ[:2], 2.5) is None
    few, none = sheet_for(RING, gate_readings=READ[:2]), sheet_for(RING)
    assert few.line("gate_opening_mm") == none.line("gate_opening_mm")


@pytest.mark.own
def test_a_row_by_its_look_stands_for_a_feed_rate() -> None:
    """Light, middle and heavy rows are in that order, at the speed of the job."""
    feeds = [reading_feed_t_h(GateReading(20.0, 18.0, row=row), 2.5) for row in Row]
    assert feeds == sorted(feeds)
    assert feeds[1] == pytest.approx(ROW_KG_M[Row.MIDDLE] * 9.0)


@pytest.mark.own
@pytest.mark.parametrize(
    "wrong",
    [
        GateReading(math.nan, 18.0, 20.0),
        GateReading(math.inf, 18.0, 20.0),
        GateReading(20.0, -1.0, 20.0),
        GateReading(20.0, 18.0, 0.0),
        GateReading(20.0, 18.0, math.nan),
        GateReading(20.0, 18.0, 1e9),
        GateReading(20.0, 18.0),
        GateReading(1e6, 18.0, 20.0),
    ],
)
def test_readings_that_cannot_be_are_refused(wrong: GateReading) -> None:
    """A number outside what a gate does, or no word of the crop, is named by fit and sheet."""
    with pytest.raises(BadInput, match="gate_readings"):
        fit_gate((*READ, wrong), 2.5)
    with pytest.raises(BadInput, match="gate_readings"):
        sheet_for(RING, gate_readings=(*READ, wrong))


@pytest.mark.own
@pytest.mark.parametrize(("target_mm", "feed_t_h"), [(math.nan, 20.0), (-1.0, 20.0), (20.0, 0.0)])
def test_nonsense_asked_of_a_fit_is_refused(target_mm: float, feed_t_h: float) -> None:
    """Target and feed rate have to be believable."""
    fit = fit_gate(READ, 2.5)
    assert fit is not None
    with pytest.raises(BadInput):
        fit.setting_mm(target_mm, feed_t_h)


@pytest.mark.derived
def test_the_sheet_sets_what_the_readings_ask() -> None:
    """The line carries the fit, its interval, and what to set in heavy and light rows."""
    fit = fit_gate(READ, SECOND_CUT.speed_m_s)
    assert fit is not None
    line = line_of(sheet_for(RING, gate_readings=READ), "gate_opening_mm")
    wanted = fit.setting_mm(20.0, 36.0)
    assert line.value == round(wanted.best)
    assert line.reason.value("low_mm") == pytest.approx(wanted.low)
    assert line.how_sure is HowSure.LIKELY
    assert float(line.reason.value("heavy_mm")) < float(line.reason.value("light_mm"))
    assert "5 readings" in say(line.reason).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.own
def test_what_cannot_be_set_is_said() -> None:
    """Readings that ask for less than the machine can be set give its end, as a starting point."""
    wide = tuple(replace(reading, opening_mm=reading.opening_mm + 15.0) for reading in READ)
    line = line_of(sheet_for(RING, gate_readings=wide), "gate_opening_mm")
    assert line.value == line.low
    assert line.how_sure is HowSure.STARTING_POINT
    assert "more or less than can be set" in say(line.reason)


@pytest.mark.practice
def test_the_reason_tells_heavy_from_light_rows() -> None:
    """Heavy rows need a smaller setting, light ones a larger, and both are named."""
    reason = line_of(sheet_for(RING), "gate_opening_mm").reason
    middle = number(sheet_for(RING), "gate_opening_mm")
    assert float(reason.value("heavy_mm")) < middle < float(reason.value("light_mm"))


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(
    read=st.lists(readings, max_size=6).map(tuple),
    row_kg_m=st.floats(0.5, 12.0),
    heavier=st.floats(0.0, 8.0),
    speed_m_s=st.floats(0.5, 4.0),
)
def test_a_heavier_row_never_asks_for_a_larger_setting(
    read: tuple[GateReading, ...], row_kg_m: float, heavier: float, speed_m_s: float
) -> None:
    """With any readings or none the size setting never rises with the windrow."""
    there = replace(
        SECOND_CUT, gate_readings=read, windrow_kg_m=row_kg_m, speed_m_s=speed_m_s, film=None
    )
    light = plan_bale(RING, there, None, "t")
    heavy = plan_bale(RING, replace(there, windrow_kg_m=row_kg_m + heavier), None, "t")
    assert number(heavy, "gate_opening_mm") <= number(light, "gate_opening_mm")
