"""People, clocks and lost records: each stressor measured against what it says it does."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.records.bales import masked_table
from balewright.records.columns import BY_NAME, Kind
from balewright.rehearsal.stress.catalogue import STRESSORS
from balewright.rehearsal.stress.gaps import CELLS, SENSED
from balewright.rehearsal.stress.play import DOINGS
from balewright.rehearsal.stress.stressed import Floats, Stressed, as_plain, work_days
from rehearsal.stress.full_table import plain

HOUR_US = 3_600_000_000


def done(key: str, seed: int = 11) -> Stressed:
    """One stressor at full strength on the invented table."""
    return DOINGS[key](as_plain(*plain()), STRESSORS[key].severity, np.random.default_rng(seed))


def later_us(one: Stressed, name: str = "closed_at") -> Floats:
    """How much later a time is shown than in the plain table."""
    return one.bales.floats(name) - plain()[0].floats(name)[one.origin]


def length_s(one: Stressed, first: str, last: str) -> Floats:
    """Seconds between two phases."""
    return (one.bales.floats(last) - one.bales.floats(first)) / 1e6


@pytest.mark.derived
def test_two_drivers_take_days_in_turn() -> None:
    """Every second day is a quarter faster, binds 2 s later and weaves; speeds have two humps."""
    one, (table, _) = done("two drivers"), plain()
    speed, days = one.bales.floats("speed_m_s"), work_days(table)
    fast = np.array([speed[days == day].mean() for day in range(days[-1] + 1)]) > 2.8
    assert (fast[1:] != fast[:-1]).all()
    rows = fast[days]
    assert speed[rows].mean() / speed[~rows].mean() == pytest.approx(1.25, rel=0.01)
    assert not ((speed > 2.78) & (speed < 2.84)).mean() > 0.03
    delay = length_s(one, "full_at", "bind_start_at")
    assert delay[rows].mean() - delay[~rows].mean() == pytest.approx(2.0, abs=0.05)
    fill = length_s(one, "closed_at", "full_at")
    assert fill[rows].mean() / fill[~rows].mean() == pytest.approx(1 / 1.25, rel=0.02)
    lean = one.bales.floats("diameter_left_m") - one.bales.floats("diameter_right_m")
    assert lean[rows].mean() - lean[~rows].mean() == pytest.approx(0.04, abs=0.006)
    assert not one.bales.has("operator")


@pytest.mark.derived
def test_a_borrowed_tractor_runs_faster_for_two_jobs() -> None:
    """9 % more PTO and wrapper speed, wrapping as much shorter, warmer oil, lower supply."""
    one, (table, _) = done("borrowed tractor"), plain()
    rows = one.bales.floats("oil_c") != table.floats("oil_c")
    assert rows.sum() == 96
    assert (np.diff(np.flatnonzero(rows)) == 1).all()
    faster = one.bales.floats("pto_rpm") / table.floats("pto_rpm")
    assert faster[rows] == pytest.approx(1.09, abs=2e-3)
    assert (faster[~rows] == 1).all()
    wrapping = length_s(one, "wrap_start_at", "wrap_end_at")
    before = length_s(as_plain(*plain()), "wrap_start_at", "wrap_end_at")
    assert (wrapping / before)[rows] == pytest.approx(1 / 1.09, abs=4e-3)
    lower = (one.bales.floats("supply_min_v") - table.floats("supply_min_v"))[rows]
    assert lower == pytest.approx(-0.5, abs=0.051)


@pytest.mark.derived
def test_a_night_shift_moves_two_days_to_the_night() -> None:
    """9 h later, 8 K cooler, 3 points wetter, records and truth, and before the next day."""
    one, (table, _) = done("night shift"), plain()
    rows = later_us(one) != 0
    assert len(set(work_days(table)[rows])) == 2
    assert (later_us(one)[rows] == 9 * HOUR_US).all()
    assert (np.diff(one.bales.column("closed_at")) > 0).all()
    cooler = one.bales.floats("air_c") - table.floats("air_c")
    assert cooler[rows] == pytest.approx(-8.0, abs=0.051)
    assert one.added["moisture_frac"][rows] == pytest.approx(0.03)
    assert (one.added["moisture_frac"][~rows] == 0).all()
    for event in one.events:
        assert event.at_us == one.bales.cell((event.bale_no or 0) - 501, "closed_at")


@pytest.mark.derived
def test_entries_are_wrong_or_round() -> None:
    """Two jobs with 0.50 m film; every second day masses in 50 kg and moistures in 5 points."""
    width = done("film width entered wrong").bales.floats("film_width_m")
    assert np.count_nonzero(width == 0.50) == 96
    assert np.count_nonzero(width == 0.75) == len(width) - 96
    one, (table, _) = done("operator who rounds"), plain()
    entered = one.bales.column("mass_how") == "entered"
    days = work_days(table)
    assert entered.sum() == pytest.approx(table.rows / 2, abs=96)
    assert len(set(days[entered] % 2)) == 1
    assert (one.bales.floats("mass_kg")[entered] % 50 == 0).all()
    steps = one.bales.floats("moisture_frac")[entered] / 0.05
    assert steps == pytest.approx(np.round(steps))
    other = np.isin(days % 2, list(set(days[entered] % 2)), invert=True)
    assert np.array_equal(one.bales.floats("mass_kg")[other], table.floats("mass_kg")[other],
                          equal_nan=True)  # fmt: skip


@pytest.mark.derived
def test_half_full_rolls_end_half_way_and_are_noted_as_full() -> None:
    """About three in ten changes have one more, half-way to the next of their dispenser."""
    one, (table, events) = done("half-full rolls"), plain()
    extra = [event for event in one.events if event not in events]
    assert len(extra) / len(events) == pytest.approx(0.30, abs=0.12)
    regular = {(event.item, event.bale_no) for event in events}
    for event in extra:
        assert event.value == 1500.0
        assert (event.item, (event.bale_no or 0) - 21) in regular
        assert event.at_us == table.cell((event.bale_no or 0) - 501, "closed_at")
    assert [event.at_us for event in one.events] == sorted(event.at_us or 0 for event in one.events)


@pytest.mark.derived
def test_clocks_are_wrong_as_told() -> None:
    """37 min fast; 20 s a day; an hour back in mid-day; two hours for a week; whole minutes."""
    (table, events), one = plain(), done("clock offset")
    assert set(later_us(one)) == {2220e6}
    assert {after.at_us - (before.at_us or 0) for after, before
            in zip(one.events, events, strict=True) if after.at_us} == {2220_000_000}  # fmt: skip
    gone_days = (table.floats("tipped_at") - table.floats("closed_at")[0]) / 86_400e6
    drift = later_us(done("clock drift"), "tipped_at") / 1e6
    assert drift == pytest.approx(20 * gone_days, abs=0.051)
    back = later_us(done("clock set back"))
    assert set(back) == {0.0, -3600e6}
    first = int(np.argmax(back < 0))
    assert (back[first:] < 0).all()
    assert work_days(table)[first] == work_days(table)[first - 1]
    week = later_us(done("zone wrong"))
    assert set(week) == {0.0, 7200e6}
    fast_days = table.floats("closed_at")[week > 0]
    assert (fast_days.max() - fast_days.min()) / 86_400e6 < 7
    cut = done("whole minutes").bales
    for name in ("closed_at", "full_at", "tipped_at"):
        assert (cut.column(name) % 60_000_000 == 0).all()
        lost = table.column(name) - cut.column(name)
        assert ((lost >= 0) & (lost < 60_000_000)).all()


@pytest.mark.derived
def test_cells_columns_and_bursts_are_missing_by_their_share() -> None:
    """10 % of cells by themselves, 10 % in runs of some 40, a quarter of columns altogether."""
    table, _ = plain()
    here = [name for name in CELLS if table.has(name)]
    gone = np.stack([~done("cells missing").bales.mask(name)[table.mask(name)].copy()[:1500]
                     for name in here])  # fmt: skip
    assert gone.mean() == pytest.approx(0.10, abs=0.01)
    sensed = [name for name in SENSED if table.has(name) and table.mask(name).all()]
    silent = np.stack([~done("bursts missing").bales.mask(name) for name in sensed])
    begins = np.count_nonzero(silent[:, 1:] & ~silent[:, :-1]) + silent[:, 0].sum()
    assert silent.mean() == pytest.approx(0.10, abs=0.03)
    assert silent.sum() / begins == pytest.approx(40, rel=0.25)
    lost = []
    for seed in range(20):
        left = done("columns missing", seed).bales
        lost.append(np.mean([not left.has(name) for name in sensed]))
        assert all(left.mask(name).all() or not left.has(name) for name in sensed)
        assert left.mask("bale_no").all()
        assert left.has("mass_kg") or not left.has("mass_how")
    assert np.mean(lost) == pytest.approx(0.25, abs=0.04)


@pytest.mark.derived
def test_unknown_cells_hold_no_value() -> None:
    """What is cleared is cleared: no old value stands behind the mask."""
    bales = done("cells missing").bales
    for name in CELLS:
        if bales.has(name) and BY_NAME[name].kind is not Kind.TEXT:
            assert (bales.column(name)[~bales.mask(name)] == 0).all(), name


@pytest.mark.derived
def test_rows_are_lost_and_doubled_by_their_share() -> None:
    """2 % of bales, one inner day, the first 60 %; 1 % stand twice, one right after the other."""
    rows = plain()[0].rows
    assert 1 - done("bales missing").bales.rows / rows == pytest.approx(0.02, abs=0.008)
    day = done("lost day")
    gone = np.setdiff1d(np.arange(rows), day.origin)
    assert len(gone) == 96
    assert gone[-1] - gone[0] == 95
    assert gone[0] % 96 == 0
    late = done("short history")
    assert (late.origin == np.arange(int(0.6 * rows), rows)).all()
    first_us = late.bales.cell(0, "closed_at")
    assert all((event.at_us or 0) >= first_us for event in late.events)
    assert len(late.events) == pytest.approx(0.4 * len(plain()[1]), abs=2)
    twice = done("rows doubled")
    assert twice.bales.rows / rows - 1 == pytest.approx(0.01, abs=0.006)
    assert set(np.diff(twice.origin)) == {0, 1}


@pytest.mark.law
def test_without_times_days_are_counted_and_clocks_left_alone() -> None:
    """Records without a time still take every stressor of clocks and days, unchanged in times."""
    table, _ = plain()
    keep = [name for name in table.values if BY_NAME[name].kind is not Kind.TIME]
    bare = masked_table(table.rows, {name: table.values[name] for name in keep},
                        {name: table.known[name] for name in keep})  # fmt: skip
    for key, one in DOINGS.items():
        stressed = one(as_plain(bare, ()), STRESSORS[key].severity, np.random.default_rng(2))
        assert set(stressed.bales.values) == set(keep), key
    assert work_days(bare)[-1] == (table.rows - 1) // 120
