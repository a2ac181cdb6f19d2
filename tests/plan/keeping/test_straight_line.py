"""The straight line against certified values, a textbook and scipy."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from balewright.plan.keeping.straight_line import fit_line, student_t
from balewright.quantities.errors import BadInput

#: (y, x) of NIST StRD Norris; x and y as certified, 36 points.
NORRIS = (
    *((0.1, 0.2), (338.8, 337.4), (118.1, 118.2), (888.0, 884.6), (9.2, 10.1), (228.1, 226.5)),
    *((668.5, 666.3), (998.5, 996.3), (449.1, 448.6), (778.9, 777.0), (559.2, 558.2), (0.3, 0.4)),
    *((0.1, 0.6), (778.1, 775.5), (668.8, 666.9), (339.3, 338.0), (448.9, 447.5), (10.8, 11.6)),
    *((557.7, 556.0), (228.3, 228.1), (998.0, 995.8), (888.8, 887.6), (119.6, 120.2), (0.3, 0.3)),
    *((0.6, 0.3), (557.6, 556.8), (339.3, 339.1), (888.0, 887.2), (998.5, 999.0), (778.9, 779.0)),
    *((10.2, 11.1), (117.6, 118.3), (228.9, 229.2), (668.4, 669.1), (449.2, 448.9), (0.2, 0.5)),
)
#: (shear strength in psi, age in weeks): Montgomery, Peck & Vining, table 2.1.
PROPELLANT = (
    *((2158.70, 15.50), (1678.15, 23.75), (2316.00, 8.00), (2061.30, 17.00), (2207.50, 5.50)),
    *((1708.30, 19.00), (1784.70, 24.00), (2575.00, 2.50), (2357.90, 7.50), (2256.70, 11.00)),
    *((2165.20, 13.00), (2399.55, 3.75), (1779.80, 25.00), (2336.75, 9.75), (1765.30, 22.00)),
    *((2053.50, 18.00), (2414.40, 6.00), (2200.50, 12.50), (2654.20, 2.00), (1753.70, 21.50)),
)
points = st.lists(
    st.tuples(st.integers(-1000, 1000), st.integers(-1000, 1000)), min_size=3, max_size=20
).filter(lambda found: len({x for x, _ in found}) > 1)


@pytest.mark.published
@pytest.mark.check(model="straight_line", source="nist-norris")
def test_norris_to_the_certified_digits() -> None:
    """Slope, intercept, their errors, the residual and R squared agree to eleven digits.

    NIST certifies the exact decimals; doubles hold them to about sixteen digits.
    """
    line = fit_line([(x, y) for y, x in NORRIS])
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert line.intercept == pytest.approx(-0.262323073774029, rel=1e-11)
    assert line.slope_error == pytest.approx(0.429796848199937e-3, rel=1e-11)
    assert line.intercept_error == pytest.approx(0.232818234301152, rel=1e-11)
    assert line.residual**2 == pytest.approx(0.782864662630069, rel=1e-11)
    assert line.explained_frac == pytest.approx(0.999993745883712, rel=1e-12)


@pytest.mark.published
@pytest.mark.check(model="straight_line", source="montgomery-propellant")
def test_propellant_as_the_textbook_prints_it() -> None:
    """Line, errors and the 95 % prediction at 10 weeks agree to the digits that are printed.

    The book prints the mean square as 9244.59 in the text and 9236 in a program's output, so its
    interval of 2048.32 to 2464.32 is good to 0.2 psi.
    """
    line = fit_line([(age, strength) for strength, age in PROPELLANT])
    assert line.slope == pytest.approx(-37.154, abs=5e-4)
    assert line.intercept == pytest.approx(2627.82, abs=5e-3)
    assert line.slope_error == pytest.approx(2.889, abs=5e-4)
    assert line.intercept_error == pytest.approx(44.18, abs=5e-3)
    assert line.residual == pytest.approx(96.11, abs=5e-3)
    assert line.explained_frac == pytest.approx(0.902, abs=5e-4)
    within = line.predict(10.0, 0.95)
    assert within.low == pytest.approx(2048.32, abs=0.2)
    assert within.high == pytest.approx(2464.32, abs=0.2)


@pytest.mark.reference
@settings(max_examples=60)
@given(points)
@pytest.mark.check(model="straight_line", source="scipy-stats")
def test_the_same_line_as_scipy(found: list[tuple[int, int]]) -> None:
    """scipy.stats.linregress gives the same slope, intercept and errors."""
    ours = fit_line([(float(x), float(y)) for x, y in found])
    theirs = stats.linregress([x for x, _ in found], [y for _, y in found])
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-9, abs=1e-9)
    assert ours.intercept == pytest.approx(theirs.intercept, rel=1e-9, abs=1e-7)
    # scipy takes 1 - r squared, which loses digits near a perfect fit: 1e-5 of the spread
    if ours.spread_y == 0.0:  # where y does not vary scipy has no error: 0/0
        return
    scale = math.sqrt(max(ours.spread_y, 1.0) / ours.spread_x)
    assert ours.slope_error == pytest.approx(theirs.stderr, abs=1e-5 * scale)


@pytest.mark.law
@settings(max_examples=60)
@given(points, st.integers(-500, 500), st.sampled_from([0.5, 2.0, -3.0]))
def test_a_line_moves_and_turns_with_its_points(
    found: list[tuple[int, int]], moved: int, scaled: float
) -> None:
    """Adding to every y adds to the intercept; scaling y scales slope and residual."""
    plain = fit_line([(float(x), float(y)) for x, y in found])
    other = fit_line([(float(x), scaled * y + moved) for x, y in found])
    assert other.slope == pytest.approx(scaled * plain.slope, rel=1e-9, abs=1e-9)
    want = scaled * plain.intercept + moved
    assert other.intercept == pytest.approx(want, rel=1e-9, abs=1e-6)
    assert other.residual == pytest.approx(abs(scaled) * plain.residual, rel=1e-7, abs=1e-6)


@pytest.mark.law
@settings(max_examples=60)
@given(points, st.integers(-1000, 1000))
def test_a_new_measurement_is_less_sure_than_the_line(
    found: list[tuple[int, int]], place: int
) -> None:
    """A prediction is never narrower than the line's own interval, and widest far from the mean."""
    line = fit_line([(float(x), float(y)) for x, y in found])
    assert line.new_error(place) >= line.mean_error(place)
    assert line.new_error(place) >= line.new_error(line.mean_x) * (1.0 - 1e-12)


@pytest.mark.published
def test_student_t_as_it_is_printed() -> None:
    """2.101 for 95 % and 18 degrees of freedom, 1.383 for one-sided 90 % (two-sided 80 %) and 9.

    Montgomery, Peck & Vining; Mississippi Administrative Code, addendum J.
    """
    assert student_t(0.95, 18) == pytest.approx(2.101, abs=5e-4)
    assert student_t(0.80, 9) == pytest.approx(1.383, abs=5e-4)


@pytest.mark.derived
def test_student_t_tends_to_the_normal() -> None:
    """With very many degrees of freedom 95 % is the normal's 1.96; with one it is a Cauchy's."""
    assert student_t(0.95, 10**6) == pytest.approx(1.95996, abs=1e-5)
    assert student_t(0.5, 1) == pytest.approx(1.0)  # tan(45 degrees)


@pytest.mark.own
@pytest.mark.parametrize(
    "bad",
    [
        [],
        [(0.0, 1.0), (1.0, 2.0)],
        [(1.0, 1.0), (1.0, 2.0), (1.0, 3.0)],
        [(0.0, 1.0), (1.0, math.nan), (2.0, 1.0)],
        [(0.0, 1.0), (1.0, math.inf), (2.0, 1.0)],
    ],
)
def test_points_that_make_no_line_are_refused(bad: list[tuple[float, float]]) -> None:
    """Too few, all at one place, or not finite: BadInput, never a number."""
    with pytest.raises(BadInput, match="points"):
        fit_line(bad)
