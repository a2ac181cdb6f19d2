"""A rehearsed season: what it writes, and that its truth is the truth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from balewright.plan.machine import Machine
from balewright.readers.profile import shipped_profiles
from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES
from balewright.records.events import EventKind
from balewright.rehearsal.days import SeasonPlan, Site
from balewright.rehearsal.faults import Confuser, ConfuserKind, FaultKind, Planted, RollLoss
from balewright.rehearsal.season import Player, Rehearsal, rehearse_season
from balewright.rehearsal.targets import TargetSettings, WrapTargets

PLAN = SeasonPlan(start_us=1_900_022_400_000_000, bales=400)
SITES = (Site("J1", 8.0, -38.0), Site("J2", 8.2, -38.2))


@pytest.fixture(scope="module")
def ring() -> Machine:
    """The shipped make with a ring and two dispensers."""
    return shipped_profiles()["mossgrinder-m2"]


@pytest.fixture(scope="module")
def player(ring: Machine) -> Player:
    """That machine, in order, told to make bales of 1.25 m with 12 turns."""
    targets = TargetSettings(
        "grass silage", 1.25, 1.23, 190.0, 0.55, 4.0, 2.5, "net", 2.5, 0.0, 3.0, 3000.0, 20.0,
        100.0, WrapTargets(12, 6, 0.75, 0.595, 0.70, 1500.0, 30.0),
    )  # fmt: skip
    return Player("M1", ring, targets, SITES, "s1", 501)


def play(*players: Player, seed: int = 3) -> Rehearsal:
    """One season."""
    return rehearse_season(players, PLAN, np.random.default_rng(seed))


def level(season: Rehearsal, column: str, first: int, last: int) -> float:
    """Median of a column over some bales."""
    return float(np.median(season.bales.floats(column)[first:last]))


@pytest.mark.law
def test_same_seed_same_season(player: Player) -> None:
    """A season is its seed's alone, and another seed gives another one."""
    one, two, other = play(player), play(player), play(player, seed=4)
    for name in one.bales.values:
        assert (one.bales.column(name) == two.bales.column(name)).all(), name
    assert one.events == two.events
    assert (one.bales.column("full_at") != other.bales.column("full_at")).any()


@pytest.mark.law
def test_phases_stand_in_order_and_stations_overlap(player: Player) -> None:
    """Times rise per station; the next bale fills before this one is wrapped."""
    bales = play(player).bales
    for names in (CHAMBER_PHASES, WRAPPER_PHASES):
        times = np.array([bales.column(name) for name in names])
        assert (np.diff(times, axis=0) >= 0).all()
    assert (bales.column("closed_at")[1:] < bales.column("wrap_end_at")[:-1]).mean() > 0.5
    assert (np.diff(bales.column("closed_at")) > 0).all()


@pytest.mark.law
def test_a_machine_writes_only_what_its_profile_senses(player: Player) -> None:
    """No diameter from a make that has no such sensor; a poor machine writes less still."""
    assert not play(player).bales.has("diameter_m")
    poor = play(replace(player, silent=frozenset({"mass_kg", "film1_m"}))).bales
    assert not poor.has("mass_kg")
    assert not poor.has("film1_m")
    assert poor.has("film2_m")


@pytest.mark.derived
def test_film_and_rolls_balance(player: Player) -> None:
    """12 turns of 2 (1.25 + 1.23) m at 70 % draw 35.0 m a dispenser; a 1500 m roll lasts 43."""
    season = play(player)
    assert level(season, "film1_m", 0, 400) == pytest.approx(12 * 2 * 2.48 / 1.70, rel=0.02)
    rolls = [e for e in season.events if e.kind is EventKind.FILM_ROLL_CHANGED]
    numbers = [e.bale_no or 0 for e in rolls if e.item == "dispenser 1"]
    assert set(np.diff(numbers)) <= {41, 42, 43, 44}


# fault -> column, expected step in its unit, tolerance
STEPS = {
    Planted(FaultKind.STRETCH, 200, -0.10, 0, 2): ("film2_m", 35.0 * (1.70 / 1.60 - 1), 0.5),
    Planted(FaultKind.WRAP_TURNS, 200, 3): ("wrap_turns", -3.0, 0.0),
    Planted(FaultKind.BINDING_TURNS, 200, 0.8): ("binding_turns", -0.8, 0.11),
    Planted(FaultKind.GATE, 200, 10): ("gate_opening_mm", -10.0, 1.5),
}


@pytest.mark.derived
@pytest.mark.parametrize("fault", list(STEPS), ids=lambda fault: fault.kind.value)
def test_a_planted_fault_moves_its_column_by_its_severity(player: Player, fault: Planted) -> None:
    """The column steps at the planted bale by what was planted, and not before."""
    column, step, room = STEPS[fault]
    clean, faulty = play(player), play(replace(player, planted=(fault,)))
    assert level(faulty, column, 0, 200) == level(clean, column, 0, 200)
    moved = level(faulty, column, 200, 400) - level(clean, column, 200, 400)
    assert moved == pytest.approx(step, abs=room + 1e-9)


@pytest.mark.law
def test_waiting_bales_wait(player: Player) -> None:
    """A waiting fault puts its mean between the wrapper's take-over and the start."""
    season = play(replace(player, planted=(Planted(FaultKind.WAITING, 200, 100.0),)))
    took = (season.bales.floats("wrap_start_at") - season.bales.floats("on_wrapper_at")) / 1e6
    assert took[:200].max() < 5
    assert took[200:].mean() == pytest.approx(100, rel=0.15)


@pytest.mark.law
@pytest.mark.parametrize(("severity", "step"), [(1, None), (2, 8), (3, -1)])
def test_counter_faults_change_numbers_only(
    player: Player, severity: float, step: int | None
) -> None:
    """A reset starts at 1; left-out numbers leap; doubled ones step back; times go on."""
    clean = play(player)
    season = play(replace(player, planted=(Planted(FaultKind.COUNTER, 200, severity),)))
    numbers = season.bales.column("bale_no")
    assert (season.bales.column("full_at") == clean.bales.column("full_at")).all()
    assert numbers[199] == 700
    assert numbers[200] == (1 if step is None else 700 + step)


@pytest.mark.law
def test_a_lost_roll_leaves_its_bale_short_and_no_other(player: Player) -> None:
    """Truth knows fewer layers on that bale alone, and the monitor writes it down."""
    season = play(replace(player, lost=(RollLoss(120, 1, 4.0),)))
    truth = season.truth[0]
    assert truth.layers_thinnest[120] < 6
    assert (np.delete(truth.layers_thinnest, 120) >= 6).all()
    assert season.bales.cell(120, "roll_lost") == 1
    assert season.bales.cell(119, "roll_lost") is None


@pytest.mark.law
def test_confusers_are_honest(player: Player) -> None:
    """Fat bales and a wet morning show in the truth, on their job or day only."""
    fat = play(replace(player, confusers=(Confuser(ConfuserKind.FAT_BALES, 2, 0.10),))).truth[0]
    assert np.median(fat.diameter_m[fat.job == 2]) == pytest.approx(1.35, abs=0.01)
    assert np.median(fat.diameter_m[fat.job != 2]) == pytest.approx(1.25, abs=0.01)
    plain = play(player).truth[0]
    wet = play(replace(player, confusers=(Confuser(ConfuserKind.WET_MORNING, 0, 0.1),))).truth[0]
    assert wet.moisture_frac[0] - plain.moisture_frac[0] == pytest.approx(0.1, abs=0.01)
    assert (wet.moisture_frac[wet.job > 0] == plain.moisture_frac[plain.job > 0]).all()


@pytest.mark.law
def test_machines_do_not_disturb_each_other(player: Player) -> None:
    """The first machine's season is the same whoever works beside it."""
    alone = play(player).bales
    beside = play(player, replace(player, serial="M2", first_number=1)).bales
    first = beside.take(np.arange(alone.rows))
    for name in alone.values:
        assert (first.column(name) == alone.column(name)).all(), name
