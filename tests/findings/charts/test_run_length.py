"""Run lengths of CUSUM and EWMA against published tables and an independent program."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest

from balewright.findings.charts import cusum_kernel as cusum
from balewright.findings.charts.run_length import (
    chance_within,
    cusum_chance,
    cusum_limit,
    cusum_run_bales,
    ewma_limit,
    ewma_run_bales,
)

SHIFTS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0)
#: Montgomery's table for k = 0.5, two-sided, from memory.
MONTGOMERY = {
    4.0: ("168", "74.2", "26.6", "13.3", "8.38", "4.75", "3.34", "2.62", "2.19", "1.71"),
    5.0: ("465", "139", "38.0", "17.0", "10.4", "5.75", "4.01", "3.11", "2.57", "2.01"),
}
EWMA_SHIFTS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0)
#: Lucas and Saccucci 1990, table 3.
LUCAS_SACCUCCI = {
    (0.5, 3.071): "500 255 88.8 35.9 17.5 6.53 3.63 2.50 1.93 1.58 1.34 1.07",
    (0.03, 2.437): "500 76.7 29.3 17.6 12.6 8.07 5.99 4.80 4.03 3.49 3.11 2.55",
}


def printed(value: float, like: str) -> str:
    """The value with as many decimals as the printed one."""
    decimals = len(like.split(".")[1]) if "." in like else 0
    return f"{value:.{decimals}f}"


@pytest.mark.check(model="run length of a CUSUM", source="montgomery-cusum")
@pytest.mark.published
@pytest.mark.parametrize("limit", MONTGOMERY)
def test_montgomerys_table_of_cusum_run_lengths(limit: float) -> None:
    """Every printed digit of the table for k = 0.5 (0 to 4 standard deviations) comes out."""
    got = [cusum_run_bales(0.5, limit, shift) for shift in SHIFTS]
    row = MONTGOMERY[limit]
    assert [printed(one, like) for one, like in zip(got, row, strict=True)] == list(row)


@pytest.mark.check(model="run length of an EWMA", source="lucas-saccucci-1990")
@pytest.mark.published
@pytest.mark.parametrize("pair", LUCAS_SACCUCCI)
def test_lucas_and_saccuccis_table_of_ewma_run_lengths(pair: tuple[float, float]) -> None:
    """Table 3 comes out in every printed digit."""
    row = LUCAS_SACCUCCI[pair].split()
    got = [ewma_run_bales(*pair, shift) for shift in EWMA_SHIFTS]
    assert [printed(one, like) for one, like in zip(got, row, strict=True)] == row


@pytest.mark.check(model="limit of a CUSUM", source="hawkins-limits")
@pytest.mark.published
def test_hawkins_limits_for_a_run_length_of_370() -> None:
    """The six printed limits, to a digit of their last place."""
    printed_ones = {0.25: 8.01, 0.5: 4.77, 0.75: 3.34, 1.0: 2.52, 1.25: 1.99, 1.5: 1.61}
    for reference, limit in printed_ones.items():
        assert cusum_limit(reference, 370.0) == pytest.approx(limit, abs=0.01)


@pytest.mark.check(model="limit of an EWMA", source="montgomery-cusum")
@pytest.mark.published
def test_montgomerys_limits_for_a_run_length_of_500() -> None:
    """The five printed limits, every digit."""
    for share, limit in ((0.4, 3.054), (0.25, 2.998), (0.2, 2.962), (0.1, 2.814), (0.05, 2.615)):
        assert f"{ewma_limit(share, 500.0):.3f}" == f"{limit:.3f}"


@pytest.mark.check(model="run length of a CUSUM", source="spc-r")
@pytest.mark.reference
def test_cusum_run_lengths_are_those_of_an_independent_program() -> None:
    """From zero and after a long quiet run, and the limits for wanted run lengths, to 9 digits."""
    zero = [
        cusum_run_bales(0.5, 4.0),
        cusum_run_bales(0.5, 5.0, 1.0),
        cusum_run_bales(0.5, 5.0, 0.0, 1),
    ]
    assert zero == pytest.approx([167.68378881, 10.37596992, 930.88701206], rel=1e-9)
    steady = [cusum_run_bales(0.5, 4.0, one, 1, steady=True) for one in (0.5, 1.0, 2.0)]
    assert steady == pytest.approx([25.363729477, 7.721861622, 3.048026851], rel=1e-9)
    steady = [cusum_run_bales(0.25, 8.0, one, 1, steady=True) for one in (0.5, 1.0, 2.0)]
    assert steady == pytest.approx([25.733948423, 9.882736098, 4.500561130], rel=1e-9)
    both = [cusum_run_bales(0.5, 4.0, one, steady=True) for one in (0.5, 1.0, 2.0)]
    assert both == pytest.approx([25.244624428, 7.715087472, 3.046184959], rel=1e-3)
    limits = [cusum_limit(0.5, 1e3, 1), cusum_limit(0.25, 1e4, 1), cusum_limit(1.0, 500.0, 1)]
    assert limits == pytest.approx([5.070703856, 13.111312276, 2.323242516], rel=1e-9)


@pytest.mark.check(model="run length of an EWMA", source="spc-r")
@pytest.mark.reference
def test_ewma_run_lengths_are_those_of_an_independent_program() -> None:
    """From zero and after a long quiet run, and the limits, to 7 digits and more."""
    zero = [ewma_run_bales(0.1, 2.814, one) for one in (0.0, 0.5, 1.0, 3.0)]
    assert zero == pytest.approx([499.579550083, 31.297435196, 10.330665155, 2.868003512], rel=1e-9)
    steady = [ewma_run_bales(0.1, 2.814, one, steady=True) for one in (0.5, 1.0, 2.0)]
    assert steady == pytest.approx([30.573301172, 10.119486121, 4.306699434], rel=1e-8)
    assert ewma_run_bales(0.05, 2.615) == pytest.approx(499.93300571, rel=1e-9)
    limits = [ewma_limit(0.1, 500.0), ewma_limit(0.03, 1000.0)]
    assert limits == pytest.approx([2.814309995, 2.726698251], rel=1e-8)


@pytest.mark.check(model="chance of a false alarm within n bales", source="spc-r")
@pytest.mark.reference
def test_chance_of_an_alarm_within_some_bales() -> None:
    """Against the exact distribution: never more than 0.1 % too low; too high by no more than
    0.7 bales' worth of alarms in a thousand of the run length."""
    exact = {
        (5.0, 10): 0.0046795925,
        (5.0, 50): 0.0464986304,
        (5.0, 100): 0.0967022924,
        (5.0, 500): 0.4139865263,
        (5.0, 1000): 0.6588043637,
        (8.0, 100): 0.0046458998,
        (8.0, 1000): 0.0508053447,
        (8.0, 5000): 0.2313997818,
    }
    for (limit, bales), chance in exact.items():
        told = chance_within(cusum_run_bales(0.5, limit, 0.0, 1), bales)
        assert 0.999 * chance <= told <= chance + 0.007
        assert cusum_chance(0.5, limit, bales, 1) == pytest.approx(told, rel=1e-5)


@pytest.mark.derived
@pytest.mark.parametrize("reference", [0.25, 0.5, 1.0])
def test_the_longest_runs_grow_as_they_must(reference: float) -> None:
    """Where the equation gives way to the approximation nothing jumps, and a run length of 10^12
    and its limit belong together."""
    limit = cusum_limit(reference, 1e8, 1)
    for add in (-0.05, 0.05):
        grown = math.log(cusum_run_bales(reference, limit + add, 0.0, 1) / 1e8)
        assert grown == pytest.approx(2.0 * reference * add, rel=1e-3)
    far = cusum_limit(reference, 1e12)
    assert cusum_run_bales(reference, far) == pytest.approx(1e12, rel=1e-6)
    assert cusum_run_bales(0.5, 900.0) == math.inf
    assert cusum_chance(reference, far, 1e6) == pytest.approx(1e-6, rel=0.02)


@pytest.mark.law
def test_the_kernel_runs_as_long_as_the_equation_says() -> None:
    """Simulated with a fixed seed, the chart of the kernel has the run lengths of the equation."""
    rng = np.random.default_rng(20)
    for shift, limit, series, bales in ((0.0, 3.0, 4000, 800), (1.0, 6.0, 4000, 120)):
        states = cusum.new_cusum(series)
        values = rng.normal(shift, 1.0, size=series * bales)
        cusum.tabular_kernel(values, np.arange(0, len(values) + 1, bales), 0.5, limit, states)
        assert states[:, cusum.ALARM].min() >= 0.0
        runs = states[:, cusum.ALARM] + 1.0
        error = runs.std() / math.sqrt(series)
        assert abs(runs.mean() - cusum_run_bales(0.5, limit, shift)) < 3.5 * error


@pytest.mark.law
def test_what_is_no_chart_is_refused() -> None:
    """Limits and shares that make no chart raise, and so do run lengths out of reach."""
    for wrong in (
        lambda: cusum_run_bales(0.5, 0.0),
        lambda: cusum_run_bales(-0.1, 4.0),
        lambda: cusum_run_bales(0.5, 4.0, 0.0, 3),
        lambda: ewma_run_bales(0.0, 3.0),
        lambda: ewma_limit(0.1, 1e30),
        lambda: cusum_limit(0.5, 0.5),
    ):
        with pytest.raises(ValueError, match="no "):
            wrong()
    assert cusum_chance(0.5, 0.0, 10.0) == 1.0


@pytest.mark.law
def test_run_lengths_asked_for_again_take_less_than_a_millisecond() -> None:
    """Once warm, limits and chances, also at new statistics, are told in under a millisecond."""
    cusum_limit(0.5, 1e6)
    cusum_chance(0.5, 7.0, 1000.0)
    begin = time.perf_counter()
    for extra in range(200):
        cusum_limit(0.5, 1e6)
        cusum_chance(0.5, 7.0 + extra / 100.0, 1000.0)
    assert (time.perf_counter() - begin) / 200 < 1e-3
