"""Honest machines drawn by chance."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from balewright.readers.profile import shipped_profiles
from balewright.rehearsal.book import FAULT_BOOK
from balewright.rehearsal.days import SeasonPlan
from balewright.rehearsal.drawing import draw_field, draw_player, with_drivers_named
from balewright.rehearsal.faults import FaultKind, Planted
from balewright.rehearsal.notes import Family
from balewright.rehearsal.readings import recorded_quantity, usual_severities
from balewright.rehearsal.season import Player, rehearse_season
from balewright.rehearsal.sensed import can_show
from rehearsal.playing import START_US

MAKES = tuple(shipped_profiles())
PLAN = SeasonPlan(START_US, 60)


def drawn(seed: int) -> Player:
    """A player of the makes in turn."""
    machine = shipped_profiles()[MAKES[seed % len(MAKES)]]
    return draw_player(np.random.default_rng(seed), machine)


@pytest.mark.law
def test_players_differ_by_seed_and_by_nothing_else() -> None:
    """Crop, sensors, columns lacking, drivers and jobs differ; the same seed is the same player."""
    players = [drawn(seed) for seed in range(45)]
    assert drawn(7) == drawn(7)
    assert {player.targets.crop for player in players} == {
        "grass silage", "haylage", "lucerne", "hay", "straw",
    }  # fmt: skip
    assert len({player.silent for player in players}) > 20
    assert {player.drivers for player in players} == {1, 2, 3}
    assert len({len(player.machine.sensors) for player in players}) > 8
    assert all(not player.planted for player in players)
    for player in players:
        wraps = player.machine.wrapper is not None
        assert (player.targets.wrap is not None) == wraps
        assert (player.targets.moisture_frac > 0.3) == wraps


@pytest.mark.law
def test_every_fault_can_be_shown_by_some_drawn_machine_and_shows_where_it_is_said_to() -> None:
    """Where a column is said to show a fault it is in the record; over 45 machines all can be."""
    could = set()
    for seed in range(45):
        player = drawn(seed)
        season = rehearse_season((player,), PLAN, np.random.default_rng(seed))
        for kind in FaultKind:
            seen = recorded_quantity(kind, season, "M")
            shows = can_show(kind, player.machine, player.silent)
            if FAULT_BOOK[kind].ways and FAULT_BOOK[kind].family is not Family.SILENCE:
                assert not shows or seen is not None, (seed, kind)
            assert (usual_severities(kind, season, "M") is not None) == shows, (seed, kind)
            could |= {kind} if shows else set()
    assert could == set(FaultKind)


@pytest.mark.law
def test_a_silent_or_missing_column_shows_nothing() -> None:
    """Spring knives have no pressure, stretch is not seen behind it, a dispenser is one's own."""
    ring, table, plain = (shipped_profiles()[name] for name in (
        "mossgrinder-m2", "thistlewick-t1", "plainrow-p0"))  # fmt: skip
    assert can_show(FaultKind.KNIFE_BANK_LEAKS, ring)
    assert not can_show(FaultKind.KNIFE_BANK_LEAKS, ring, frozenset({"knife_bar"}))
    assert not can_show(FaultKind.KNIFE_BANK_LEAKS, table)
    assert can_show(FaultKind.STRETCH, ring)
    assert not can_show(FaultKind.STRETCH, table)
    assert not can_show(FaultKind.WRAP_TURNS, plain)
    assert can_show(FaultKind.GREASE_STUCK, plain)
    assert not can_show(FaultKind.GREASE_STUCK, table)
    assert can_show(FaultKind.STRETCH, ring, frozenset({"film1_m"}), dispenser=2)
    assert not can_show(FaultKind.STRETCH, ring, frozenset({"film1_m"}), dispenser=1)


@pytest.mark.law
def test_drivers_are_named_only_where_that_was_asked() -> None:
    """The column is off by default; with it on each day has one driver."""
    player = replace(drawn(0), drivers=3)
    plan = SeasonPlan(START_US, 400)
    season = rehearse_season((player,), plan, np.random.default_rng(1))
    assert not season.bales.has("operator")
    named = rehearse_season((with_drivers_named(player),), plan, np.random.default_rng(1))
    day, who = named.truth[0].day, named.bales.column("operator")
    assert all(len(set(who[day == one])) == 1 for one in set(day))
    assert len(set(who)) > 1


@pytest.mark.law
def test_a_field_suits_its_machine_and_a_plant_needs_no_more_than_a_player() -> None:
    """A drawn player takes a fault and gives a record of as many bales as asked."""
    machine = shipped_profiles()["plainrow-p0"]
    crops = {draw_field(np.random.default_rng(seed), machine).crop for seed in range(30)}
    assert crops == {"hay", "straw"}
    player = replace(drawn(2), planted=(Planted(FaultKind.BINDING_MISSED, 10, 6.0),))
    season = rehearse_season((player,), PLAN, np.random.default_rng(1))
    assert season.bales.rows == 60
    assert season.truth[0].faults[0].first_bale == 10
