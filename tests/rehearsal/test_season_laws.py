"""What holds for any season: who else works, how long it is, and what honest confusers do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.dial import Dial
from balewright.records.events import EventKind
from balewright.rehearsal.days import SeasonPlan
from balewright.rehearsal.faults import Confuser, ConfuserKind, FaultKind, Planted
from balewright.rehearsal.habit import USUAL_HABIT, USUAL_SIZE, Habit, within_dial
from balewright.rehearsal.season import Player, Rehearsal, rehearse_season
from balewright.rehearsal.stress.slipping import SlippingAdvance
from rehearsal.playing import PLAYER, START_US, clean, play, quantities

C = ConfuserKind


def same_rows(one: Rehearsal, two: Rehearsal, serial: str, bales: int) -> None:
    """The first bales of one machine are the same in both, cell by cell."""
    rows = [np.flatnonzero(each.bales.column("machine") == serial)[:bales] for each in (one, two)]
    for name in one.bales.values:
        cells = [each.bales.column(name)[row] for each, row in zip((one, two), rows, strict=True)]
        assert (cells[0] == cells[1]).all(), name


@pytest.mark.law
@settings(max_examples=8)
@given(st.integers(0, 2**32), st.permutations(("M1", "M2", "M3")))
def test_machines_in_any_order_and_company_work_the_same_season(
    seed: int, order: list[str]
) -> None:
    """A machine's season is its serial's and the seed's, whoever is named before it."""
    players = {name: replace(PLAYER, serial=name) for name in ("M1", "M2", "M3")}
    plan = SeasonPlan(START_US, 60)

    def fleet(*names: str) -> Rehearsal:
        chosen = tuple(players[name] for name in names)
        return rehearse_season(chosen, plan, np.random.default_rng(seed))

    usual, other, alone = fleet("M1", "M2", "M3"), fleet(*order), fleet("M2")
    for name in players:
        same_rows(usual, other, name, 60)
    same_rows(usual, alone, "M2", 60)
    first, second = (usual.bales.column("full_at")[at : at + 60] for at in (0, 60))
    assert (first != second).any()


@pytest.mark.law
@settings(max_examples=8)
@given(st.integers(0, 2**32), st.integers(1, 240))
def test_a_longer_season_begins_like_a_shorter_one(seed: int, bales: int) -> None:
    """The first bales, their truth and their events do not know how long the season will be."""
    fault = Planted(FaultKind.FILM_BREAKS, 30, 6.0)
    changed = {"planted": (fault,), "habit": USUAL_HABIT, "drivers": 3}
    short, long = play(bales, seed, **changed), play(240, seed, **changed)
    same_rows(short, long, "M1", bales)
    for name, values in short.truth[0].made.items():
        assert np.array_equal(values, long.truth[0].made[name][:bales], True), name
    last_us = int(short.truth[0].closed_us[-1])
    assert short.events == tuple(e for e in long.events if (e.at_us or 0) <= last_us)


@pytest.mark.law
def test_a_generator_that_is_used_again_gives_another_season() -> None:
    """Two calls with one generator are two seasons; its own numbers are left alone."""
    chance, plan = np.random.default_rng(3), SeasonPlan(START_US, 40)
    before = chance.bit_generator.state
    one, two = (rehearse_season((PLAYER,), plan, chance) for _ in range(2))
    assert chance.bit_generator.state == before
    assert (one.bales.column("full_at") != two.bales.column("full_at")).any()


ON_JOB = 2
# confuser -> how large, a quantity it moves and the least it moves it by in the mean of its bales
HONEST = {
    C.FAT_BALES: (0.1, "diameter", 0.09),
    C.NEW_ROLL: (0.03, "pre-stretch", 0.025),
    C.OTHER_CROP: (0.1, "mass", 40.0),
    C.OTHER_DRIVER: (0.2, "speed", 0.35),
    C.HOT_DAY: (9.0, "oil temperature", 8.0),
    C.WET_MORNING: (0.1, "moisture", 0.01),
    C.NEW_FIELD: (0.1, "left less right", 0.008),
    C.LONG_PAUSE: (60.0, "fill time", 20.0),
    C.SETTING_CHANGED: (12.0, "chamber pressure", 11.5),
}
LASTING = {C.SETTING_CHANGED, C.SERVICE, C.NEW_BATCH, C.SWAPPED_CONTROL}


@pytest.mark.law
@pytest.mark.parametrize("kind", list(HONEST), ids=[kind.value for kind in HONEST])
def test_a_confuser_moves_its_job_and_leaves_those_before_alone(kind: ConfuserKind) -> None:
    """Its quantity moves on its bales; every cell before its day is that of the plain season."""
    size, quantity, least = HONEST[kind]
    season = play(confusers=(Confuser(kind, ON_JOB, size),))
    job, day = season.truth[0].job, season.truth[0].day
    its = job >= ON_JOB if kind in LASTING else job == ON_JOB
    if kind is C.HOT_DAY:
        its = day == day[job == ON_JOB][0]
    moved = quantities(season)[quantity] - quantities(clean())[quantity]
    assert np.nanmean(moved[its]) > least
    first = int(np.flatnonzero(its)[0])
    for name in clean().bales.values:
        was, now = clean().bales.column(name)[:first], season.bales.column(name)[:first]
        assert (was == now).all(), name
    if kind not in LASTING and kind is not C.LONG_PAUSE:
        later = day > day[its][-1]  # film used and oil warmed leave a trace the same day only
        assert later.any()
        assert np.nanmax(np.abs(moved[later]), initial=0.0) < 0.1 * np.nanmean(moved[its]) + 0.11


@pytest.mark.law
def test_a_service_turns_the_knives_and_says_so() -> None:
    """Torque falls by the share saved of the knives' part, and the event stands at its job."""
    season = play(confusers=(Confuser(C.SERVICE, ON_JOB, 0.5),))
    (event,) = [e for e in season.events if e.kind is EventKind.KNIVES_TURNED]
    first = int(np.flatnonzero(season.truth[0].job == ON_JOB)[0])
    assert event.bale_no == 501 + first
    ratio = season.truth[0].made["torque_nm"] / clean().truth[0].made["torque_nm"]
    assert (ratio[:first] == 1).all()
    # 17 of 25 knives take 0.41 kWh/t of 2.2 kWh/t in all
    assert ratio[first:].mean() == pytest.approx(1 - 0.5 * 0.41 / 2.2, abs=0.02)


@pytest.mark.law
def test_a_new_batch_lasts_eight_rolls_and_a_told_swap_counts_from_one() -> None:
    """Eight rolls stretch otherwise and bear one name; numbers begin anew and the event says so."""
    season = play(900, confusers=(Confuser(C.NEW_BATCH, 1, 0.02),))
    rolls = [e for e in season.events if e.kind is EventKind.FILM_ROLL_CHANGED]
    own = [e for e in rolls if int(e.batch[1:]) > 10_000]
    assert len(own) == 8
    more = season.truth[0].stretch_frac - clean(900).truth[0].stretch_frac
    assert (np.abs(more - 0.02) < 1e-9).any(axis=0).all()
    assert (np.abs(more[-100:]) < 1e-9).mean() > 0.9  # rolls end on other bales than before
    swapped = play(confusers=(Confuser(C.SWAPPED_CONTROL, ON_JOB, 1.0),))
    first = int(np.flatnonzero(swapped.truth[0].job == ON_JOB)[0])
    assert swapped.truth[0].numbers[first - 1 : first + 2].tolist() == [500 + first, 1, 2]
    (event,) = [e for e in swapped.events if e.kind is EventKind.CONTROL_SWAPPED]
    assert (event.bale_no, event.at_us) == (1, int(swapped.truth[0].closed_us[first]))


@pytest.mark.law
def test_a_changed_setting_is_told() -> None:
    """A settings row, the dial's column and the next sheet's key all change at its bale."""
    season = play(confusers=(Confuser(C.SETTING_CHANGED, ON_JOB, 10.0),), next_sheet="s2")
    first = int(np.flatnonzero(season.truth[0].job == ON_JOB)[0])
    (row,) = season.settings
    assert (row.name, row.value, row.since_bale, row.sheet) == (
        "chamber_bar", 110.0, 501 + first, "s2",
    )  # fmt: skip
    dial = season.bales.floats("density_dial")
    assert len(set(dial[:first])) == len(set(dial[first:])) == 1
    assert dial[first] > dial[first - 1]
    assert season.bales.column("sheet")[first - 1 : first + 1].tolist() == ["s1", "s2"]


@pytest.mark.law
def test_no_dial_is_turned_beyond_its_end() -> None:
    """A change beyond the dial's end goes the other way, one that fits neither way does not
    happen; without a dial all stay."""
    dial = Dial("chamber_bar", ("1", "2", "3"), (60.0, 100.0, 140.0))
    drawn = (
        *(Confuser(C.SETTING_CHANGED, job, 16.0) for job in (3, 5)),
        Confuser(C.SETTING_CHANGED, 7, 90.0),
        Confuser(C.HOT_DAY, 4, 5.0),
    )
    kept = within_dial(drawn, dial, 120.0)
    assert [(one.job, one.severity) for one in kept] == [(3, 16.0), (4, 5.0), (5, -16.0)]
    assert within_dial(drawn, None, 120.0) == drawn


@pytest.mark.derived
def test_a_season_brings_confusers_as_often_as_its_habit_says() -> None:
    """Over 40 seasons each kind falls on its share of the jobs, within four standard errors."""
    often = Habit(dict.fromkeys(USUAL_SIZE, 0.3))
    jobs, found = 0, dict.fromkeys(USUAL_SIZE, 0)
    for seed in range(40):
        truth = play(120, seed, habit=often).truth[0]
        jobs += int(truth.job[-1]) + 1
        for one in truth.confusers:
            found[one.kind] += 1
            low, high, both = USUAL_SIZE[one.kind]
            assert low <= abs(one.severity) <= high
            assert both or one.severity > 0
    for kind, count in found.items():
        assert abs(count - 0.3 * jobs) < 4 * np.sqrt(0.21 * jobs), kind


@pytest.mark.law
def test_players_of_before_are_played_as_before() -> None:
    """A player with nothing but machine, settings and jobs has no confusers and one driver."""
    plain = Player("M1", PLAYER.machine, PLAYER.targets, PLAYER.sites)
    truth = rehearse_season((plain,), SeasonPlan(START_US, 60), np.random.default_rng(1)).truth[0]
    assert (truth.confusers, truth.faults, truth.settings) == ((), (), ())
    assert set(truth.made["driver"]) == {0.0}


@pytest.mark.law
def test_film_that_slips_turns_the_bale_less_and_leaves_the_rest_alone() -> None:
    """The bale's own turns fall by the slip, layers with them; nothing at slip 0."""
    same_rows(play(slipping=SlippingAdvance(0.0)), clean(), "M1", 450)
    slipped = play(slipping=SlippingAdvance(0.08))
    turns = slipped.bales.floats("wrap_bale_turns") / clean().bales.floats("wrap_bale_turns")
    assert 0.7 < turns.mean() < 0.95
    truth, plain = slipped.truth[0], clean().truth[0]
    assert truth.short_frac.mean() > plain.short_frac.mean() + 0.005
    assert all(np.array_equal(truth.made[name], plain.made[name], True) for name in plain.made)


@pytest.mark.law
def test_nobody_bales_hay_on_a_morning_as_wet_as_silage() -> None:
    """A wet morning that comes by itself is a third as wet for a dry crop."""
    wet = Habit({C.WET_MORNING: 1.0})
    dry = replace(PLAYER.targets, moisture_frac=0.14)
    sizes = [
        np.array([one.severity for one in play(60, habit=wet, targets=targets).truth[0].confusers])
        for targets in (PLAYER.targets, dry)
    ]
    assert sizes[1] == pytest.approx(0.35 * sizes[0])
