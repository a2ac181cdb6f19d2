"""The steady pace: by hand, by brute force, and what must hold for every machine."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.pace.cycle import Cycle, HeldBack, pace_of
from balewright.plan.pace.effects import setting_effects, turning_speed_m_s
from balewright.plan.pace.settings import Row, work_of
from balewright.plan.pace.steady import WorkPace, work_pace
from balewright.plan.pace.work import Headland, Phases, Stands, Stop, Work
from balewright.quantities.errors import BadInput
from plan.pace.examples import SILAGE

NAMES = ("fill_s", "bind_s", "gate_s", "take_over_s", "wrap_s", "tip_s")
parts = st.floats(0.5, 120.0)
phases = st.builds(Phases, *[parts] * 6, buffer_s=st.sampled_from((0.0, 5.0, 40.0)))
stops = st.builds(
    Stop, st.just("stop"), st.floats(1.0, 500.0), st.floats(0.0, 900.0), st.sampled_from(Stands)
)
works = st.builds(
    Work,
    phases,
    st.floats(100.0, 1200.0),
    st.lists(stops, max_size=3).map(tuple),
    st.builds(Headland, st.floats(0.0, 3.0), st.floats(0.0, 30.0)),
    st.floats(100.0, 5000.0),
)


@pytest.mark.derived
def test_a_bale_by_hand() -> None:
    """720 kg at 36 t/h fill in 72 s; 10 s binding and 8 s gate make 90 s: 40 bales/h, 28.8 t/h.

    The wrapper needs 60 s and waits 30; a bale clears 1200 m2, so 4.8 ha/h. Worked out by hand.
    """
    pace = work_pace(Work(Phases(72.0, 10.0, 8.0, 6.0, 48.0, 6.0), 720.0, bale_m2=1200.0))
    assert pace.cycle_s == pytest.approx(90.0)
    assert pace.pace_bales_h == pytest.approx(40.0)
    assert pace.throughput_t_h == pytest.approx(28.8)
    assert pace.area_ha_h == pytest.approx(4.8)
    assert (pace.driver_waits_s, pace.wrapper_waits_s) == pytest.approx((0.0, 30.0))
    assert pace.held_back_by is HeldBack.FILLING


@pytest.mark.derived
def test_settings_give_the_phases_by_hand() -> None:
    """180 kg DM/m3 at 55 % moisture in 1.25 x 1.23 m is 603.8 kg: 60.4 s at 10 kg/s; 2.5 turns of
    3.927 m at 2.5 m/s with 2 s delay and 2 s cut are 7.93 s; 16 turns at 32 rpm with 2 s rolling
    are 32 s; 1500 m at 1.7 times are 32.1 bales to a set of rolls; 603.8 / 4 = 151 m of row are
    1.006 turns of 150 m and 906 m2.
    """
    work = work_of(SILAGE)
    assert work.mass_kg == pytest.approx(603.8, abs=0.05)
    assert work.phases.fill_s == pytest.approx(60.38, abs=0.005)
    assert work.phases.bind_s == pytest.approx(7.927, abs=5e-4)
    assert work.phases.gate_s == pytest.approx(8.0)
    assert work.phases.wrap_s == pytest.approx(32.0)
    assert work.phases.wrapper_s == pytest.approx(6.0 + 32.0 + 7.0)
    film, net = work.stops[:2]
    assert film.every_bales == pytest.approx(1500 * 1.7 / (16 * 2 * 2.48), rel=1e-12)
    assert net.every_bales == pytest.approx(3000 / (2.5 * math.pi * 1.25), rel=1e-12)
    assert work.headland.per_bale == pytest.approx(1.0063, abs=1e-4)
    assert work.bale_m2 == pytest.approx(905.6, abs=0.1)


@pytest.mark.law
@given(fill_s=parts, bind_s=parts, gate_s=parts, wrap_s=parts)
def test_without_stops_it_is_the_plain_cycle(
    fill_s: float, bind_s: float, gate_s: float, wrap_s: float
) -> None:
    """Without stops, turns and buffer the pace is that of the two stations side by side."""
    pace = work_pace(Work(Phases(fill_s, bind_s, gate_s, 2.0, wrap_s, 3.0), 600.0))
    plain = pace_of(Cycle(fill_s, bind_s + gate_s, wrap_s + 5.0), 600.0)
    assert pace.pace_bales_h == pytest.approx(plain.pace_bales_h, rel=1e-12)
    assert pace.throughput_t_h == pytest.approx(plain.throughput_t_h, rel=1e-12)
    assert pace.held_back_by is plain.held_back_by


@pytest.mark.derived
def test_stops_and_turns_are_met_bale_by_bale() -> None:
    """The mean over 3 x 5 x 7 bales laid out one by one is the mean that is given at once.

    Every 3rd bale has a turn of 9 s, the chamber stops 40 s at every 5th and the machine 100 s at
    every 7th; 3, 5 and 7 meet each other equally often, so the sum over 105 bales is exact.
    """
    stops = (
        Stop("net", 5.0, 40.0, Stands.CHAMBER),
        Stop("film", 7.0, 100.0),
    )
    pace = work_pace(
        Work(Phases(50.0, 5.0, 5.0, 5.0, 55.0, 5.0), 600.0, stops, Headland(1 / 3, 9.0))
    )
    brute_s = sum(
        max(60.0 + 9.0 * (bale % 3 == 0) + 40.0 * (bale % 5 == 0), 65.0) + 100.0 * (bale % 7 == 0)
        for bale in range(105)
    )
    assert pace.cycle_s == pytest.approx(brute_s / 105, rel=1e-12)


@pytest.mark.law
@settings(max_examples=60)
@given(work=works)
def test_time_balance_closes(work: Work) -> None:
    """Filling, turning, standing, waiting and stops are all of the driver's time."""
    pace = work_pace(work)
    shares = pace.shares
    assert sum(vars(shares).values()) == pytest.approx(1.0, rel=1e-9)
    assert min(vars(shares).values()) >= 0.0
    assert pace.throughput_t_h == pytest.approx(pace.pace_bales_h * work.mass_kg / 1000)


@pytest.mark.law
@settings(max_examples=60)
@given(work=works, name=st.sampled_from(NAMES), more_s=st.floats(0.01, 100.0))
def test_a_longer_phase_never_makes_more_bales(work: Work, name: str, more_s: float) -> None:
    """Whatever the stops and turns, more seconds in a phase never raise the pace."""
    longer = replace(work.phases, **{name: getattr(work.phases, name) + more_s})
    before, after = work_pace(work), work_pace(replace(work, phases=longer))
    assert after.pace_bales_h <= before.pace_bales_h * (1.0 + 1e-12)


@pytest.mark.law
@settings(max_examples=60)
@given(work=works, name=st.sampled_from(NAMES))
def test_what_a_second_is_worth_is_the_slope(work: Work, name: str) -> None:
    """The worth of a second is what a step of 1e-6 s really changes, on either side."""
    step_s = 1e-6
    now = work_pace(work)
    worth = {one.phase: one for one in now.seconds}[name]

    def at(change_s: float) -> WorkPace:
        moved = replace(work.phases, **{name: getattr(work.phases, name) + change_s})
        return work_pace(replace(work, phases=moved))

    gained = (at(-step_s).pace_bales_h - now.pace_bales_h) / step_s
    lost = (now.pace_bales_h - at(step_s).pace_bales_h) / step_s
    # the difference of two paces near 100/h keeps ten digits: 1e-4 bales/h a second and curvature
    assert worth.saved_bales_h == pytest.approx(gained, rel=1e-3, abs=1e-4)
    assert worth.added_bales_h == pytest.approx(lost, rel=1e-3, abs=1e-4)


@pytest.mark.derived
def test_at_the_kink_both_sides_are_told() -> None:
    """Where both stations take 60 s a second saved in one of them is worth nothing, and a second
    more costs 3600/60^2 = 1 bale/h.
    """
    pace = work_pace(Work(Phases(45.0, 10.0, 5.0, 5.0, 50.0, 5.0), 600.0))
    for worth in pace.seconds:
        assert (worth.saved_bales_h, worth.added_bales_h) == pytest.approx((0.0, 1.0))


@pytest.mark.derived
def test_the_speed_where_the_bottleneck_changes() -> None:
    """At that speed both stations take equally long; slower the chamber, faster the wrapper."""
    slow = replace(SILAGE, row=Row(4.0, 2.5), wrap=replace(SILAGE.wrap, rpm=16.0))
    speed = turning_speed_m_s(slow)
    assert speed is not None
    at = replace(slow, row=replace(slow.row, speed_m_s=speed))
    phases = work_of(at).phases
    assert phases.chamber_s == pytest.approx(phases.wrapper_s, rel=1e-9)
    for factor, by in ((0.9, HeldBack.FILLING), (1.1, HeldBack.WRAPPER)):
        driven = replace(slow, row=replace(slow.row, speed_m_s=speed * factor))
        assert work_pace(work_of(driven)).held_back_by is by
    assert turning_speed_m_s(replace(SILAGE, wrap=None)) is None


@pytest.mark.law
def test_every_setting_has_the_effect_that_its_kind_has() -> None:
    """Speed and windrow help; delays, turns and a dry, dense bale cost bales; more stretch means
    fewer roll changes; a denser bale makes more tonnes at the same feed.
    """
    found = {effect.setting: effect for effect in setting_effects(SILAGE)}
    now = work_pace(work_of(SILAGE))
    for name in ("speed_m_s", "windrow_kg_m", "pre_stretch_frac"):
        assert found[name].up.pace_bales_h > now.pace_bales_h > found[name].down.pace_bales_h
    for name in ("binding_turns", "binding_delay_s", "open_s", "wrap_turns", "dry_matter_kg_m3"):
        assert found[name].up.pace_bales_h < now.pace_bales_h < found[name].down.pace_bales_h
    assert found["dry_matter_kg_m3"].up.throughput_t_h > now.throughput_t_h
    assert found["wrap_rpm"].up.pace_bales_h == now.pace_bales_h  # the wrapper waits anyway
    assert not [effect for effect in setting_effects(replace(SILAGE, wrap=None))
                if effect.setting.startswith("wrap")]  # fmt: skip


@pytest.mark.law
def test_a_step_out_of_range_is_unknown_not_zero() -> None:
    """At 80 rpm there is no step up, and none is made up."""
    fast = replace(SILAGE, wrap=replace(SILAGE.wrap, rpm=80.0))
    effect = next(one for one in setting_effects(fast) if one.setting == "wrap_rpm")
    assert effect.up is None
    assert effect.down is not None


@pytest.mark.own
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0, 1e9])
@pytest.mark.parametrize("name", [*NAMES, "buffer_s"])
def test_phases_that_cannot_be_are_refused(name: str, bad: float) -> None:
    """NaN, infinity, negative and absurd seconds are refused by name; so is a fill of nothing."""
    good = dict.fromkeys(NAMES, 10.0)
    with pytest.raises(BadInput, match=name):
        Phases(**{**good, name: bad})
    with pytest.raises(BadInput, match="fill_s"):
        Phases(0.0, 10.0, 5.0)


@pytest.mark.own
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0, 1e9])
def test_work_that_cannot_be_is_refused(bad: float) -> None:
    """Stops, turns, mass and field refuse what cannot be, by name."""
    good = Phases(60.0, 8.0, 8.0)
    for name, make in (
        ("every_bales", lambda: Stop("x", bad, 10.0)),
        ("lasts_s", lambda: Stop("x", 10.0, bad)),
        ("per_bale", lambda: Headland(bad, 5.0)),
        ("turn_s", lambda: Headland(1.0, bad)),
        ("mass_kg", lambda: Work(good, bad)),
        ("bale_m2", lambda: Work(good, 600.0, bale_m2=bad)),
        ("windrow_kg_m", lambda: Row(bad, 2.0)),
        ("speed_m_s", lambda: Row(4.0, bad)),
        ("run_m", lambda: Row(4.0, 2.0, run_m=bad)),
    ):
        with pytest.raises(BadInput, match=name):
            make()
    with pytest.raises(BadInput, match="stops"):
        Work(good, 600.0, (Stop("x", 10.0, 10.0),) * 13)
