"""Sensors, noise and fields: each stressor measured against what it says it does."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import kurtosis

from balewright.records.events import EventKind
from balewright.rehearsal.stress.catalogue import STRESSORS
from balewright.rehearsal.stress.noise import feed
from balewright.rehearsal.stress.play import DOINGS
from balewright.rehearsal.stress.stressed import Floats, Stressed, as_plain, scatter
from rehearsal.stress.full_table import LEVELS, plain

NOISY = tuple(name for name in LEVELS if name not in {"pitch_frac", "roll_frac"})


def done(key: str, seed: int = 11) -> Stressed:
    """One stressor at full strength on the invented table."""
    return DOINGS[key](as_plain(*plain()), STRESSORS[key].severity, np.random.default_rng(seed))


def more(one: Stressed, name: str) -> Floats:
    """What was added to a column, NaN where unknown."""
    return one.bales.floats(name) - plain()[0].floats(name)


def noise(key: str) -> Floats:
    """Noise added to every column, in sigmas, shape (rows, columns)."""
    one = done(key)
    return np.stack([more(one, name) / scatter(plain()[0].floats(name)) for name in NOISY], axis=1)


@pytest.mark.derived
def test_scatter_is_the_standard_deviation_of_normal_noise() -> None:
    """Of the invented columns it is what they were made with; of a level step hardly more."""
    table, _ = plain()
    for name, (_, spread) in LEVELS.items():
        assert scatter(table.floats(name)) == pytest.approx(spread, rel=0.06), name
    stepped = table.floats("oil_c") + np.where(np.arange(table.rows) > 800, 40.0, 0.0)
    assert scatter(stepped) == pytest.approx(4.0, rel=0.06)
    assert scatter(np.full(9, np.nan)) == 0


@pytest.mark.derived
def test_heavy_tails_are_heavy_and_of_one_sigma() -> None:
    """Kurtosis far above the normal's 0; the quartile stands at 0.765 / sqrt 3 as t with 3 has."""
    drawn = noise("heavy tails")
    known = drawn[np.isfinite(drawn)]
    assert kurtosis(known) > 6
    assert np.quantile(np.abs(known), 0.5) == pytest.approx(0.7649 / np.sqrt(3), abs=0.03)
    assert known.std() == pytest.approx(1.0, abs=0.12)


@pytest.mark.derived
def test_two_readings_in_a_hundred_are_wild_and_no_other_moves() -> None:
    """The share is 2 %; three in four are 5 to 15 sigma off, the others at the bottom."""
    drawn = noise("wild readings")
    wild = np.isfinite(drawn) & (drawn != 0)
    assert wild.mean() == pytest.approx(0.02, abs=0.002)
    one, low = done("wild readings"), 0
    for name in ("oil_c", "pto_rpm", "film1_m", "knife_bar"):
        low += int((one.bales.column(name)[more(one, name) != 0] == 0.0).sum())
    assert low == pytest.approx(plain()[0].rows * 0.02, abs=16)
    assert np.abs(drawn[wild]).min() > 4.4  # the step of the sensor takes off up to a half


@pytest.mark.derived
@pytest.mark.parametrize(("key", "share"), [("lasting noise", 0.5), ("long lasting noise", 0.8)])
def test_lasting_noise_has_its_autocorrelation(key: str, share: float) -> None:
    """Neighbours correlate as told, over all columns; the size is one sigma."""
    drawn = noise(key)[:, :12]
    lag = [np.corrcoef(column[1:], column[:-1])[0, 1] for column in drawn.T]
    assert np.mean(lag) == pytest.approx(share, abs=0.04)
    assert drawn.std() == pytest.approx(1.0, abs=0.1)


@pytest.mark.derived
def test_noise_grows_with_the_square_of_feed() -> None:
    """Where feed is a fifth above its median, noise is 1.44 times as wide as at the median."""
    drawn, rate = noise("noise that grows with feed")[:, :8], feed(as_plain(*plain()))
    near = np.isfinite(drawn).all(axis=1)
    high, usual = near & (np.abs(rate - 1.2) < 0.06), near & (np.abs(rate - 1.0) < 0.04)
    assert drawn[high].std() / drawn[usual].std() == pytest.approx(1.44, rel=0.12)


@pytest.mark.derived
def test_coarse_sensors_show_steps_of_two_sigma() -> None:
    """Levels shown lie two sigma apart, and no reading is more than one sigma off."""
    one, (table, _) = done("coarse sensors"), plain()
    for name, step in {"oil_c": 0.1, "pto_torque_nm": 1, "diameter_m": 0.01}.items():
        size = scatter(table.floats(name))
        levels = np.unique(one.bales.floats(name))
        assert np.diff(levels) == pytest.approx(2 * size, abs=step), name
        assert np.nanmax(np.abs(more(one, name))) <= size + step / 2


@pytest.mark.derived
def test_gain_creeps_slowly_to_a_third_of_a_sigma() -> None:
    """From nothing to 0.3 sigma at the last bales, half of it half-way, on both sides."""
    drawn = noise("gain drift")
    last, middle = np.nanmean(drawn[-100:], axis=0), np.nanmean(drawn[750:850], axis=0)
    assert np.abs(last) == pytest.approx(0.29, abs=0.06)
    assert np.abs(middle) == pytest.approx(0.15, abs=0.06)
    assert (last > 0).any()
    assert (last < 0).any()
    assert np.abs(np.nanmean(drawn[:50], axis=0)).max() < 0.04


@pytest.mark.derived
def test_a_replaced_sensor_steps_where_its_event_stands() -> None:
    """1.5 sigma from the noted bale on, nothing before, and no step without an event."""
    one, (table, events) = done("sensor replaced"), plain()
    told = {event.item.removesuffix(" sensor"): event for event in one.events
            if event.kind is EventKind.PART_REPLACED}  # fmt: skip
    assert len(one.events) == len(events) + len(told)
    assert 4 <= len(told) <= 14
    for name in NOISY:
        step = more(one, name) / scatter(table.floats(name))
        if name not in told:
            assert (np.nan_to_num(step) == 0).all(), name
            continue
        row = (told[name].bale_no or 0) - 501
        assert (np.nan_to_num(step[:row]) == 0).all(), name
        assert abs(np.nanmean(step[row:])) == pytest.approx(1.5, abs=0.1), name
        assert told[name].at_us == table.cell(row, "closed_at")


@pytest.mark.derived
def test_moisture_sticks_high_after_rain_only() -> None:
    """6 points high at first, less by e after 40 bales, and right again after 80."""
    one, (table, _) = done("sticky moisture"), plain()
    wet = np.flatnonzero(np.diff(table.column("closed_at")) > 36 * 3600e6) + 1
    assert len(wet) == 4
    by_age = np.mean([more(one, "moisture_frac")[first : first + 96] for first in wet], axis=0)
    assert by_age[0] == pytest.approx(0.06, abs=1e-3)
    assert by_age[35:45].mean() == pytest.approx(0.06 / np.e, abs=0.01)
    assert (by_age[80:] == 0).all()
    assert (more(one, "moisture_frac")[: wet[0]] == 0).all()


@pytest.mark.derived
def test_a_drying_season_keeps_its_dry_matter_and_tells_the_truth() -> None:
    """6 points drier at the end, in the truth as well, and not a kilogram of dry matter less."""
    one, (table, _) = done("drying season"), plain()
    assert one.added["moisture_frac"][[0, -1]] == pytest.approx([0.0, -0.06])
    assert more(one, "moisture_frac") == pytest.approx(one.added["moisture_frac"], abs=6e-4)

    def dry_kg(bales: Stressed) -> Floats:
        return bales.bales.floats("mass_kg") * (1 - bales.bales.floats("moisture_frac"))

    before = dry_kg(as_plain(table, ()))
    assert np.nanmax(np.abs(dry_kg(one) / before - 1)) < 3e-3
    assert (np.isnan(dry_kg(one)) == np.isnan(before)).all()


@pytest.mark.derived
def test_flattened_crop_is_two_jobs_wetter_and_slower() -> None:
    """Two jobs of 48: 6 points wetter, speed 35 % down, filling 1 / 0.65 as long, mass uneven."""
    one, (table, _) = done("flattened crop"), plain()
    hit = one.added["moisture_frac"] > 0
    assert set(table.column("job")[hit]) == {f"J{n}" for n in np.flatnonzero(hit)[::48] // 48}
    assert hit.sum() == 96
    assert np.mean(one.bales.floats("speed_m_s")[hit]) == pytest.approx(2.5 * 0.65, rel=0.02)
    fill = one.bales.floats("full_at") - one.bales.floats("closed_at")
    assert np.median(fill[hit]) / np.median(fill[~hit]) == pytest.approx(1 / 0.65, rel=0.03)
    assert np.nanstd(one.bales.floats("mass_kg")[hit]) > 1.7 * 20.0
    assert (more(one, "mass_kg")[~hit & table.mask("mass_kg")] == 0).all()


@pytest.mark.derived
def test_barrels_bulge_by_the_field_and_keep_their_mean() -> None:
    """The bulge is one figure a job, |N(0, 4 cm)| with mean 3.2 cm; the mean bale stays."""
    one, (table, _) = done("barrel bales"), plain()
    ends = (more(one, "diameter_left_m") + more(one, "diameter_right_m")) / 2
    bulge = more(one, "diameter_m") - ends
    jobs = table.rows // 48
    by_job = bulge[: jobs * 48].reshape(jobs, 48)
    assert by_job.std(axis=1).max() < 0.008  # only the sensors' steps
    assert bulge.mean() == pytest.approx(0.04 * np.sqrt(2 / np.pi), abs=0.011)
    assert by_job.mean(axis=1).std() > 0.015
    assert (more(one, "diameter_m") + ends).mean() == pytest.approx(0.0, abs=1e-3)
    cone = more(one, "diameter_left_m") - more(one, "diameter_right_m")
    assert cone[: jobs * 48].reshape(jobs, 48).mean(axis=1).std() == pytest.approx(0.016, rel=0.4)


@pytest.mark.derived
def test_stones_trip_the_overload_on_one_job() -> None:
    """8 trips in 100 bales of one job (over 60 seeds), none elsewhere."""
    counts = [done("stones", seed).bales.floats("overloads") for seed in range(60)]
    jobs = [set(np.flatnonzero(count) // 48) for count in counts]
    assert max(map(len, jobs)) == 1
    trips = np.array([count.sum() for count in counts])
    assert trips.mean() == pytest.approx(48 * 0.08, abs=0.8)
