"""Turns for every bale to expect, turns by chance, lost rolls, the monitor, roll changes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plan.sheet.jobs import FILM, RING, SECOND_CUT, TABLE, line_of, number, sheet_for

from balewright.plan.crop import Crop
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.layers import count_layers, count_round
from balewright.plan.film.spread import exact, normal
from balewright.plan.film.strip import Bale
from balewright.plan.film.tolerance import chance_of
from balewright.plan.film.varying import Draws, StretchedFilm, Varying
from balewright.plan.machine import Machine
from balewright.plan.sheet.bale import look_at_job
from balewright.plan.sheet.film_plan import SLIVER_M, WANTED_FRAC, turns_for_span, wrapping_of
from balewright.plan.sheet.setting import Job
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval


def job_of(diameter_m: Interval) -> Job:
    """The second cut on the table, for bales of those diameters."""
    job = look_at_job(TABLE, SECOND_CUT)
    return replace(job, bale=replace(job.bale, diameter_m=diameter_m.best), diameter_m=diameter_m)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(
    best_m=st.floats(1.0, 1.4),
    leaner_m=st.floats(0.0, 0.03),
    fatter_m=st.floats(0.0, 0.03),
    more_m=st.floats(0.0, 0.06),
    layers=st.sampled_from([4, 6]),
)
def test_fatter_bales_never_ask_for_fewer_turns(
    best_m: float, leaner_m: float, fatter_m: float, more_m: float, layers: int
) -> None:
    """Where the fattest bale to expect is fatter, the turns for all of them never fall."""
    assert TABLE.wrapper is not None
    span = Interval(best_m - leaner_m, best_m, best_m + fatter_m)
    wider = Interval(span.low, span.best, span.high + more_m)
    film = replace(FILM, pre_stretch_frac=0.67)
    turns = [turns_for_span(TABLE.wrapper, film, job_of(one), layers) for one in (span, wider)]
    assert turns[1] >= turns[0]


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(diameter_m=st.floats(1.0, 1.5), fatter_m=st.floats(0.0, 0.3))
def test_with_two_rolls_a_fatter_bale_never_takes_fewer_turns(
    diameter_m: float, fatter_m: float
) -> None:
    """On the ring the turns rise with the diameter, without exception."""
    assert RING.wrapper is not None
    turns = []
    for one_m in (diameter_m, diameter_m + fatter_m):
        job = replace(look_at_job(RING, SECOND_CUT), diameter_m=Interval(one_m, one_m, one_m))
        turns.append(turns_for_span(RING.wrapper, FILM, job, 6))
    assert turns[1] >= turns[0]


@pytest.mark.derived
@pytest.mark.parametrize("moisture_frac", [0.62, 0.35])
@pytest.mark.parametrize("make", [RING, TABLE], ids=lambda make: str(make.key))
def test_no_bale_to_expect_has_more_than_a_sliver_short(
    make: Machine, moisture_frac: float
) -> None:
    """Counted every 5 mm of diameter, also where a bale is worse off than a fatter one."""
    job = look_at_job(make, replace(SECOND_CUT, moisture_frac=moisture_frac))
    sheet = sheet_for(make, moisture_frac=moisture_frac)
    turns, layers = int(number(sheet, "wrap_turns")), int(number(sheet, "layers"))
    assert make.wrapper is not None
    assert job.film is not None
    for step in range(11):
        diameter_m = job.diameter_m.low + step / 10 * (job.diameter_m.high - job.diameter_m.low)
        bale = Bale(round(diameter_m / 0.005) * 0.005, job.bale.length_m)
        count = count_layers(bale, wrapping_of(make.wrapper, job.film, bale, layers, turns))
        assert count.sliver_m <= SLIVER_M
    best = wrapping_of(make.wrapper, job.film, job.bale, layers, turns)
    assert count_layers(job.bale, best).thinnest_anywhere >= layers


@pytest.mark.derived
@pytest.mark.parametrize("make", [RING, TABLE], ids=lambda make: str(make.key))
@pytest.mark.parametrize("spread_m", [0.005, 0.02, 0.04])
def test_turns_by_chance_reach_the_share_that_is_wanted(make: Machine, spread_m: float) -> None:
    """With 16,000 draws instead of 128: the wanted share of bales to 0.02, and one turn less is
    not enough or leaves the bale to expect short.
    """
    sheet = sheet_for(make, diameter_spread_m=spread_m)
    job = look_at_job(make, replace(SECOND_CUT, diameter_spread_m=spread_m))
    wrapper, film = make.wrapper, job.film
    assert wrapper is not None
    assert film is not None
    varying = Varying(
        diameter=normal(job.bale.diameter_m, spread_m),
        length_m=job.bale.length_m,
        turning=normal(wrapper.advance_m, 0.02 * wrapper.advance_m),
        film=StretchedFilm(
            film.width_m, exact(film.pre_stretch_frac), exact(film.neck_in_exponent)
        ),
    )
    goal = Goal(6, allowed_sliver_m=SLIVER_M)

    def chance(turns: float) -> float:
        leg = Leg(turns, (True,) * wrapper.dispensers, varying.best_bale_turn)
        return chance_of(varying, Course((leg,)), goal, Draws(11, 8)).chance_frac

    turns = number(sheet, "wrap_turns")
    assert chance(turns) >= WANTED_FRAC - 0.02  # two standard errors of the sheet's own draws
    told = float(line_of(sheet, "wrap_turns").reason.value("chance_frac"))
    assert told == pytest.approx(min(chance(turns), 0.99), abs=0.025)
    less = wrapping_of(wrapper, film, job.bale, 6, int(turns) - 1)
    short = count_layers(job.bale, less).thinnest_anywhere < 6
    assert short or chance(turns - 1) <= WANTED_FRAC + 0.02


@pytest.mark.derived
def test_the_table_of_lost_rolls() -> None:
    """Each quarter of the turns: what the other roll must reach covers the fattest bale's round
    side, and a turn less does not.
    """
    sheet = sheet_for(RING)
    assert [lost.at_turn for lost in sheet.lost_rolls] == [0, 3, 6, 9]
    job = look_at_job(RING, SECOND_CUT)
    assert RING.wrapper is not None
    assert job.film is not None
    bale = Bale(job.diameter_m.high, job.bale.length_m)
    one = wrapping_of(RING.wrapper, job.film, bale, 6)
    for lost in sheet.lost_rolls:
        for turns, covered in ((lost.reach_turn, True), (lost.reach_turn - 1, False)):
            there = replace(one, turns=(float(turns), float(lost.at_turn)))
            assert (count_round(bale, there).short_frac(6) < 1e-9) is covered
    assert sheet_for(TABLE).lost_rolls == ()
    assert sheet_for(RING, film=None).lost_rolls == ()


@pytest.mark.derived
def test_the_monitor_says_what_is_lost_without_it() -> None:
    """One of two films missing all the way leaves half the strips: counted, not guessed."""
    reason = line_of(sheet_for(RING), "break_monitor").reason
    job = look_at_job(RING, SECOND_CUT)
    assert RING.wrapper is not None
    assert job.film is not None
    alone = wrapping_of(RING.wrapper, job.film, job.bale, 6)
    count = count_round(job.bale, replace(alone, turns=(12.0, 0.0)))
    assert reason.value("left_layers") == count.thinnest()
    assert float(reason.value("left_layers")) <= 3
    assert line_of(sheet_for(TABLE), "break_monitor").value == "none"


@pytest.mark.derived
def test_rolls_change_when_their_metres_are_gone() -> None:
    """A roll gives 35.0 m a bale at 12 turns: 1500 m end in bale 43, the next in bale 86; 360 m
    left end in bale 11; a 2000 m net roll of 9.82 m a bale ends in bale 204.
    """
    sheet = sheet_for(RING, bales=300, rolls_left_m=(360.0, 1500.0), net_roll_m=2000.0)
    bales: dict[str, list[float]] = {}
    for change in sheet.roll_changes:
        bales.setdefault(change.roll, []).append(change.bale.best)
        assert change.bale.low <= change.bale.best <= change.bale.high
        assert change.bale.confidence == 0.95
    assert bales["film 1"][0] == 11
    assert bales["film 2"][:2] == [43, 86]
    assert bales["net"] == [204]
    order = [change.bale.best for change in sheet.roll_changes]
    assert order == sorted(order)


@pytest.mark.own
def test_no_more_changes_than_a_page_holds() -> None:
    """A job of 100,000 bales lists its first twelve; without film there are none of film."""
    assert len(sheet_for(RING, bales=100_000).roll_changes) == 12
    assert {change.roll for change in sheet_for(TABLE, bales=500).roll_changes} == {"film", "net"}
    none = sheet_for(TABLE, film=None, net_roll_m=None)
    assert none.roll_changes == ()


@pytest.mark.own
def test_rolls_that_the_machine_has_no_place_for_are_refused() -> None:
    """Two rolls on one dispenser, or metres that cannot be, are named."""
    with pytest.raises(BadInput, match="rolls_left_m: needs one number for each of 1 dispensers"):
        sheet_for(TABLE, rolls_left_m=(100.0, 200.0))
    with pytest.raises(BadInput, match=r"rolls_left_m\[0\]"):
        sheet_for(RING, rolls_left_m=(float("nan"), 200.0))


@pytest.mark.own
def test_hay_lists_no_film_roll() -> None:
    """Only net changes on a dry crop."""
    sheet = sheet_for(RING, crop=Crop.HAY, moisture_frac=0.14, bales=500, net_roll_m=2000.0)
    assert {change.roll for change in sheet.roll_changes} == {"net"}


@pytest.mark.own
@pytest.mark.parametrize("wrong", [-0.01, 0.31, float("nan"), float("inf")])
def test_a_spread_that_cannot_be_is_refused(wrong: float) -> None:
    """Diameters do not differ by nothing less than nothing, nor by 0.3 m."""
    with pytest.raises(BadInput, match="diameter_spread_m"):
        sheet_for(RING, diameter_spread_m=wrong)
