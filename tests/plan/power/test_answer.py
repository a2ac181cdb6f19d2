"""Whether a tractor does: verdicts, reserve, oil, cautions."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.cautions import (
    DRIVE_SHAFT,
    KNIVES,
    MANUAL_FIRST,
    OIL_PRESSURE,
    STEEP_GROUND,
)
from balewright.plan.power.answer import Load, Tractor, Verdict, power_of
from balewright.plan.power.need import Chamber
from balewright.quantities.errors import BadInput
from balewright.words.say import say

LOAD = Load(Chamber.FIXED, 22.0, 13, 2.5, 7500.0, 45.0, 180.0, 0.05)
TRACTOR = Tractor(150.0, 7500.0, 90.0, 200.0, True)


@pytest.mark.law
@given(st.floats(5.0, 400.0))
def test_the_verdict_follows_the_reserve(tractor_kw: float) -> None:
    """Enough where all of the reserve is left over, not enough where none is, else not certain."""
    answer = power_of(LOAD, replace(TRACTOR, pto_kw=tractor_kw))
    total, reserve = answer.need.total, answer.reserve
    assert reserve.low == pytest.approx(tractor_kw - total.high)
    assert reserve.high == pytest.approx(tractor_kw - total.low)
    expected = (
        Verdict.ENOUGH
        if tractor_kw >= total.high
        else Verdict.NOT_ENOUGH
        if tractor_kw < total.low
        else Verdict.NOT_CERTAIN
    )
    assert answer.power is expected


@pytest.mark.law
@given(st.floats(0.0, 60.0), st.integers(0, 25), st.floats(0.0, 0.3))
def test_parts_sum_to_the_need(feed: float, knives: int, slope: float) -> None:
    """Baling, chopping, oil, pulling and slope are all of it, at each end."""
    load = replace(LOAD, feed_t_h=feed, knives_in=knives, slope_frac=slope)
    need = power_of(load, TRACTOR).need
    parts = [part for _, part in need.items()]
    assert len(parts) == 5
    assert need.total.best == pytest.approx(sum(part.best for part in parts))
    assert need.total.low <= need.total.best <= need.total.high


@pytest.mark.own
def test_oil_is_judged_by_flow_pressure_and_return() -> None:
    """Too little flow or pressure and no free return are told; what nobody knows stays unknown."""
    poor = power_of(LOAD, replace(TRACTOR, oil_l_min=40.0, oil_bar=170.0, free_return=False))
    assert (poor.flow, poor.pressure, poor.free_return) == (Verdict.NOT_ENOUGH,) * 3
    unknown = power_of(LOAD, Tractor(150.0, 7500.0))
    assert (unknown.flow, unknown.pressure, unknown.free_return) == (Verdict.UNKNOWN,) * 3
    good = power_of(LOAD, TRACTOR)
    assert (good.flow, good.pressure, good.free_return) == (Verdict.ENOUGH,) * 3


@pytest.mark.own
def test_a_machine_with_its_own_pump_asks_for_no_oil() -> None:
    """Without oil from the tractor nothing is judged of it, and no caution on oil is said."""
    answer = power_of(replace(LOAD, oil_l_min=0.0, oil_bar=0.0), Tractor(150.0, 7500.0))
    assert (answer.flow, answer.pressure, answer.free_return) == (Verdict.ENOUGH,) * 3
    assert [one.key for one in answer.cautions] == [MANUAL_FIRST, DRIVE_SHAFT, KNIVES]
    assert len(answer.words) == 1


@pytest.mark.own
def test_cautions_stand_first_for_what_the_advice_touches() -> None:
    """The manual and the drive shaft always; oil where a hose is touched; knives; steep ground."""
    keys = [one.key for one in power_of(replace(LOAD, slope_frac=0.15), TRACTOR).cautions]
    assert keys == [MANUAL_FIRST, DRIVE_SHAFT, OIL_PRESSURE, KNIVES, STEEP_GROUND]


@pytest.mark.own
@pytest.mark.parametrize("known", [True, False])
@pytest.mark.parametrize("tractor_kw", [20.0, 110.0, 300.0])
def test_every_answer_has_its_words(known: bool, tractor_kw: float) -> None:
    """Each verdict and caution is a sentence of the catalogue, whatever the answer."""
    tractor = Tractor(tractor_kw, 7500.0, 40.0 if known else None, 300.0 if known else None)
    answer = power_of(replace(LOAD, slope_frac=0.2), tractor)
    for reason in (*answer.cautions, *answer.words):
        assert say(reason)


@pytest.mark.own
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_no_tractor_or_load_is_refused(bad: float) -> None:
    """NaN, infinite and negative power, mass, feed and slope are refused by name."""
    with pytest.raises(BadInput, match="pto_kw"):
        replace(TRACTOR, pto_kw=bad)
    with pytest.raises(BadInput, match="mass_kg"):
        replace(TRACTOR, mass_kg=bad)
    with pytest.raises(BadInput, match="feed_t_h"):
        replace(LOAD, feed_t_h=bad)
    with pytest.raises(BadInput, match="slope_frac"):
        replace(LOAD, slope_frac=bad)
    with pytest.raises(BadInput, match="oil_bar"):
        replace(TRACTOR, oil_bar=bad)
