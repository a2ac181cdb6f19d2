"""What one setting more or less does to the cost, exactly."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.cost.bale_cost import cost_of
from balewright.plan.cost.changes import Changed, changed_job, changes_of
from balewright.plan.cost.job import Job, made_of, working_kw
from balewright.plan.film.strip import roll_metres_m
from balewright.plan.pace.settings import work_of
from balewright.plan.pace.steady import work_pace
from balewright.quantities.errors import BadInput
from plan.cost.examples import JOB, OUTLAY


@pytest.mark.own
def test_a_bale_is_made_of_its_settings() -> None:
    """Dry matter, pace, film and binding of a job are those of the models they come from."""
    made, asked = made_of(JOB), JOB.settings
    assert made.dm_kg == pytest.approx(180.0 * 1.5094, rel=1e-4)
    assert made.bales_h == pytest.approx(0.8 * work_pace(work_of(asked)).pace_bales_h)
    assert made.film_m == roll_metres_m(asked.bale.size, 24.0, 0.70)
    assert made.binding_m == pytest.approx(2.5 * 3.14159 * 1.25, rel=1e-5)
    assert 5.0 < made.fuel_l_h < 35.0


@pytest.mark.derived
def test_one_layer_more_is_its_film_and_its_time() -> None:
    """Two turns of two rolls: 4 x 2 (1.25 + 1.23) / 1.7 m at 95 for 1500 m, 0.74 a bale.

    Where the wrapper does not hold the chamber back the film is all there is.
    """
    slow = replace(JOB, settings=replace(JOB.settings, row=replace(JOB.settings.row, speed_m_s=1)))
    layer = next(one for one in changes_of(slow, OUTLAY) if one.changed is Changed.LAYER_MORE)
    assert layer.bales_h == pytest.approx(0.0, abs=1e-9)
    assert layer.bale_money == pytest.approx(4 * 2 * 2.48 / 1.7 * 95 / 1500, rel=1e-9)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(st.floats(0.8, 4.0), st.floats(120.0, 250.0), st.integers(8, 20))
def test_differences_are_exact_and_have_their_sign(
    speed: float, density: float, turns: int
) -> None:
    """Each difference is the cost after less the cost before; and more layers, more binding
    cost more, more stretch less, denser bales less a tonne, and no change moves the season.
    """
    asked = JOB.settings
    wrap = asked.wrap
    assert wrap is not None
    job = replace(
        JOB,
        settings=replace(
            asked,
            row=replace(asked.row, speed_m_s=speed),
            bale=replace(asked.bale, dry_matter_kg_m3=density),
            wrap=replace(wrap, turns=float(turns)),
        ),
    )
    before = cost_of(made_of(job), OUTLAY)
    changes = {one.changed: one for one in changes_of(job, OUTLAY)}
    assert set(changes) == set(Changed)
    for one in changes.values():
        assert one.cost.bale_money - before.bale_money == one.bale_money
        assert one.cost.money_t_dm - before.money_t_dm == one.money_t_dm
        assert one.money_year == pytest.approx(one.money_t_dm * 1200.0, abs=1e-6)
        assert one.money_ha == pytest.approx(one.money_t_dm * 4.0, abs=1e-6)
    assert changes[Changed.LAYER_MORE].money_t_dm > 0 > changes[Changed.LAYER_LESS].money_t_dm
    assert changes[Changed.BINDING_MORE].money_t_dm > 0 > changes[Changed.STRETCH_MORE].money_t_dm
    assert changes[Changed.DENSER].money_t_dm < 0
    assert changes[Changed.FASTER].bales_h >= 0


@pytest.mark.own
def test_a_plain_baler_has_no_film_to_change() -> None:
    """Without a wrapper only speed, density and binding remain; asking for a layer is refused."""
    plain: Job = replace(JOB, settings=replace(JOB.settings, wrap=None))
    kept = {one.changed for one in changes_of(plain, OUTLAY)}
    assert kept == {Changed.DENSER, Changed.FASTER, Changed.BINDING_MORE}
    assert made_of(plain).film_m == 0.0
    with pytest.raises(BadInput, match="wrapper"):
        changed_job(plain, Changed.LAYER_MORE)


@pytest.mark.own
def test_a_step_beyond_what_can_be_set_is_left_out() -> None:
    """At one turn there is no layer less."""
    asked = JOB.settings
    assert asked.wrap is not None
    thin = replace(JOB, settings=replace(asked, wrap=replace(asked.wrap, turns=1.0)))
    assert Changed.LAYER_LESS not in {one.changed for one in changes_of(thin, OUTLAY)}


@pytest.mark.own
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0, 0.0])
def test_a_share_of_time_that_is_none_is_refused(bad: float) -> None:
    """The share of the paid time in the field lies between 0.2 and 1."""
    with pytest.raises(BadInput, match="field_frac"):
        replace(JOB, field_frac=bad)


@pytest.mark.derived
def test_power_of_a_change_is_its_crop_and_its_way() -> None:
    """1 km/h more in a row of 4 kg/m is 4 t/h more: 1.8 x 4 kW, 0.6 x 13/25 x 4 kW, and rolling.

    Rolling: 7.5 t, 0.0582 of the weight, 1/3.6 m/s more, two thirds of the power reaching the
    ground; layers, binding and stretch take nothing while crop flows.
    """
    changes = {one.changed: one for one in changes_of(JOB, OUTLAY)}
    rolling = 7500 * 9.80665 * (1 / 55 + 0.04) / 3.6 / 1000 / 0.68
    assert changes[Changed.FASTER].work_kw == pytest.approx(7.2 + 1.248 + rolling)
    for changed in (Changed.LAYER_MORE, Changed.BINDING_MORE, Changed.STRETCH_MORE):
        assert changes[changed].work_kw == 0.0


@pytest.mark.derived
def test_oil_of_the_wrapper_burns_diesel_while_it_wraps() -> None:
    """13.5 kW of oil behind a pump of 0.85, for the share of the time that wraps, is diesel."""
    oiled = replace(JOB, draw=replace(JOB.draw, oil_l_min=45.0, oil_bar=180.0))
    more_l_h = made_of(oiled).fuel_l_h - made_of(JOB).fuel_l_h
    work = work_of(JOB.settings)
    mean_kw = 13.5 / 0.85 * 0.8 * work.phases.wrap_s / work_pace(work).cycle_s
    assert 0.18 * mean_kw < more_l_h < 0.30 * mean_kw  # the slope of either equation, l/kWh
    assert working_kw(oiled) - working_kw(JOB) == pytest.approx(13.5 / 0.85)
