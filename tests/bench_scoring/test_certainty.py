"""Stated certainty against what came true."""

from __future__ import annotations

import math

import pytest
from bench.findings.certainty import Case, bins_of, cases_of, score
from bench.findings.facts import Said

from bench_scoring.seasons_by_hand import BOOK, season, told


@pytest.mark.derived
def test_scores_of_four_statements_by_hand() -> None:
    """Brier and log score worked out on paper; the base rate here is a half."""
    cases = [Case(0.9, True), Case(0.9, True), Case(0.6, False), Case(0.2, False)]
    scored = score(cases)
    assert scored.brier == pytest.approx((0.01 + 0.01 + 0.36 + 0.04) / 4)
    assert scored.brier_base == pytest.approx(0.25)
    assert scored.log_score == pytest.approx(-math.log(0.9 * 0.9 * 0.4 * 0.8) / 4)
    assert scored.log_score_base == pytest.approx(math.log(2.0))


@pytest.mark.derived
def test_one_sure_miss_costs_much_but_not_everything() -> None:
    """Stating 1 for what is false costs as much as stating 0.999999."""
    assert score([Case(1.0, False)]).log_score == pytest.approx(-math.log(1e-6), rel=1e-6)


@pytest.mark.derived
def test_bins_are_of_equal_count_and_never_split_equals() -> None:
    """Ten statements in two bins: five each, unless equal statements stand at the edge."""
    apart = bins_of([Case(n / 10, n % 2 == 0) for n in range(10)], 2)
    assert [(one.count, one.true) for one in apart] == [(5, 3), (5, 2)]
    alike = bins_of([Case(0.5, True)] * 6 + [Case(0.9, True)] * 4, 5)
    assert [one.count for one in alike] == [6, 4]
    assert bins_of([Case(0.5, True)] * 4, 5)[0].count == 4


@pytest.mark.law
@pytest.mark.parametrize("bins", [1, 3, 5, 7])
@pytest.mark.parametrize("step", [1, 4, 50])
def test_no_statement_is_lost_in_the_bins(bins, step) -> None:
    """However many are alike, all are counted once and the bins stand in order."""
    cases = [Case((n // step) / 200, n % 3 == 0) for n in range(101)]
    found = bins_of(cases, bins)
    assert sum(one.count for one in found) == 101
    assert sum(one.true for one in found) == sum(case.true for case in cases)
    edges = [edge for one in found for edge in (one.low_frac, one.high_frac)]
    assert edges == sorted(edges)
    assert len(found) <= bins


@pytest.mark.derived
def test_side_effects_are_no_cases() -> None:
    """Own ones are true, others before the fault false; of side effects no truth is known."""
    own = told(certain=0.9, again=Said(240, 100, certain_frac=0.95))
    side, false = told("layers short", certain=0.7), told(since=10, alarm=20, certain=0.6)
    seasons = [season(own, side, false, told())]
    once, left_out = cases_of(seasons, BOOK, daily=False)
    assert (once, left_out) == ([Case(0.9, True), Case(0.6, False)], 1)
    daily, _ = cases_of(seasons, BOOK, daily=True)
    assert daily == [Case(0.9, True), Case(0.95, True), Case(0.6, False)]
