"""The stretch from two marks."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from balewright.plan.film.settle import Limits, Shown
from balewright.plan.film.two_marks import Marks, judge_marks, label_limits, read_marks
from balewright.quantities.errors import BadInput

#: EN 14932, round bales.
STANDARD = Limits(0.60, 0.70)


@pytest.mark.reference
def test_interval_is_students_where_the_marks_are_exact() -> None:
    """Readings over the distance on the roll, less one, by scipy.stats."""
    on_bale_m = (0.168, 0.171, 0.166, 0.172, 0.169)
    found = read_marks(Marks(0.100, on_bale_m, apart_spread_m=0.0)).stretch_frac
    assert found is not None
    values = np.array(on_bale_m) / 0.1 - 1.0
    theirs = stats.t.interval(0.95, 4, loc=values.mean(), scale=stats.sem(values))
    assert (found.low, found.high) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.law
def test_intervals_cover_as_often_as_they_say() -> None:
    """Marks set 0.5 mm wrong at random, five readings: 95 % of 3000 hold, within 4 errors.

    Degrees of freedom joined by Welch and Satterthwaite are an approximation that errs to the wide
    side here, so up to 2.5 points more may hold.
    """
    rng = np.random.default_rng(3)
    covered = 0
    for _ in range(3000):
        set_m = 0.100 + rng.normal(0.0, 0.0005)
        on_bale_m = tuple((set_m * 1.70 + rng.normal(0.0, 0.002, 5)).tolist())
        found = read_marks(Marks(0.100, on_bale_m, 0.0005)).stretch_frac
        assert found is not None
        covered += found.holds(0.70)
    error = math.sqrt(0.95 * 0.05 / 3000)
    assert 0.95 - 4.0 * error <= covered / 3000 <= 0.975 + 4.0 * error


@pytest.mark.derived
@pytest.mark.parametrize(
    ("on_bale_mm", "shown"),
    [
        ((165, 165.5, 164.6, 165.2), Shown.INSIDE),
        ((176, 175, 177, 176), Shown.ABOVE),
        ((152, 153, 151, 152), Shown.BELOW),
        ((169, 171, 168, 172), Shown.NOT_YET),
    ],
)
def test_verdict_against_the_standard(on_bale_mm: tuple[float, ...], shown: Shown) -> None:
    """65 % is in 60 to 70, 76 % above, 52 % below, 70 % with its scatter not shown yet."""
    marks = Marks(0.100, tuple(one / 1000.0 for one in on_bale_mm))
    verdict = judge_marks(read_marks(marks), STANDARD)
    assert verdict.shown is shown
    if shown is not Shown.NOT_YET:
        assert (verdict.more_marks, verdict.settled_by_more) == (None, False)


@pytest.mark.derived
def test_not_shown_yet_says_how_many_more() -> None:
    """70 % give or take 3 from three uneven readings: some more would do."""
    found = read_marks(Marks(0.100, (0.168, 0.173, 0.167)))
    verdict = judge_marks(found, label_limits(0.70, 0.03))
    assert verdict.shown is Shown.NOT_YET
    assert verdict.more_marks is not None
    assert verdict.more_marks >= 1


@pytest.mark.law
def test_a_single_reading_shows_nothing_yet() -> None:
    """It has no scatter to judge by; more readings will have."""
    found = read_marks(Marks(0.100, (0.170,)))
    assert found.stretch_frac is None
    assert found.readings.mean == pytest.approx(0.70)
    verdict = judge_marks(found, label_limits(0.70, 0.03))
    assert (verdict.shown, verdict.more_marks, verdict.settled_by_more) == (
        Shown.NOT_YET, None, True,
    )  # fmt: skip


@pytest.mark.law
@pytest.mark.parametrize(
    ("apart_m", "on_bale_m"),
    [
        *((0.1, (bad,)) for bad in (float("nan"), float("inf"), -0.17, 0.0, 17.0, 0.05)),
        (float("nan"), (0.17,)),
        (100.0, (170.0,)),
        (0.1, ()),
    ],
)
def test_marks_that_cannot_be_are_refused(apart_m: float, on_bale_m: tuple[float, ...]) -> None:
    """Not a number, in millimetres, shorter than on the roll, none at all."""
    with pytest.raises(BadInput):
        read_marks(Marks(apart_m, on_bale_m))
    for bad in (0.0, -0.03, float("nan")):
        with pytest.raises(BadInput, match="give_or_take_frac"):
            label_limits(0.70, bad)
