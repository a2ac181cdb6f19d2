"""Every measure against arithmetic done by hand, and the laws all of them keep."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from balewright.findings.measures.book import (
    EXPLAINS,
    MEASURES,
    is_recorded,
    measures_of,
    sensors_of,
)
from balewright.findings.measures.inputs import LOOKS_BACK
from balewright.findings.measures.measure import Family, Measure
from balewright.findings.planned import plan_of
from balewright.findings.watched import Floats, Watched, watch_machine
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable
from balewright.records.columns import BY_NAME, CHAMBER_PHASES, WRAPPER_PHASES

MakeBales = Callable[..., BaleTable]
Watch = Callable[..., Watched]
BY_KEY = {measure.key: measure for measure in MEASURES}
RICH: Mapping[str, Any] = {
    "speed_m_s": 2.0, "chamber_bar": 110.0, "knife_bar": 45.0, "wrap_rpm": 29.0,
    "wrap_bale_turns": 1.75, "pto_torque_nm": 700.0, "pto_rpm": 990.0, "oil_c": 55.0,
    "air_c": 21.0, "supply_min_v": 12.6, "additive_l": 1.2, "diameter_left_m": 1.26,
    "diameter_right_m": 1.24, "moisture_max_frac": 0.58, "said_layers": 6.5,
    "said_stretch_frac": 0.68, "said_overlap_frac": 0.52, "film_m": 81.6, "film1_breaks": 1,
    "film2_breaks": 0, "film_breaks": 1, "binding_tries": 3, "film_start_tries": 2,
    "overloads": 2, "mode": "by hand", "codes": "520192/5 168/4", "pitch_frac": 0.03,
    "roll_frac": -0.02, "knives_in": 17, "lon": 0.0,
}  # fmt: skip


def first(watched: Watched, key: str, row: int = 1) -> float:
    """One bale's value of a measure."""
    return float(BY_KEY[key].read(watched)[row])


GIRTH_M = 3.141592653589793 * 1.25
VOLUME_M3 = 3.141592653589793 / 4 * 1.25**2 * 1.23
# of the bale in conftest, by hand: key -> value
BY_HAND: Mapping[str, float] = {
    "fill_s": 40.0, "bind_delay_s": 3.0, "bind_turn_s": 7.0 / 2.5, "bind_s": 7.0,
    "gate_delay_s": 1.0, "gate_cycle_s": 60.0 - 51.0, "transfer_s": 4.0, "wrap_delay_s": 2.0,
    "wrap_turn_s": 29.0 / 14.0, "tip_delay_s": 3.0, "gate_opening_mm": 20.0,
    "fresh_kg_m3": 604.0 / VOLUME_M3, "dry_kg_m3": 604.0 * 0.45 / VOLUME_M3, "diameter_m": 1.25,
    "moisture_frac": 0.55, "feed_t_h": 0.604 / 40.0 * 3600.0,
    "binding_stretch_ratio": 2.5 * GIRTH_M / 9.8, "binding_girths_turns": 9.8 / GIRTH_M,
    "binding_turns": 2.5, "film1_stretch_ratio": 14 * 2 * 2.48 / 40.8,
    "film2_stretch_ratio": 14 * 2 * 2.48 / 40.8, "film_pair_ratio": 1.0,
    "unbound": 0.0, "burst": 0.0,
    # with the columns of RICH
    "chamber_bar": 110.0, "knife_bar": 45.0, "pto_torque_nm": 700.0, "pto_rpm": 990.0,
    "supply_min_v": 12.6, "supply_dips": 0.0, "additive_l": 1.2,
    "additive_l_t": 1.2 / 0.604, "left_over_right_m": 0.02, "wet_spot_frac": 0.03,
    "row_kg_m": 604.0 / (2.0 * 40.0), "speed_m_s": 2.0, "film1_breaks": 1.0, "film2_breaks": 0.0,
    "film_breaks": 1.0, "binding_retries": 2.0, "film_start_retries": 1.0, "overloads": 2.0,
    "by_hand": 1.0, "codes": 1.0,
    # on a bale that nothing disturbed
    "advance_m": 1.75 * GIRTH_M / 14.0, "wrap_rpm": 29.0, "said_layers_turn": 6.5 / 14.0,
    "said_stretch_frac": 0.68, "said_overlap_frac": 0.52,
    "film_stretch_ratio": 2 * 14 * 2 * 2.48 / 81.6,
}  # fmt: skip
TIMES_OF_A_BALE = (*CHAMBER_PHASES, *WRAPPER_PHASES)
GOOD: Mapping[str, Any] = {
    "mass_kg": 604.0, "film1_m": 40.8, "film2_m": 40.8, "binding_m": 9.8, "diameter_m": 1.25,
}  # fmt: skip
INSTEAD: Mapping[str, Mapping[str, Any]] = {
    "fresh_kg_m3": {"moisture_frac": None}, "additive_l": {"mass_kg": None},
}  # fmt: skip
"""Measures that speak only where a better one cannot."""
DISTURBS = (
    "film1_breaks", "film2_breaks", "film_breaks", "binding_tries", "film_start_tries",
    "overloads", "mode", "codes",
)  # fmt: skip


@pytest.mark.derived
@pytest.mark.parametrize("key", BY_HAND)
def test_measure_is_what_the_hand_works_out(watch: Watch, key: str) -> None:
    """Each measure of one bale equals its formula worked out by hand."""
    quiet = {name: value for name, value in RICH.items() if name not in DISTURBS}
    rate = BY_KEY[key].family is Family.RATE
    columns = RICH if rate else {**quiet, **INSTEAD.get(key, {})}
    assert first(watch(3, {(0, 3): columns}), key) == pytest.approx(BY_HAND[key], rel=1e-12)


@pytest.mark.own
def test_every_measure_was_worked_out_by_hand() -> None:
    """No measure escapes the hand; those that need a sheet or a warm machine stand below."""
    assert set(BY_KEY) == set(BY_HAND) | {"undosed", "oil_c"}
    assert len(MEASURES) == len(BY_KEY)


@pytest.mark.derived
def test_undosed_needs_a_sheet_that_asks(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """A bale without additive counts only where the sheet asks for some."""
    asks = sheets["s1"].lines[-1]
    dosed = replace(
        sheets["s1"], lines=(*sheets["s1"].lines, replace(asks, key="additive_l_t", value=2.0))
    )
    bales = make_bales(3, {(0, 1): {"additive_l": 0.0}, (1, 2): {"additive_l": 1.3}})
    read = BY_KEY["undosed"].read
    with_sheet = read(watch_machine("RING-1", ring, bales, plan_of({"s1": dosed}, ring)))
    assert with_sheet[:2].tolist() == [1.0, 0.0]
    assert np.isnan(with_sheet[2])
    assert np.isnan(read(watch_machine("RING-1", ring, bales, plan_of(sheets, ring)))).all()


@pytest.mark.law
@pytest.mark.parametrize("key", [key for key in BY_KEY if key != "codes"])
def test_without_its_columns_a_measure_is_unknown(watch: Watch, key: str) -> None:
    """A measure whose columns are empty knows nothing: it never gives zero. Only an empty cell of
    codes says something: that there was none."""
    measure = BY_KEY[key]
    missing = dict.fromkeys(measure.columns)
    if key == "unbound":
        missing["binding_turns"] = None
    values = measure.read(watch(4, {(0, 4): {**RICH, **missing}}))
    assert np.isnan(values).all()


@pytest.mark.law
def test_later_bales_change_nothing_that_was_read(watch: Watch) -> None:
    """Values of the last bales, read with LOOKS_BACK bales before them, are those of one go."""
    count, cut = 40 + LOOKS_BACK + 20, 40
    changed = {(0, count): RICH, (90, 93): {"bale_no": None}, (100, 101): {"counter_epoch": 3}}
    watched = watch(count, changed)
    rows = np.arange(cut, count)
    tail = Watched(
        watched.serial, watched.machine, watched.bales.take(rows), watched.plans,
        watched.made_us[rows], watched.timed[rows],
    )  # fmt: skip
    for name, read in _reads():
        np.testing.assert_array_equal(read(watched)[-20:], read(tail)[-20:], err_msg=name)


def _reads() -> list[tuple[str, Callable[[Watched], Floats]]]:
    return [(m.key, m.read) for m in MEASURES] + [(e.key, e.read) for e in EXPLAINS.values()]


@pytest.mark.law
@pytest.mark.parametrize(
    "key",
    [m.key for m in MEASURES if m.is_log and not {"closed_at", "bind_start_at"} & set(m.columns)
     and m.columns[0] not in ("gate_open_at", "wrap_start_at")],
)  # fmt: skip
def test_a_counter_that_runs_by_another_scale_only_shifts_the_logarithm(
    watch: Watch, key: str
) -> None:
    """A unit that is 1.07 times as large moves every bale's logarithm by the same, so a chart of
    its changes sees nothing of it."""
    measure = BY_KEY[key]
    column, many = measure.columns[0], 12
    quiet = {name: value for name, value in RICH.items() if name not in DISTURBS}
    spread = np.random.default_rng(8).uniform(0.97, 1.03, many)

    def bales(factor: float) -> Watched:
        changed: dict[tuple[int, int], dict[str, Any]] = {}
        for row in range(many):
            before = {**GOOD, **quiet}[column]
            own = {column: float(before) * spread[row] * factor, **INSTEAD.get(key, {})}
            changed[(row, row + 1)] = {**quiet, **own}
        return watch(many, changed)

    shift = np.log(measure.read(bales(1.07))) - np.log(measure.read(bales(1.0)))
    assert np.abs(shift[0]) == pytest.approx(np.log(1.07), rel=1e-9)
    np.testing.assert_allclose(shift, shift[0], rtol=1e-9)


@pytest.mark.law
def test_bales_without_codes_count_as_bales_without_codes(watch: Watch) -> None:
    """A stretch in which no code came is told as none, not left out; a stretch without film
    counters says nothing of breaks."""
    bales = watch(3).bales
    assert is_recorded(BY_KEY["codes"], bales)
    assert not is_recorded(BY_KEY["film1_breaks"], bales)
    assert BY_KEY["codes"].read(watch(3)).tolist() == [0.0, 0.0, 0.0]


@pytest.mark.derived
def test_a_machine_warms_up_after_each_rest(watch: Watch) -> None:
    """One bale a minute, four hours of rest before the eleventh: 0 at the first and at the
    eleventh bale, 1 - exp(-5/40) five minutes after each, and warm beyond LOOKS_BACK bales."""
    rest_us = 4 * 3_600_000_000
    later = {name: (lambda row, name=name: row[name] + rest_us) for name in TIMES_OF_A_BALE}
    share = EXPLAINS["warm_up_share"].read(watch(90, {(10, 90): later}))
    assert share[[0, 10]].tolist() == [0.0, 0.0]
    assert share[[5, 15]] == pytest.approx(1 - np.exp(-5 / 40), rel=1e-9)
    assert share[10 + LOOKS_BACK :] == pytest.approx(1.0, abs=1e-3)


@pytest.mark.own
def test_oil_is_read_of_a_machine_that_has_warmed_up(watch: Watch) -> None:
    """Bales a minute apart: unknown for the first hour and a half, then as the sensor shows it."""
    bales = watch(120, {(0, 120): {"oil_c": 55.0}})
    oil_c = BY_KEY["oil_c"].read(bales)
    assert np.isnan(oil_c[:60]).all()
    assert oil_c[-1] == 55.0


@pytest.mark.law
def test_order_of_the_rows_changes_nothing(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """Bales are put in order before they are read."""
    bales = make_bales(30, {(0, 30): RICH, (10, 20): {"mass_kg": 555.0, "film1_m": 38.0}})
    mixed = bales.take(np.random.default_rng(6).permutation(30))
    plans = plan_of(sheets, ring)
    one, other = (watch_machine("RING-1", ring, table, plans) for table in (bales, mixed))
    for name, read in _reads():
        np.testing.assert_array_equal(read(one), read(other), err_msg=name)


@pytest.mark.law
def test_clocks_that_ran_back_and_long_stops_are_unknown(watch: Watch) -> None:
    """A phase that ends before it begins, or lasts for hours, is no phase time."""
    hour_us = 3_600_000_000
    watched = watch(
        5,
        {
            (1, 2): {"full_at": lambda row: row["closed_at"] - 1_000_000},
            (2, 3): {"wrap_end_at": lambda row: row["wrap_end_at"] + hour_us},
            (3, 4): {"closed_at": None},
        },
    )
    assert np.isnan(BY_KEY["fill_s"].read(watched)[[1, 3]]).all()
    assert np.isnan(BY_KEY["wrap_turn_s"].read(watched)[2])
    assert np.isnan(BY_KEY["gate_cycle_s"].read(watched)[[0, 3]]).all()


@pytest.mark.practice
def test_waiting_for_the_wrapper_is_no_slow_gate(watch: Watch) -> None:
    """Each bale is bound 50 s after its chamber closed. Where the bale before is tipped 12 s
    later and the gate opens 2 s after that, the gate took 2 s, not 14; where it is tipped only
    after the gate opened, it was not waited for."""

    def later(name: str, seconds: int) -> Callable[[dict[str, Any]], int]:
        return lambda row: row[name] + seconds * 1_000_000

    # the bale before closed 60 s earlier and was tipped 89 s after that: 29 s after this closed
    watched = watch(
        4,
        {
            (1, 2): {"tipped_at": later("tipped_at", 33)},
            (2, 3): {"gate_open_at": later("gate_open_at", 13),
                     "tipped_at": later("tipped_at", 40)},
        },
    )  # fmt: skip
    assert BY_KEY["gate_delay_s"].read(watched).tolist() == [1.0, 1.0, 2.0, 1.0]


@pytest.mark.practice
@pytest.mark.parametrize(
    ("column", "value"),
    [("rolls_on", 1), ("roll_lost", 2), ("film1_breaks", 1), ("film_start_tries", 2),
     ("mode", "by hand"), ("status", "re-wrapped"), ("wrap_turns", 0.0)],
)  # fmt: skip
def test_disturbed_film_is_no_reading_of_the_dispenser(
    watch: Watch, column: str, value: Any
) -> None:
    """A lost roll, a break, a second start: metres of such a bale say nothing about stretch."""
    values = BY_KEY["film1_stretch_ratio"].read(watch(3, {(1, 2): {column: value}}))
    assert np.isfinite(values).tolist() == [True, False, True]


@pytest.mark.practice
def test_values_nobody_sensed_are_not_watched(watch: Watch) -> None:
    """A nominal mass or an entered moisture is no reading; fresh density speaks where moisture
    cannot."""
    watched = watch(2, {(0, 1): {"mass_how": "nominal"}, (1, 2): {"moisture_how": "entered"}})
    assert np.isnan(BY_KEY["fresh_kg_m3"].read(watched)).tolist() == [True, False]
    assert np.isnan(BY_KEY["dry_kg_m3"].read(watched)).all()


@pytest.mark.own
@pytest.mark.parametrize("measure", MEASURES, ids=lambda measure: measure.key)
def test_measure_names_what_exists(measure: Measure) -> None:
    """Columns, explaining values and floors are known and of use."""
    assert set(measure.columns) <= set(BY_NAME)
    assert set(measure.explained_by) <= set(EXPLAINS)
    assert measure.up is not None or measure.down is not None
    if measure.family is Family.LEVEL:
        # a shift of one bale-to-bale deviation must be worth telling
        assert measure.floor > 0
        assert measure.floor < measure.usual_spread or not measure.tells_small
    else:
        assert 0 < measure.usual_rate < 0.1


@pytest.mark.own
def test_machines_get_the_measures_of_what_they_are(ring: Machine) -> None:
    """No wrapper, no film; one dispenser, no pair; sensors are columns measures rest on."""
    assert ring.wrapper is not None
    bare = replace(ring, wrapper=None, knives=None)
    one = replace(ring, wrapper=replace(ring.wrapper, dispensers=1))
    keys = {name: {m.key for m in measures_of(machine)} for name, machine in
            (("two", ring), ("one", one), ("bare", bare))}  # fmt: skip
    assert keys["two"] == set(BY_KEY)
    assert keys["two"] - keys["one"] == {"film2_stretch_ratio", "film_pair_ratio", "film2_breaks"}
    assert not any(key.startswith(("film", "wrap", "said", "tip")) for key in keys["bare"])
    assert "knife_bar" not in keys["bare"]
    assert {"film1_m", "chamber_bar", "supply_min_v"} <= set(sensors_of(ring))
    assert not {"wrap_turns", "film1_breaks", "said_layers", "full_at"} & set(sensors_of(ring))
