"""The race under chance: against processes, closed forms and known rates, and its laws."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from balewright.plan.pace.chance import Runs, Times, bales_of_field, race, race_times, times_of
from balewright.plan.pace.chances import chance_pace, finish_quantile_h, finish_within_frac
from balewright.plan.pace.closed import mean_cycle_s
from balewright.plan.pace.settings import work_of
from balewright.plan.pace.steady import work_pace
from balewright.plan.pace.variation import Factors, Shape, Variation, draw_factors
from balewright.plan.pace.work import Headland, Phases, Stands, Stop, Work
from balewright.quantities.errors import BadInput
from plan.pace.as_processes import run_processes
from plan.pace.examples import PLAIN, SILAGE
from plan.pace.examples import RACED as FULL

USUAL = Variation(0.2, 0.1, 0.1, 0.05, 0.1)
NAMES = ("fill_s", "bind_s", "gate_s", "take_over_s", "wrap_s", "tip_s")


def factors_of(runs: int, bales: int, variation: Variation = USUAL, seed: int = 7) -> Factors:
    """Draws of a fixed seed."""
    return draw_factors(np.random.default_rng(seed), runs, bales, variation)


def plainly(times: Times, buffer_s: float) -> NDArray[np.float64]:
    """Finish times by the recurrence in plain NumPy, one bale after the other."""
    runs, bales = times.fill_s.shape
    starts, free, gathered = np.zeros(runs), np.zeros(runs), np.zeros(runs)
    finish_s = np.empty((runs, bales))
    for bale in range(bales):
        fill = times.fill_s[:, bale] - gathered
        bound = starts + times.chamber_stop_s[bale] + fill + times.bind_s[:, bale]
        opens = np.maximum(bound, free)
        away = times.machine_stop_s[bale] + times.lost_s[:, bale]
        free = opens + away + times.wrapper_stop_s[bale] + times.wrap_s[:, bale]
        free = free + times.tip_s[:, bale]
        starts = opens + away + times.gate_s[:, bale]
        finish_s[:, bale] = free
        if bale + 1 < bales:
            open_s = times.bind_s[:, bale] + opens - bound + times.gate_s[:, bale]
            gathered = np.minimum(np.minimum(buffer_s, open_s), times.fill_s[:, bale + 1])
    return finish_s


@pytest.mark.reference
@pytest.mark.check(model="pace.chance", source="simpy")
@pytest.mark.parametrize("work", [PLAIN, FULL], ids=["plain", "all stops"])
def test_the_same_finish_times_as_processes(work: Work) -> None:
    """2,000 bales with roll changes, grease, breaks and turns end at the very times at which two
    processes of a general event library end them: the difference is 0.0, not small.
    """
    times = times_of(work, factors_of(2, 2000))
    runs = race_times(times)
    for run in range(2):
        assert run_processes(work, times, run) == runs.finish_s[run].tolist()


@pytest.mark.law
@pytest.mark.parametrize("buffer_s", [0.0, 6.0, 1000.0])
def test_compiled_as_plain(buffer_s: float) -> None:
    """The compiled race gives what the recurrence in plain NumPy gives, to the last digit."""
    times = times_of(FULL, factors_of(5, 300))
    assert np.array_equal(race_times(times, buffer_s).finish_s, plainly(times, buffer_s))


@pytest.mark.derived
@pytest.mark.check(model="pace.closed", source="hunt-1956")
@pytest.mark.parametrize(("first", "second"), [(1.0, 1.0), (1.0, 2.0), (0.5, 0.75)])
def test_two_exponential_stations(first: float, second: float) -> None:
    """Rates m1, m2 and no room between: 1/(1/m1 + 1/m2 - 1/(m1 + m2)), 2/3 where both are 1.

    By hand: the mean of the later of two exponential times. Hunt 1956, from memory, has the 2/3.
    Gamma with spread 1 is the exponential. The integral is good to 1e-9.
    """
    rate = 1.0 / (1.0 / first + 1.0 / second - 1.0 / (first + second))
    work = Work(Phases(60.0 / first, 0.0, 0.0, 0.0, 60.0 / second, 0.0), 600.0)
    assert 60.0 / mean_cycle_s(work, Variation(1.0, 0, 0, 1.0)) == pytest.approx(rate, rel=1e-9)
    if first == second == 1.0:
        assert 60.0 / mean_cycle_s(work, Variation(1.0, 0, 0, 1.0)) == pytest.approx(2.0 / 3.0)


@pytest.mark.derived
@pytest.mark.check(model="pace.chance", source="hunt-1956")
@pytest.mark.parametrize(("first", "second"), [(1.0, 1.0), (1.0, 0.5)])
def test_the_race_reaches_the_rate_of_the_formula(first: float, second: float) -> None:
    """The race keeps 2/3 of equal rates and 3/7 of 1 and 1/2, within five standard errors of 400
    runs of 2,000 bales, which are under 0.2 % of it.
    """
    work = Work(Phases(60.0 / first, 0.0, 0.0, 0.0, 60.0 / second, 0.0), 600.0)
    cycles = race(work, factors_of(400, 2000, Variation(1.0, 0, 0, 1.0))).whole_s / 2000
    exact_s = 60.0 * (1.0 / first + 1.0 / second - 1.0 / (first + second))
    error_s = cycles.std(ddof=1) / math.sqrt(400)
    # a run also holds the first filling or the last wrapping once: under one cycle in 2,000
    assert abs(cycles.mean() - exact_s) < 5.0 * error_s + exact_s / 2000
    assert error_s < 0.002 * exact_s


@pytest.mark.law
@pytest.mark.parametrize("shape", list(Shape))
@pytest.mark.parametrize("work", [PLAIN, replace(FULL, stops=FULL.stops[:1])])
def test_the_race_tends_to_the_closed_form(work: Work, shape: Shape) -> None:
    """Mean cycle of 200 runs of 5,000 bales: within five standard errors of the one integral."""
    variation = Variation(fill_frac=0.25, wrap_frac=0.08, shape=shape)
    cycles = race(work, factors_of(200, 5000, variation)).whole_s / 5000
    error_s = cycles.std(ddof=1) / math.sqrt(200)
    exact_s = mean_cycle_s(work, variation)
    # start, last bale and the roll change not yet due: at most 250 s in 5,000 bales
    assert abs(cycles.mean() - exact_s) < 5.0 * error_s + 250.0 / 5000
    assert mean_cycle_s(work, variation) > work_pace(work).cycle_s  # chance costs bales


@pytest.mark.law
def test_without_spread_the_closed_form_is_the_steady_pace() -> None:
    """With nothing that varies the integral and the steady pace are one."""
    steady_s = work_pace(FULL).cycle_s
    assert mean_cycle_s(FULL, Variation()) == pytest.approx(steady_s, rel=1e-12)


@pytest.mark.law
def test_the_race_tends_to_the_steady_pace() -> None:
    """With nothing that varies the race is the steady pace but for its start and its last bale.

    Turns every 4 in 3 bales and stops after 37, 53 and 41 meet in every way once in
    4 x 37 x 53 x 41 bales; start and last bale together are under two cycles of 60 s and a stop.
    """
    stops = (
        Stop("pickup", 37.0, 20.0, Stands.CHAMBER),
        Stop("cutter", 53.0, 15.0, Stands.WRAPPER),
        Stop("film rolls", 41.0, 150.0),
    )
    work = replace(PLAIN, stops=stops, headland=Headland(0.75, 8.0))
    bales = 4 * 37 * 53 * 41
    cycle_s = race(work, factors_of(1, bales, Variation())).whole_s[0] / bales
    assert cycle_s == pytest.approx(work_pace(work).cycle_s, abs=270.0 / bales)
    for short in (1_000, 10_000):  # no stop more than once too few or too many
        cycle_s = race(work, factors_of(1, short, Variation())).whole_s[0] / short
        assert cycle_s == pytest.approx(work_pace(work).cycle_s, abs=500.0 / short)


@pytest.mark.law
def test_chance_costs_bales_and_fades_with_its_spread() -> None:
    """On the same kind of draws the cycle is longer the more the times vary, and tends to the
    steady cycle as the spread tends to nothing.
    """
    steady_s = work_pace(PLAIN).cycle_s
    longer_s = [
        race(PLAIN, factors_of(20, 10_000, Variation(*[size] * 5))).whole_s.mean() / 10_000
        - steady_s
        for size in (0.4, 0.1, 0.025, 1e-4)
    ]
    assert longer_s[0] > longer_s[1] > longer_s[2] > longer_s[3]
    # what is left: 115 s of start and last bale in 10,000, and five standard errors of 1e-4
    assert abs(longer_s[3]) < 115.0 / 10_000 + 5.0 * 60.0 * 1e-4 / math.sqrt(200_000)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(
    name=st.sampled_from(NAMES),
    more_s=st.floats(0.01, 60.0),
    seed=st.integers(0, 1000),
    buffer_s=st.sampled_from((0.0, 5.0)),
)
def test_no_bale_is_earlier_for_a_longer_phase(
    name: str, more_s: float, seed: int, buffer_s: float
) -> None:
    """On the same draws a longer phase makes no bale of any run earlier; bales keep their order."""
    base = replace(FULL, phases=replace(FULL.phases, buffer_s=buffer_s))
    longer = replace(base.phases, **{name: getattr(base.phases, name) + more_s})
    factors = factors_of(3, 80, seed=seed)
    before, after = race(base, factors), race(replace(base, phases=longer), factors)
    assert (after.finish_s >= before.finish_s - 2.0**-12).all()  # 160 times of 2^-20 s rounding
    assert (np.diff(before.finish_s, axis=1) > 0.0).all()


@pytest.mark.law
@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), bales=st.integers(1, 60), more_s=st.floats(0.0, 30.0))
def test_time_balances_close(seed: int, bales: int, more_s: float) -> None:
    """Driver's time: filling, turning, standing, waiting, stops. Wrapper's: work, stops, idle.

    A larger buffer never makes the job longer.
    """
    factors = factors_of(2, bales, seed=seed)
    runs = race(FULL, factors)
    times = runs.times
    stops = times.chamber_stop_s.sum() + times.machine_stop_s.sum() + times.lost_s.sum(axis=1)
    moved = times.fill_s + times.bind_s
    chamber = moved.sum(axis=1) + times.gate_s[:, :-1].sum(axis=1) + stops + runs.driver_waits_s
    assert chamber == pytest.approx(runs.whole_s, rel=1e-12)
    worked = (times.wrap_s + times.tip_s + times.lost_s).sum(axis=1)
    wrapper = worked + times.wrapper_stop_s.sum() + times.machine_stop_s.sum() + runs.wrapper_idle_s
    assert wrapper == pytest.approx(runs.whole_s, rel=1e-12)
    shares = chance_pace(FULL, factors).shares
    assert sum(vars(shares).values()) == pytest.approx(1.0, rel=1e-9)
    held = [race_times(times, size_s).whole_s for size_s in (0.0, more_s, 2.0 * more_s)]
    assert (held[0] >= held[1]).all()
    assert (held[1] >= held[2]).all()


@pytest.mark.law
def test_buffered_and_steady_agree() -> None:
    """With a buffer and nothing that varies the race settles on the steady pace, whichever part
    bounds what is gathered.
    """
    for buffer_s in (3.0, 8.0, 12.0, 500.0):
        for fill_s in (5.0, 48.0):
            for wrap_s in (2.0, 70.0):
                phases = Phases(fill_s, 8.0, 4.0, 3.0, wrap_s, 6.0, buffer_s)
                runs = race(Work(phases, 600.0), factors_of(1, 400, Variation()))
                settled_s = (runs.finish_s[0, -1] - runs.finish_s[0, 199]) / 200
                assert settled_s == pytest.approx(work_pace(Work(phases, 600.0)).cycle_s, abs=1e-6)


@pytest.mark.law
def test_a_second_saved_is_worth_what_the_steady_pace_says() -> None:
    """With little spread the worth of a second on common draws is the exact slope."""
    factors = factors_of(50, 400, Variation(0.01, 0.01, 0.01, 0.01, 0.01))
    clear = Work(Phases(80.0, 8.0, 4.0, 3.0, 30.0, 6.0), 600.0)
    found = {one.phase: one for one in chance_pace(clear, factors).seconds}
    slope = {one.phase: one.saved_bales_h for one in work_pace(clear).seconds}
    for name in NAMES:
        # one whole second instead of the slope (1 %), and the last wrapping in 400 bales
        assert found[name].saved_bales_h == pytest.approx(slope[name], rel=0.02, abs=0.002)
        assert found[name].error_bales_h < 1e-3


@pytest.mark.law
def test_common_draws_need_far_fewer_runs() -> None:
    """The error of a second's worth on common draws is under a tenth of that on fresh draws, so
    that a hundred times fewer runs tell as much.
    """
    quicker = replace(PLAIN, phases=replace(PLAIN.phases, wrap_s=PLAIN.phases.wrap_s - 1.0))
    one, two = factors_of(200, 200, seed=1), factors_of(200, 200, seed=2)
    before, common, fresh = (
        200 * 3600.0 / race(work, factors).whole_s
        for work, factors in ((PLAIN, one), (quicker, one), (quicker, two))
    )
    assert (common - before).std() < 0.1 * (fresh - before).std()


@pytest.mark.published
@pytest.mark.parametrize(("bales_h", "hours"), [(100.0, 10.0), (40.0, 25.0)])
def test_hours_for_a_thousand_bales(bales_h: float, hours: float) -> None:
    """1000 bales take 10 h at 100 bales an hour and 25 h at 40 (Rudstrom, Minnesota)."""
    work = Work(Phases(0.1, 0.0, 0.0, 10.0, 3600.0 / bales_h - 15.0, 5.0), 1000.0)
    runs = race(work, factors_of(1, 1000, Variation()))
    assert finish_quantile_h(runs, 0.5) == pytest.approx(hours, rel=1e-4)  # the first 0.1 s
    assert finish_within_frac(runs, hours * 1.01) == 1.0
    assert finish_within_frac(runs, hours * 0.99) == 0.0


@pytest.mark.derived
def test_bales_of_a_field() -> None:
    """9.5 ha at 906 m2 a bale are 105 bales; without the gathered width it is refused."""
    assert bales_of_field(work_of(SILAGE), 9.5) == 105
    with pytest.raises(BadInput, match="bale_m2"):
        bales_of_field(PLAIN, 9.5)


@pytest.mark.law
def test_the_same_seed_gives_the_same_answer() -> None:
    """Draws are made by the caller's generator alone, so an answer can be made again."""
    one, two = (chance_pace(FULL, factors_of(20, 50, seed=3)) for _ in range(2))
    assert one == two
    assert one != chance_pace(FULL, factors_of(20, 50, seed=4))
    assert one.pace_bales_h.low < one.mean_bales_h < one.pace_bales_h.high


@pytest.mark.law
@pytest.mark.parametrize("shape", list(Shape))
def test_factors_have_their_mean_and_spread(shape: Shape) -> None:
    """Factors have mean 1 and the spread asked for, within five standard errors of 400,000."""
    drawn = factors_of(400, 1000, Variation(fill_frac=0.3, shape=shape)).fill
    assert drawn.mean() == pytest.approx(1.0, abs=5 * 0.3 / math.sqrt(drawn.size))
    assert drawn.std() == pytest.approx(0.3, rel=0.01)


@pytest.mark.reference
@pytest.mark.check(model="pace.variation", source="scipy-stats")
@pytest.mark.parametrize("shape", list(Shape))
@pytest.mark.parametrize("spread", [0.1, 0.5, 1.0, 2.0])
def test_factors_follow_the_distribution_they_name(shape: Shape, spread: float) -> None:
    """Factors follow the library's gamma and lognormal of mean 1 and that spread: the Kolmogorov
    distance of 20,000 draws is no larger than it would be once in a thousand true ones.
    """
    drawn = factors_of(20, 1000, Variation(fill_frac=spread, shape=shape)).fill.ravel()
    if shape is Shape.GAMMA:
        law = stats.gamma(1.0 / spread**2, scale=spread**2)
    else:
        width = math.sqrt(math.log1p(spread**2))
        law = stats.lognorm(width, scale=math.exp(-(width**2) / 2.0))
    assert law.mean() == pytest.approx(1.0)
    assert law.std() == pytest.approx(spread)
    assert stats.kstest(drawn, law.cdf).pvalue > 1e-3


def spoilt(value: float) -> Factors:
    """Factors of which one is not a factor."""
    good = factors_of(2, 3, Variation())
    bad = good.fill.copy()
    bad[1, 1] = value
    return replace(good, fill=bad)


@pytest.mark.own
@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0])
def test_draws_and_spreads_that_cannot_be_are_refused(bad: float) -> None:
    """NaN, infinite and negative factors, spreads, buffers, fields, hours are refused by name."""
    with pytest.raises(BadInput, match="fill"):
        spoilt(bad)
    with pytest.raises(BadInput, match="wrap_frac"):
        Variation(wrap_frac=bad)
    with pytest.raises(BadInput, match="buffer_s"):
        race_times(times_of(PLAIN, factors_of(1, 2)), bad)
    with pytest.raises(BadInput, match="area_ha"):
        bales_of_field(work_of(SILAGE), bad)
    runs = race(PLAIN, factors_of(1, 2))
    with pytest.raises(BadInput, match="hours"):
        finish_within_frac(runs, bad)
    with pytest.raises(BadInput, match="share_frac"):
        finish_quantile_h(runs, bad)


@pytest.mark.own
def test_sizes_that_cannot_be_are_refused() -> None:
    """No runs, no bales, too many draws, unequal arrays, unsure closed forms: each by name."""
    generator = np.random.default_rng(1)
    for runs, bales, name in ((0, 5, "runs"), (5, 0, "bales"), (100_000, 1_000, "runs x bales")):
        with pytest.raises(BadInput, match=name):
            draw_factors(generator, runs, bales, USUAL)
    good = factors_of(2, 3)
    with pytest.raises(BadInput, match="bind"):
        replace(good, bind=np.ones((3, 2)))
    with pytest.raises(BadInput, match="variation"):
        mean_cycle_s(PLAIN, USUAL)
    with pytest.raises(BadInput, match="buffer_s"):
        mean_cycle_s(replace(PLAIN, phases=replace(PLAIN.phases, buffer_s=3.0)), Variation())
    often = tuple(Stop(name, 1.5, 1.0, by_chance=True) for name in "ab")
    with pytest.raises(BadInput, match="stops"):
        times_of(replace(PLAIN, stops=often), good)
    with pytest.raises(BadInput, match="stands"):
        Stop("break", 100.0, 60.0, Stands.WRAPPER, by_chance=True)


@pytest.mark.law
def test_one_bale() -> None:
    """A job of one bale takes filling, binding and wrapping, and has no spread to speak of."""
    runs: Runs = race(PLAIN, factors_of(1, 1, Variation()))
    assert runs.whole_s[0] == 48.0 + 8.0 + 59.0
    assert chance_pace(PLAIN, factors_of(1, 1, Variation())).error_bales_h == math.inf
