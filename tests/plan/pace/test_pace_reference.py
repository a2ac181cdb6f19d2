"""The pace against processes of an event library and exact laws of sums."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from balewright.plan.pace.chance import race, times_of
from balewright.plan.pace.chances import finish_quantile_h, finish_within_frac
from balewright.plan.pace.closed import mean_cycle_s
from balewright.plan.pace.steady import work_pace
from balewright.plan.pace.variation import Factors, Variation, draw_factors
from balewright.plan.pace.work import Headland, Phases, Stands, Stop, Work
from plan.pace.as_processes import run_processes
from plan.pace.examples import PLAIN


def factors_of(runs: int, bales: int, variation: Variation) -> Factors:
    """Draws of a fixed seed."""
    return draw_factors(np.random.default_rng(11), runs, bales, variation)


@pytest.mark.reference
@pytest.mark.check(model="pace.steady", source="simpy")
@pytest.mark.parametrize("wrap_s", [30.0, 50.0, 75.0])
def test_the_steady_cycle_is_that_of_the_processes(wrap_s: float) -> None:
    """Over a whole round of turns and stops the processes take the cycles that the sum gives.

    Turns come three in four bales, stops after 3, 5 and 7: every combination once in 420 bales.
    """
    stops = (
        Stop("cutter", 3.0, 15.0, Stands.WRAPPER),
        Stop("pickup", 5.0, 20.0, Stands.CHAMBER),
        Stop("film rolls", 7.0, 150.0),
    )
    phases = replace(PLAIN.phases, wrap_s=wrap_s)
    work = replace(PLAIN, phases=phases, stops=stops, headland=Headland(0.75, 8.0))
    finish_s = run_processes(work, times_of(work, factors_of(1, 840, Variation())))
    cycle_s = (finish_s[-1] - finish_s[419]) / 420
    assert work_pace(work).cycle_s == pytest.approx(cycle_s, rel=1e-9)


@pytest.mark.reference
@pytest.mark.check(model="pace.closed", source="simpy")
@pytest.mark.parametrize("spread", [0.1, 0.4])
def test_the_mean_cycle_is_that_of_the_processes(spread: float) -> None:
    """Over 50,000 bales of two processes the mean cycle is the integral's.

    Within five standard errors, the bales being independent: under 1 % of it.
    """
    variation = Variation(fill_frac=spread, wrap_frac=spread)
    finish_s = run_processes(PLAIN, times_of(PLAIN, factors_of(1, 50_000, variation)))
    cycles = np.diff(finish_s)
    error_s = float(cycles.std(ddof=1)) / math.sqrt(cycles.size)
    exact_s = mean_cycle_s(PLAIN, variation)
    assert abs(float(cycles.mean()) - exact_s) < 5.0 * error_s
    assert 5.0 * error_s < 0.01 * exact_s
    assert exact_s > work_pace(PLAIN).cycle_s + 5.0 * error_s  # no pace without chance would do


@pytest.mark.reference
@pytest.mark.check(model="pace.finish", source="scipy-stats")
@pytest.mark.parametrize(
    "work",
    [
        Work(Phases(60.0, 0.0, 0.0, 0.0, 1e-3, 0.0), 600.0),
        Work(Phases(0.1, 0.0, 0.0, 0.0, 60.0, 0.0), 600.0),
    ],
    ids=["chamber alone", "wrapper alone"],
)
def test_chance_to_be_done_by_an_hour(work: Work) -> None:
    """Where one station does all the work, forty bales take a sum of gamma times, a gamma time.

    Shares of 6,000 runs within five binomial errors; quantiles within five of their own.
    """
    runs = race(work, factors_of(6000, 40, Variation(fill_frac=0.5, wrap_frac=0.5)))
    law = stats.gamma(40 / 0.25, scale=60.0 * 0.25 / 3600.0)
    for share in (0.05, 0.25, 0.5, 0.75, 0.95):
        error = math.sqrt(share * (1 - share) / 6000)
        at_h = float(law.ppf(share))
        assert finish_within_frac(runs, at_h) == pytest.approx(share, abs=5 * error)
        near_h = 5 * error / float(law.pdf(at_h))
        assert finish_quantile_h(runs, share) == pytest.approx(at_h, abs=near_h)
