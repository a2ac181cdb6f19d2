"""Counts, rolls and places of an independent simulator's season: what it did is what is found."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.readers.profile import shipped_profiles
from balewright.records.bales import bale_table
from balewright.records.counts.account import account_for
from balewright.records.events import EventKind
from balewright.records.fields.find_misplaced import find_misplaced
from balewright.records.rolls import account_rolls
from balewright.rehearsal.days import SeasonPlan, Site
from balewright.rehearsal.season import Player, Rehearsal, rehearse_season
from balewright.rehearsal.targets import TargetSettings, WrapTargets

PLAN = SeasonPlan(start_us=1_900_022_400_000_000, bales=300)
SITES = tuple(Site(f"J{at}", 8.0 + at / 50, -38.0) for at in range(6))


@pytest.fixture(scope="module")
def season() -> Rehearsal:
    """300 bales of a machine in order: two film dispensers with rolls of 1500 m."""
    targets = TargetSettings(
        "grass silage", 1.25, 1.23, 190.0, 0.55, 4.0, 2.5, "net", 2.5, 0.0, 3.0, 3000.0, 20.0,
        100.0, WrapTargets(12, 6, 0.75, 0.595, 0.70, 1500.0, 30.0),
    )  # fmt: skip
    player = Player("M1", shipped_profiles()["mossgrinder-m2"], targets, SITES, "s1", 501)
    return rehearse_season((player,), PLAN, np.random.default_rng(3))


@pytest.mark.derived
def test_each_roll_between_two_changes_holds_its_length(season: Rehearsal) -> None:
    """Film counted between two changes: within a twentieth of 1500 m; nothing is called entered
    late, no bale stands on two rolls of one dispenser."""
    account = account_rolls("M1", season.bales, season.events, film_before_stretch=True)
    whole = [one for one in account.ranges if not one.is_before_first and not one.is_on]
    assert len(whole) >= 10
    for one in whole:
        assert (one.kind, one.roll_m) == (EventKind.FILM_ROLL_CHANGED, 1500.0)
        assert one.metres_m == pytest.approx(1500.0, rel=0.05)
    assert not any(one.entered_late or one.shared for one in account.ranges)
    for item in ("dispenser 1", "dispenser 2"):
        rows = [row for one in account.ranges if one.item == item for row in one.rows]
        assert sorted(rows) == list(range(300))


@pytest.mark.derived
def test_a_season_in_order_is_accounted_for_and_nothing_lies_astray(season: Rehearsal) -> None:
    """501 to 800, nothing missing; no bale misplaced. Numbers struck out are missed to the last."""
    account = account_for("M1", season.bales, season.events)
    (counter,) = account.counters
    assert (counter.first_no, counter.last_no, counter.missing) == (501, 800, 0)
    assert (account.recorded, account.suggested) == (300, ())
    assert find_misplaced("M1", season.bales, {}) == ()
    left = season.bales.take(np.r_[0:40, 43:120, 121:300])
    gaps = account_for("M1", left).counters[0].gaps
    assert [(gap.first_no, gap.last_no) for gap in gaps] == [(541, 543), (621, 621)]


@pytest.mark.derived
def test_a_job_left_open_in_the_season_is_found_without_outlines(season: Rehearsal) -> None:
    """The first 15 bales of the second job stand under the first one: found to the bale."""
    bales = season.bales
    jobs = bales.column("job").copy()
    names = list(dict.fromkeys(jobs.tolist()))
    astray = np.flatnonzero(jobs == names[1])[:15]
    jobs[astray] = names[0]
    columns = {
        name: [bales.cell(row, name) for row in range(bales.rows)]
        for name in ("machine", "bale_no", "tipped_at", "gate_open_at", "lat", "lon")
    }
    table = bale_table(bales.rows, {**columns, "job": jobs})
    (found,) = find_misplaced("M1", table, {})
    assert (found.job, found.belongs_to) == (names[0], names[1])
    assert found.rows == tuple(astray.tolist())
