"""Charts of counts against a published table, an independent program and plain NumPy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from balewright.findings.charts import counts_kernel as counts
from balewright.findings.charts import cusum_kernel as cusum
from balewright.findings.charts.count_runs import (
    CountChart,
    count_chance,
    count_limit,
    count_run_bales,
    rare_limit,
    rare_run_bales,
)


def chart_with(expected: float, kappa: float) -> tuple[CountChart, float]:
    """The Poisson chart whose sum falls by kappa events a bale, and what one event is worth."""
    ratio = brentq(lambda r: (r - 1.0) * expected / math.log(r) - kappa, 1.0001, 50.0)
    return CountChart(expected, ratio), math.log(ratio)


@pytest.mark.check(model="run length of a chart of counts", source="lucas-1985-counts")
@pytest.mark.reference
def test_lucas_run_lengths_of_a_cusum_of_counts() -> None:
    """Limit 6 (reached), reference 2: 37.2 bales at 1.88 events each, 5.49 when it rises."""
    chart, unit = chart_with(1.88, 2.0)
    below = 5.0 * unit  # whole counts: above 5 is 6 or more
    risen = 1.0 + 0.9627 / math.sqrt(1.88)
    assert f"{count_run_bales(chart, below):.1f}" == "37.2"
    assert f"{count_run_bales(chart, below, risen):.2f}" == "5.49"


@pytest.mark.check(model="run length of a chart of counts", source="spc-r")
@pytest.mark.reference
def test_run_lengths_of_counts_are_those_of_an_independent_program() -> None:
    """Rare and frequent events, in order and risen, to 9 digits where the chain is exact."""
    rare, unit = chart_with(0.02, 1.0 / 30.0)
    got = [count_run_bales(rare, 5.0 * unit), count_run_bales(rare, 5.0 * unit, 3.0)]
    assert got == pytest.approx([12475.6911319, 175.1702535], rel=1e-9)
    assert count_run_bales(rare, 151.0 / 30.0 * unit) == pytest.approx(12889.24251, rel=1e-9)
    many, unit = chart_with(4.0, 5.0)
    got = [count_run_bales(many, 9.0 * unit), count_run_bales(many, 9.0 * unit, 1.5)]
    assert got == pytest.approx([421.65009848612, 9.726166207028], rel=1e-9)


CHARTS = [
    (CountChart(0.03, 3.0), 4.0),
    (CountChart(0.4, 1.7), 3.3),
    (CountChart(0.05, 3.0, single=True), 3.9),
    (CountChart(0.5, 2.0, down=True), 3.0),
    (CountChart(0.2, 2.5, single=True, down=True), 3.1),
]


@pytest.mark.law
@pytest.mark.parametrize(("chart", "limit"), CHARTS, ids=str)
def test_a_simulated_chart_runs_as_long_as_the_chain_says(chart: CountChart, limit: float) -> None:
    """Off the grid too: the walk less its lowest point, simulated with a fixed seed."""
    rng = np.random.default_rng(8)
    mean = count_run_bales(chart, limit)
    unit, takes = chart.moves()
    unit, takes = (-unit, -takes) if chart.down else (unit, takes)
    watched, alarms = 0.0, 0
    for _ in range(600):
        bales = int(4 * mean)
        events = rng.binomial(1, chart.expected, bales) if chart.single else None
        events = rng.poisson(chart.expected, bales) if events is None else events
        walk = np.cumsum(unit * events - takes)
        above = walk - np.minimum.accumulate(np.minimum(walk, 0.0)) > limit
        first = int(np.argmax(above))
        watched += first + 1 if above[first] else bales
        alarms += int(above[first])
    # times to the first alarm are nearly exponential, and cut off after four run lengths
    assert abs(math.log(watched / alarms / mean)) < 3.5 / math.sqrt(alarms)


@pytest.mark.law
@pytest.mark.parametrize("single", [False, True])
def test_the_sums_of_counts_are_those_of_plain_numpy(single: bool) -> None:
    """Rates that change from bale to bale, gaps, both sides: as the walk less its lowest point."""
    rng = np.random.default_rng(2)
    usual = rng.uniform(0.01, 0.2, 3000)
    truth = usual * np.where(np.arange(3000) > 2000, 2.5, 1.0)
    events = (rng.random(3000) < truth) * 1.0 if single else rng.poisson(truth) * 1.0
    events[rng.random(3000) < 0.1] = np.nan
    ratio = 2.0
    if single:
        none_up = np.log((1 - ratio * usual) / (1 - usual))
        none_down = np.log((1 - usual / ratio) / (1 - usual))
        up = np.where(events > 0, math.log(ratio), none_up)
        down = np.where(events > 0, -math.log(ratio), none_down)
    else:
        up = events * math.log(ratio) - (ratio - 1) * usual
        down = -events * math.log(ratio) - (1 / ratio - 1) * usual
    states = cusum.new_cusum(1)
    kernel = counts.bernoulli_kernel if single else counts.poisson_kernel
    kernel(events, usual, np.array([0, 3000]), ratio, 4.0, states)
    heights = []
    for gain, column in ((up, cusum.UP), (down, cusum.DOWN)):
        walk = np.concatenate([[0.0], np.cumsum(np.where(np.isnan(events), 0.0, gain))])
        height = (walk - np.minimum.accumulate(walk))[1:]
        assert states[0, column] == pytest.approx(height[-1], abs=1e-10)
        heights.append(height)
    assert states[0, cusum.ALARM] == np.argmax(np.maximum(*heights) > 4.0)


@pytest.mark.law
@pytest.mark.parametrize("chart", [one for one, _ in CHARTS], ids=str)
def test_limits_of_counts_give_the_wanted_run_length(chart: CountChart) -> None:
    """The run is at least as long as wanted, and just below the limit shorter; chances fit it."""
    limit = count_limit(chart, 2e4)
    assert count_run_bales(chart, limit) >= 2e4
    assert count_run_bales(chart, limit - 2e-3) < 2.1e4
    chance = count_chance(chart, limit, 100.0)
    assert chance == pytest.approx(100.0 / count_run_bales(chart, limit), rel=0.15)
    assert count_chance(chart, limit + 5.0, 100.0) < chance / 20.0
    assert count_chance(chart, 0.0, 1.0) == 1.0


@pytest.mark.law
@pytest.mark.parametrize("ratio", [3.0, 6.0])
def test_rare_events_know_one_clock(ratio: float) -> None:
    """Run lengths of rare events are those of the chain within 4 % at 0.01 a bale, too short by no
    more where events are commoner, and their limits are the inverse, also far beyond the table."""
    for limit in (4.0, 7.3, 11.0):
        told = rare_run_bales(0.01, ratio, limit)
        assert told == pytest.approx(count_run_bales(CountChart(0.01, ratio), limit), rel=0.04)
        assert told / 5.0 < 1.03 * count_run_bales(CountChart(0.05, ratio), limit)
        assert rare_run_bales(0.002, ratio, limit) == pytest.approx(5.0 * told)
    for run_bales in (1e5, 1e7, 1e15):
        limit = rare_limit(0.02, ratio, run_bales)
        assert rare_run_bales(0.02, ratio, limit) == pytest.approx(run_bales, rel=0.02)
    assert rare_run_bales(0.01, ratio, 2000.0) == math.inf


@pytest.mark.law
def test_what_is_no_chart_of_counts_is_refused() -> None:
    """No events expected, a chance above one after the change, a ratio of one: each raises."""
    for values in ((0.0, 2.0), (0.5, 1.0), (-1.0, 2.0)):
        with pytest.raises(ValueError, match="no chart of counts"):
            CountChart(*values)
    with pytest.raises(ValueError, match="no chart of counts"):
        CountChart(0.5, 2.0, single=True)
    with pytest.raises(ValueError, match="a chance of"):
        count_run_bales(CountChart(0.3, 2.0, single=True), 3.0, 4.0)
    with pytest.raises(ValueError, match="no limit"):
        count_run_bales(CountChart(0.3, 2.0), 0.0)
    state = cusum.new_cusum()
    for event, chance in ((math.nan, 0.1), (2.0, 0.1), (1.0, 0.6), (1.0, 0.0)):
        assert counts.bernoulli_step(state, event, chance, 2.0) == (0.0, 0.0)
    assert counts.poisson_step(state, -1.0, 0.1, 2.0) == (0.0, 0.0)
    assert state[cusum.SEEN] == 5.0
