"""Hay temperatures: what each source says, and that the most cautious rules."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.keeping.heating import SMOKE_CAUTION, advise_heat, alarms_c, next_alarm
from balewright.plan.keeping.heating_sources import (
    HEAT_TABLES,
    HeatAction,
    celsius,
    fahrenheit,
)
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import Reason
from balewright.quantities.sources import source
from balewright.words.say import say

A = HeatAction


def said_by(key: str, fahrenheit_f: float) -> tuple[HeatAction, float | None]:
    """(action, hours to the next reading) of one source at a temperature in F."""
    advice = advise_heat(celsius(fahrenheit_f))
    said = next(one for one in advice.says if one.source == key)
    assert advice.action >= said.action, "the advice is milder than a source"
    return said.action, None if said.step is None else said.step.check_h


@pytest.mark.published
def test_purdue() -> None:
    """125 F no action; 150 twice daily; 160 every two hours; 175 alert the fire service; 190 fire.

    A temperature in Celsius finds the step that the source prints in Fahrenheit.
    """
    key = "purdue-hay-temperatures"
    assert said_by(key, 125) == (A.NOTHING, None)
    assert said_by(key, 149.9)[0] is A.WATCH
    assert said_by(key, 150) == (A.OPEN_UP, 12.0)
    assert said_by(key, 160) == (A.OPEN_UP, 2.0)
    assert said_by(key, 174.9)[0] is A.OPEN_UP
    assert said_by(key, 175)[0] is A.CALL
    assert said_by(key, 190)[0] is A.BURNING


@pytest.mark.published
def test_penn_state() -> None:
    """Hall: 125 F no action; 150 twice daily; 160 each two hours; 175 alert; 190 only with help."""
    key = "penn-state-hay-temperatures"
    assert said_by(key, 125)[0] is A.NOTHING
    assert [said_by(key, hot) for hot in (150, 160)] == [(A.OPEN_UP, 12.0), (A.OPEN_UP, 2.0)]
    assert [said_by(key, hot)[0] for hot in (175, 190)] == [A.CALL, A.BURNING]


@pytest.mark.published
def test_kentucky() -> None:
    """Overhults: below 130 F no fire danger; 150 move bales; 180 imminent; 200 likely present."""
    key = "kentucky-hay-temperatures"
    assert said_by(key, 129)[0] is A.NOTHING
    assert [said_by(key, hot)[0] for hot in (150, 180, 200)] == [A.OPEN_UP, A.CALL, A.BURNING]
    assert said_by(key, 179)[0] is A.OPEN_UP


@pytest.mark.published
@pytest.mark.parametrize(
    ("printed_f", "printed_c", "action", "check_h"),
    [(150, 65, A.OPEN_UP, 24.0), (160, 70, A.OPEN_UP, 4.0), (175, 80, A.CALL, None)],
)
def test_mississippi(
    printed_f: float, printed_c: float, action: HeatAction, check_h: float | None
) -> None:
    """A local paper: 150 F daily, 160 F every four hours, 175 F call; its Celsius in fives."""
    assert said_by("mississippi-hay-temperatures", printed_f) == (action, check_h)
    assert celsius(printed_f) == pytest.approx(printed_c, abs=1.5)


@pytest.mark.published
def test_cornell() -> None:
    """Aldrich & Hallman: to 120 F no concern; 140 daily; twice; 150 each two hours; 160 firemen."""
    key = "cornell-hay-temperatures"
    assert said_by(key, 119.9) == (A.NOTHING, None)
    assert said_by(key, 130) == (A.WATCH, 24.0)
    assert said_by(key, 145) == (A.WATCH_CLOSELY, 12.0)
    assert said_by(key, 150) == (A.OPEN_UP, 2.0)
    assert said_by(key, 160)[0] is A.CALL


@pytest.mark.published
def test_california() -> None:
    """Dairy Quality Assurance: 130 F monitor, 150 F take apart, 160 F only with firemen there."""
    key = "california-hay-temperatures"
    found = [said_by(key, hot)[0] for hot in (129, 130, 150, 160)]
    assert found == [A.NOTHING, A.WATCH, A.OPEN_UP, A.CALL]


@pytest.mark.published
def test_oklahoma() -> None:
    """Huhnke: daily whatever it shows; below 140 F no particular problem; above 180 F call."""
    key = "oklahoma-hay-temperatures"
    assert said_by(key, 70) == (A.NOTHING, 24.0)
    assert said_by(key, 139)[0] is A.NOTHING
    assert said_by(key, 165)[0] is A.WATCH
    assert said_by(key, 181)[0] is A.CALL


@pytest.mark.derived
def test_the_lowest_alarm_rules_and_the_spread_is_shown() -> None:
    """The fire service is called from 160 F (71.1 C); sources that say so run to 180 F (82.2 C)."""
    spread = alarms_c(A.CALL)
    assert (spread.low, spread.best) == pytest.approx((celsius(160), celsius(160)))
    assert spread.high == pytest.approx(celsius(180))
    advice = advise_heat(72.0)
    assert advice.action is A.CALL
    assert set(advice.by) == {"cornell-hay-temperatures", "california-hay-temperatures"}
    assert not advice.agree


@pytest.mark.derived
@pytest.mark.parametrize(
    ("temperature_c", "action", "check_h"),
    [
        (20.0, A.NOTHING, 24.0),
        (52.0, A.WATCH, 24.0),  # 126 F
        (61.0, A.WATCH_CLOSELY, 12.0),  # 142 F
        (66.0, A.OPEN_UP, 2.0),  # 151 F
        (75.0, A.CALL, 2.0),  # 167 F
        (90.0, A.BURNING, None),  # 194 F
    ],
)
def test_next_reading_is_the_strictest_sources(
    temperature_c: float, action: HeatAction, check_h: float | None
) -> None:
    """Daily, twice a day, every two hours, and nobody walks there any more when it burns."""
    advice = advise_heat(temperature_c)
    assert (advice.action, advice.check_h) == (action, check_h)


@pytest.mark.own
def test_cautions_come_with_every_answer() -> None:
    """Flames, walking on it, calling and the smell are always named; smoke with acid."""
    assert len(advise_heat(10.0).cautions) == 4
    assert SMOKE_CAUTION in advise_heat(10.0, acid_treated=True).cautions
    for key in advise_heat(80.0, acid_treated=True).cautions:
        assert say(Reason(key))


@pytest.mark.own
def test_every_table_names_its_source_and_rises() -> None:
    """Each table stands in the bibliography; its steps rise in temperature and action."""
    for table in HEAT_TABLES:
        assert source(table.source).text
        found = [(step.from_fahrenheit, step.action) for step in table.steps]
        assert found == sorted(found)
        assert len({degrees for degrees, _ in found}) == len(found)


@pytest.mark.law
@given(st.floats(-50.0, 500.0), st.floats(0.0, 100.0))
def test_hotter_is_never_milder(temperature_c: float, more_c: float) -> None:
    """A hotter bale never gets milder advice or a longer wait, from any source."""
    hotter_c = min(temperature_c + more_c, 500.0)
    here, there = advise_heat(temperature_c), advise_heat(hotter_c)
    assert there.action >= here.action
    for one, other in zip(here.says, there.says, strict=True):
        assert other.action >= one.action
        assert here.action >= one.action
    if there.check_h is not None and here.check_h is not None:
        assert there.check_h <= here.check_h


@pytest.mark.law
@given(st.floats(-50.0, 500.0))
def test_the_next_alarm_lies_above_and_is_the_first(temperature_c: float) -> None:
    """Just below the next alarm nothing changes; at it the action rises."""
    coming = next_alarm(temperature_c)
    here = advise_heat(temperature_c)
    if coming is None:
        assert here.action is A.BURNING
        return
    alarm_c, action = coming
    assert alarm_c > temperature_c
    assert advise_heat(alarm_c).action >= action > here.action
    assert advise_heat((temperature_c + alarm_c) / 2.0 - 1e-6).action == here.action


@pytest.mark.law
@given(st.floats(-273.15, 537.0))
def test_fahrenheit_and_back(temperature_c: float) -> None:
    """Celsius to Fahrenheit and back is the same; 100 C is 212 F."""
    assert celsius(fahrenheit(temperature_c)) == pytest.approx(temperature_c, abs=1e-9)
    assert fahrenheit(100.0) == pytest.approx(212.0)


@pytest.mark.own
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -60.0, 1e6])
def test_absurd_temperatures_are_refused(bad: float) -> None:
    """NaN, infinities and what no hay can have are BadInput."""
    for call in (advise_heat, next_alarm):
        with pytest.raises(BadInput, match="temperature_c"):
            call(bad)
    if bad != -60.0:
        with pytest.raises(BadInput):
            celsius(bad)
        with pytest.raises(BadInput):
            fahrenheit(bad)
