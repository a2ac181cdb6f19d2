"""The settings that cost least, against searches made without them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from balewright.plan.cost.bale_cost import cost_of
from balewright.plan.cost.job import made_of
from balewright.plan.keeping.keep import School, keep
from balewright.plan.optimum.asked import Choices, Question, Turned, Wanted
from balewright.plan.optimum.best import Axis, Beyond, best_settings
from balewright.plan.optimum.enough_turns import turns_by_layers
from balewright.plan.optimum.option import Bar, Option, try_all
from balewright.plan.power.answer import Tractor
from balewright.quantities.errors import BadInput, NotAnswerable
from plan.optimum.examples import QUESTION, TURNED, VARYING


def money_t(question: Question, place: tuple[int, int, int], school: School) -> float:
    """Making and losing for one combination, straight from the models."""
    choices = question.choices
    turned = choices.turned[place[0]]
    density, speed = choices.density_kg_m3[place[1]], choices.speed_m_s[place[2]]
    cost = cost_of(made_of(question.job_at(turned.turns, density, speed)), question.outlay)
    kept = keep(question.stored(density), turned.layers, question.mishaps)
    return cost.money_t_dm + question.dm_money_t * kept.of(school).total_frac.best


@pytest.mark.reference
@pytest.mark.check(model="optimum.search", source="scipy-optimize")
@pytest.mark.parametrize("school", list(School))
def test_each_school_gets_what_a_general_search_finds(school: School) -> None:
    """scipy.optimize.brute over the same grid of the bare models ends at the same settings."""
    question = replace(QUESTION, tractor=None)
    grid = (slice(0, 7, 1), slice(0, 3, 1), slice(0, 3, 1))
    found, least, *_ = optimize.brute(
        lambda x: money_t(question, (int(x[0]), int(x[1]), int(x[2])), school),
        grid,
        full_output=True,
        finish=None,
    )
    best = dict(best_settings(question).by_school)[school]
    choices = question.choices
    assert best.turned == choices.turned[int(found[0])]
    assert best.density_kg_m3 == choices.density_kg_m3[int(found[1])]
    assert best.speed_m_s == choices.speed_m_s[int(found[2])]
    assert best.money_t(school).best == pytest.approx(float(least), rel=1e-12)


@pytest.mark.law
def test_the_settled_choice_is_least_wrong_whichever_school_holds() -> None:
    """No allowed choice has a smaller worst regret, worked out again from all options."""
    answer = best_settings(QUESTION)
    allowed = [option for option in try_all(QUESTION) if not option.barred]
    least = {school: min(one.money_t(school).best for one in allowed) for school in School}

    def regret(option: Option) -> float:
        return max(option.money_t(school).best - least[school] for school in School)

    assert regret(answer.settled) == pytest.approx(min(map(regret, allowed)), abs=1e-12)
    assert answer.regret_money_t == pytest.approx(regret(answer.settled), abs=1e-12)
    assert (answer.tried, answer.allowed) == (63, len(allowed))


@pytest.mark.law
@settings(max_examples=15, deadline=None)
@given(st.floats(0.0, 800.0), st.floats(0.0, 800.0))
def test_dearer_feed_never_asks_for_fewer_layers(one: float, other: float) -> None:
    """With density and speed given, what is worth more is wrapped at least as well."""
    given_both = Choices(TURNED, (180.0,), (2.4,))
    cheap, dear = sorted((one, other))
    for school in School:
        layers = [
            dict(best_settings(replace(QUESTION, choices=given_both, dm_money_t=worth)).by_school)[
                school
            ].turned.layers
            for worth in (cheap, dear)
        ]
        assert layers[0] <= layers[1]


@pytest.mark.law
@settings(max_examples=15, deadline=None)
@given(st.floats(0.02, 0.2), st.floats(600.0, 900.0))
def test_a_wish_never_makes_it_cheaper(most_loss: float, most_kg: float) -> None:
    """Limits can only take choices away, and what is answered keeps to them."""
    free = best_settings(QUESTION)
    bound = replace(QUESTION, wanted=Wanted(0.95, most_loss, most_kg))
    try:
        held = best_settings(bound)
    except NotAnswerable:
        return  # nothing left to take: no answer is cheaper than any
    for school in School:
        before, after = dict(free.by_school)[school], dict(held.by_school)[school]
        assert after.money_t(school).best >= before.money_t(school).best - 1e-12
        assert after.mass_kg <= most_kg
        assert after.worst_loss_frac <= most_loss


@pytest.mark.law
def test_curves_run_through_every_value_and_touch_the_best() -> None:
    """Each curve's lowest point is that school's best, and nothing on it is barred."""
    answer = best_settings(QUESTION)
    assert [curve.axis for curve in answer.curves] == list(Axis)
    assert [point.at for point in answer.curves[0].points] == [4, 5, 6, 7, 8, 9, 10]
    for curve in answer.curves:
        for school, best in answer.by_school:
            costs = [
                dict(point.options)[school].money_t(school).best
                for point in curve.points
                if point.options
            ]
            assert min(costs) == best.money_t(school).best
        for _, low, high in curve.near:
            assert low <= high
    assert not any(option.barred for option in answer.front)


@pytest.mark.law
def test_the_front_trades_one_aim_for_another() -> None:
    """Along the front what is cheaper to make loses more or is slower: nothing is free."""
    front = best_settings(QUESTION).front
    assert len(front) > 1
    for cheap in front:
        for dear in front:
            if dear.cost.money_t_dm > cheap.cost.money_t_dm:
                less_lost = dear.worst_loss_frac < cheap.worst_loss_frac
                assert less_lost or dear.dm_t_h > cheap.dm_t_h


@pytest.mark.derived
def test_what_holds_the_choice_is_told() -> None:
    """With bales of 700 kg at most, 210 kg DM/m3 at 55 % moisture (704 kg) is barred by mass."""
    answer = best_settings(replace(QUESTION, wanted=Wanted(most_bale_kg=700.0)))
    density = next(bound for bound in answer.bounds if bound.axis is Axis.DENSITY)
    assert answer.settled.density_kg_m3 == 180.0
    assert density.above is Beyond.BARRED
    assert density.bars == (Bar.MASS,)


@pytest.mark.derived
def test_no_choice_left_says_what_bars_them() -> None:
    """Where nothing may be taken the answer is a reason, not a number."""
    weak = replace(QUESTION, tractor=Tractor(10.0, 3000.0), wanted=Wanted(most_bale_kg=100.0))
    with pytest.raises(NotAnswerable, match=r"None of 63 .*bale too heavy: 63"):
        best_settings(weak)


@pytest.mark.law
def test_turns_for_layers_reach_the_wanted_chance_and_rise() -> None:
    """More layers never take fewer turns, and every row is as sure as was wanted."""
    rows = turns_by_layers(VARYING, 2, 0.95, range(4, 9))
    assert [row.layers for row in rows] == [4, 5, 6, 7, 8]
    turns = [row.turns for row in rows]
    assert turns == sorted(turns)
    assert all(row.chance_frac >= 0.95 for row in rows)


@pytest.mark.law
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0, 1e9])
def test_absurd_worth_is_refused(bad: float) -> None:
    """A price that is none is told by its name."""
    with pytest.raises(BadInput, match="dm_money_t"):
        replace(QUESTION, dm_money_t=bad)


@pytest.mark.law
@pytest.mark.parametrize("density", [(), (180.0, 150.0), (180.0, 180.0)])
def test_choices_must_rise(density: tuple[float, ...]) -> None:
    """A curve has an order; nothing to choose from is no question."""
    with pytest.raises(BadInput, match="density_kg_m3"):
        Choices(TURNED, density, (2.0,))


@pytest.mark.law
def test_fewer_than_four_layers_are_never_offered() -> None:
    """Every published trial saw two layers fail: what is advised starts at four."""
    with pytest.raises(BadInput, match="layers"):
        Turned(3, 8.0, 1.0)


@pytest.mark.law
def test_a_plain_baler_has_no_layers_to_choose() -> None:
    """Where nothing is wrapped the question is refused with its place."""
    bare = replace(QUESTION.job, settings=replace(QUESTION.job.settings, wrap=None))
    with pytest.raises(BadInput, match=r"job\.settings\.wrap"):
        replace(QUESTION, job=bare)
