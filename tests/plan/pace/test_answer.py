"""The whole answer: out of a sheet, laid out in time, and the same with the same seed."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.pace.answer import Job, answer_pace
from balewright.plan.pace.chance import race
from balewright.plan.pace.settings import Row, work_of, yield_t_ha
from balewright.plan.pace.steady import work_pace
from balewright.plan.pace.timeline import Doing, lay_out
from balewright.plan.pace.variation import Variation, draw_factors
from balewright.plan.pace.work import Phases, Work
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions
from balewright.plan.sheet.to_pace import Unsaid, settings_from_sheet
from balewright.quantities.errors import BadInput
from balewright.readers.profile import shipped_profiles
from plan.pace.examples import RACED, SILAGE

MAKES = shipped_profiles()
SECOND_CUT = Conditions(
    crop=Crop.GRASS_SILAGE,
    moisture_frac=0.55,
    windrow_kg_m=4.0,
    speed_m_s=2.5,
    slope_frac=0.02,
    dusty=False,
    stony=False,
    film=Film(0.75, 25e-6, 1500.0, 0.70),
    net_roll_m=3000.0,
    storage_months=8.0,
    bales=200,
)


@pytest.mark.law
@pytest.mark.parametrize("make", MAKES)
def test_the_sheet_expects_the_same_pace(make: str) -> None:
    """Without stops and turns the pace out of a sheet is the one that the sheet expects."""
    sheet = plan_bale(MAKES[make], SECOND_CUT, None, "test")
    work = work_of(settings_from_sheet(sheet, MAKES[make]))
    bare = work_pace(replace(work, stops=()))
    assert bare.pace_bales_h == pytest.approx(sheet.expected.pace_bales_h, rel=1e-12)
    assert bare.cycle_s == pytest.approx(sheet.expected.cycle_s, rel=1e-12)
    assert str(bare.held_back_by) == sheet.expected.held_back_by
    assert work.mass_kg == pytest.approx(sheet.expected.mass_kg.best, rel=1e-12)


@pytest.mark.law
def test_stops_of_the_sheet_and_the_profile() -> None:
    """Film and net rolls last as long as the sheet says, service falls due as the profile says,
    breaks only where somebody says how often; a plain baler has neither film nor breaks.
    """
    make = MAKES["mossgrinder-m2"]
    sheet = plan_bale(make, SECOND_CUT, None, "test")
    stops = {
        stop.key: stop
        for stop in work_of(settings_from_sheet(sheet, make, Unsaid(break_bales=80.0))).stops
    }
    rolls = sheet.expected.film_rolls
    assert rolls is not None
    # a set of two rolls is worth twice one roll
    assert stops["film rolls"].every_bales == pytest.approx(2 * 200 / rolls, rel=1e-9)
    assert stops["net roll"].every_bales == pytest.approx(200 / sheet.expected.net_rolls, rel=1e-9)
    assert stops["grease-cartridge"].every_bales == 420
    assert stops["grease-cartridge"].lasts_s == 600
    assert stops["film break"].by_chance
    assert "film break" not in {
        stop.key for stop in work_of(settings_from_sheet(sheet, make)).stops
    }
    plain = MAKES["plainrow-p0"]
    dry = replace(SECOND_CUT, crop=Crop.HAY, moisture_frac=0.15, film=None)
    bare = settings_from_sheet(plan_bale(plain, dry, None, "t"), plain, Unsaid(break_bales=80.0))
    assert bare.wrap is None
    assert not {"film rolls", "film break"} & {stop.key for stop in work_of(bare).stops}


@pytest.mark.law
@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_lanes_hold_every_bale_without_overlap(seed: int) -> None:
    """In a lane one span ends before the next begins; each bale ends when the race says; the gate
    opens only when the wrapper is free.
    """
    variation = Variation(0.3, 0.2, 0.2, 0.2, 0.2)
    runs = race(RACED, draw_factors(np.random.default_rng(seed), 2, 60, variation))
    spans = lay_out(runs, 1, 60)
    for lane in (True, False):
        here = [span for span in spans if span.in_chamber is lane]
        for one, then in itertools.pairwise(here):
            assert one.end_s <= then.start_s
    tips = {span.bale: span.end_s for span in spans if span.doing is Doing.TIPPING}
    assert [tips[bale] for bale in range(1, 61)] == runs.finish_s[1].tolist()
    for span in spans:
        if span.doing is Doing.OPEN and span.bale > 1:
            assert span.start_s >= tips[span.bale - 1]


@pytest.mark.law
def test_an_answer_can_be_made_again() -> None:
    """The same question and seed give the same value, another seed another chance only."""
    one, two = answer_pace(SILAGE, Job(seed=4, runs=50)), answer_pace(SILAGE, Job(seed=4, runs=50))
    assert one == two
    other = answer_pace(SILAGE, Job(seed=5, runs=50))
    assert other.steady == one.steady
    assert other.chance != one.chance
    assert {span.bale for span in one.spans} == {1, 2, 3, 4, 5}
    at = {round(point.speed_m_s, 6): point.pace_bales_h for point in one.by_speed}
    assert at[2.5] == one.steady.pace_bales_h


@pytest.mark.law
def test_pace_over_speed_never_falls_and_is_flat_past_the_kink() -> None:
    """Driving faster never makes fewer bales, and none more once the wrapper sets the pace."""
    slow = replace(SILAGE, row=Row(4.0, 2.5), wrap=replace(SILAGE.wrap, rpm=16.0))
    answer = answer_pace(slow, Job(runs=2))
    paces = [point.pace_bales_h for point in answer.by_speed]
    assert paces == sorted(paces)
    kink = answer.turning_speed_m_s
    past = [point.pace_bales_h for point in answer.by_speed if point.speed_m_s >= kink]
    assert max(past) == pytest.approx(min(past), rel=1e-12)


@pytest.mark.derived
def test_bare_times_know_no_settings() -> None:
    """A work given by its times has no effects and no speed; with a buffer there are no lanes."""
    answer = answer_pace(Work(Phases(60.0, 10.0, 8.0, buffer_s=4.0), 500.0), Job(bales=10, runs=5))
    assert answer.settings is None
    assert (answer.effects, answer.by_speed, answer.spans) == ((), (), ())
    assert answer.turning_speed_m_s is None
    assert yield_t_ha(SILAGE.row) == pytest.approx(6.667, abs=1e-3)
    assert yield_t_ha(Row(4.0, 2.5)) is None


@pytest.mark.own
@pytest.mark.parametrize(
    ("name", "bad"),
    [("bales", 0), ("bales", 10**9), ("runs", 1), ("runs", True), ("seed", -1), ("seed", 1.5)],
)
def test_jobs_that_cannot_be_are_refused(name: str, bad: float) -> None:
    """Counts out of range, broken or no counts at all are refused by name."""
    with pytest.raises(BadInput, match=name):
        Job(**{name: bad})
    for fault in (float("nan"), -1.0):
        with pytest.raises(BadInput, match="break_bales"):
            Unsaid(break_bales=fault)
