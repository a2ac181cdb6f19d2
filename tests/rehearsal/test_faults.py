"""Every fault of the book moves its quantity by its severity, from its bale on, and no other."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import binom

from balewright.records.events import EventKind
from balewright.rehearsal.book import FAULT_BOOK
from balewright.rehearsal.faults import FaultKind, Growth, Planted
from balewright.rehearsal.notes import Family, System
from balewright.rehearsal.readings import natural_spread, recorded_quantity, usual_severities
from rehearsal.playing import clean, play, quantities

START = 220
KINDS = list(FaultKind)
IDS = [kind.value for kind in KINDS]
LEVELS = [
    kind for kind, note in FAULT_BOOK.items() if note.family in (Family.LEVEL, Family.SETTING)
]
SPREADS = [FaultKind.RING_UNEVEN, FaultKind.STRETCH_UNEVEN, FaultKind.GATE_CHATTERS]


def severe(kind: FaultKind) -> float:
    """What a bench would plant as severe on the machine of these tests."""
    found = usual_severities(kind, clean(), "M1")
    assert found is not None
    return found[1]


@pytest.mark.law
def test_the_book_names_every_fault_over_all_systems() -> None:
    """49 kinds, one note each, in each of the sixteen systems; every quantity can be read."""
    assert list(FAULT_BOOK) == KINDS
    assert len(KINDS) >= 42
    assert {note.system for note in FAULT_BOOK.values()} == set(System)
    known = {name.removesuffix(" 2") for name in quantities(clean())}
    for note in FAULT_BOOK.values():
        assert set(note.also) <= known
        assert note.quantity in known or note.family in (Family.SILENCE, Family.COUNT)


@pytest.mark.law
@pytest.mark.parametrize("kind", KINDS, ids=IDS)
def test_before_its_bale_a_season_is_its_clean_twin(kind: FaultKind) -> None:
    """Every cell and the truth of every bale before the fault are those of the clean season."""
    twin = clean()
    for growth in (Growth.STEP, Growth.SPELLS):
        played = play(planted=(Planted(kind, START, severe(kind), 0, 2, growth),))
        for name in twin.bales.values:
            assert (played.bales.column(name)[:START] == twin.bales.column(name)[:START]).all()
            assert (played.bales.mask(name)[:START] == twin.bales.mask(name)[:START]).all()
        before = twin.truth[0].closed_us[START]
        events = [event for event in played.events if (event.at_us or 0) < before]
        assert events == [event for event in twin.events if (event.at_us or 0) < before]
        for name, values in twin.truth[0].made.items():
            assert np.array_equal(played.truth[0].made[name][:START], values[:START], True), name
        first = played.truth[0].faults[0].first_bale
        assert first is not None
        assert START <= first < START + 200  # a batch begins with its first roll


@pytest.mark.law
@pytest.mark.parametrize("kind", KINDS, ids=IDS)
def test_a_fault_moves_what_its_note_says_and_nothing_else(kind: FaultKind) -> None:
    """Every other quantity of the record stays as it was, bale by bale, to a tenth of a second."""
    note = FAULT_BOOK[kind]
    before, after = (
        quantities(clean()),
        quantities(play(planted=(Planted(kind, START, severe(kind)),))),
    )
    may_move = {note.quantity, *note.also, *(["mass"] if kind is FaultKind.COLUMN_SILENT else [])}
    if kind in (FaultKind.ROLL_BATCH, FaultKind.WRAP_TURNS):
        may_move |= {f"{name} 2" for name in may_move}
    for name, values in before.items():
        timed = "time" in name or "delay" in name or "waiting" in name
        near = np.isclose(after[name], values, rtol=1e-9, atol=0.11 if timed else 0, equal_nan=True)
        assert near.all() or name in may_move, name


@pytest.mark.law
@pytest.mark.parametrize("kind", LEVELS, ids=[kind.value for kind in LEVELS])
def test_a_level_moves_by_its_severity(kind: FaultKind) -> None:
    """Recorded after the start less the clean twin's: the severity, in the sign of the note."""
    size = severe(kind)
    played = play(planted=(Planted(kind, START, size),))
    now, was = (recorded_quantity(kind, one, "M1") for one in (played, clean()))
    assert now is not None
    assert was is not None
    moved = (now - was)[START:]
    if FAULT_BOOK[kind].unit == "frac" and kind is not FaultKind.STRETCH:
        moved = np.expm1(moved)  # shares are read as logarithms
    # single stops and turns take no part in a share
    mean = float(np.nanmedian(moved) if FAULT_BOOK[kind].unit == "frac" else np.nanmean(moved))
    # feed changes a bale's mass with the time it takes: exponent 0.1
    room = 0.13 if FAULT_BOOK[kind].quantity == "fill time" else 0.08
    assert mean == pytest.approx(FAULT_BOOK[kind].sign * size, rel=room)
    assert np.nanmax(np.abs((now - was)[:START])) == 0


# scatter of a reading from the sizes: its own, a share of its level, and the rounding's step
SCATTER = {
    FaultKind.GATE: (1.8, 0.0, 1.0),
    FaultKind.PTO_SLOW: (5.0, 0.0, 1.0),
    FaultKind.RING_SLOW: (0.3, 0.0, 0.1),
    FaultKind.RELIEF_LOW: (math.hypot(2.4, 20 * 0.014), 0.0, 1.0),
    FaultKind.KNIFE_BANK_LEAKS: (1.0, 0.0, 1.0),
    FaultKind.BINDING_LATE: (0.0, 0.08, 0.1 * math.sqrt(2)),
    FaultKind.TIP_SLOW: (0.0, 0.10, 0.1 * math.sqrt(2)),
    FaultKind.DENSITY_LOST: (
        math.hypot(0.03, 0.015, 0.014 / 0.45, 2 * 0.007 / 1.25, 0.1 * math.hypot(0.06, 0.07)),
        0.0,
        0.0,
    ),
}


@pytest.mark.derived
@pytest.mark.parametrize("kind", list(SCATTER), ids=[kind.value for kind in SCATTER])
def test_natural_spread_is_the_scatter_of_a_clean_season(kind: FaultKind) -> None:
    """What the parts of a reading scatter adds up to the spread, to within the machine's own."""
    own, share, step = SCATTER[kind]
    values = recorded_quantity(kind, clean(4000), "M1")
    assert values is not None
    spread = math.hypot(own, share * float(np.nanmedian(values)), step / math.sqrt(12))
    assert natural_spread(kind, clean(4000), "M1") == pytest.approx(spread, rel=0.08)


@pytest.mark.law
def test_what_a_machine_does_not_record_has_no_spread_and_no_severity() -> None:
    """None for a silent column, for another make's missing sensor, and for rates."""
    dumb = play(60, silent=frozenset({"knife_bar", "overloads"}))
    assert natural_spread(FaultKind.KNIFE_BANK_LEAKS, dumb, "M1") is None
    assert usual_severities(FaultKind.OVERLOADS, dumb, "M1") is None
    assert natural_spread(FaultKind.FILM_BREAKS, dumb, "M1") is None
    assert usual_severities(FaultKind.FILM_BREAKS, dumb, "M1") == (3.0, 6.0)
    with pytest.raises(KeyError):
        natural_spread(FaultKind.GATE, dumb, "another")


@pytest.mark.law
@pytest.mark.parametrize("kind", SPREADS, ids=[kind.value for kind in SPREADS])
def test_a_spread_grows_as_many_times(kind: FaultKind) -> None:
    """Readings scatter about three times as much as before."""
    played = play(1500, planted=(Planted(kind, START, 3.0),))
    values = recorded_quantity(kind, played, "M1")
    assert values is not None
    job = played.truth[0].job
    off = values - np.array([np.nanmean(values[job == one]) for one in range(job.max() + 1)])[job]
    assert np.nanstd(off[START:]) / np.nanstd(off[:START]) == pytest.approx(3.0, rel=0.2)


RATES = {
    FaultKind.OVERLOADS: "overloads", FaultKind.BINDING_MISSED: "binding missed",
    FaultKind.FILM_STARTS: "film starts", FaultKind.BY_HAND: "by hand",
    FaultKind.FILM_BREAKS: "film breaks 1",
}  # fmt: skip


@pytest.mark.derived
@pytest.mark.parametrize("kind", list(RATES), ids=[kind.value for kind in RATES])
def test_rates_come_at_the_planted_times(kind: FaultKind) -> None:
    """The chance of each bale is the base chance times the severity, and the record's count over
    4,000 bales lies where a binomial count lies in 999 cases of 1,000."""
    base, times = clean(4000).truth[0].chances[RATES[kind]], FAULT_BOOK[kind].usual[1]
    played = play(4000, planted=(Planted(kind, 0, times),))
    chance = played.truth[0].chances[RATES[kind]]
    # torque, oil and air are not moved by these, so neither is the base chance
    assert chance == pytest.approx(base * times)
    seen = recorded_quantity(kind, played, "M1")
    assert seen is not None
    count = int(np.nansum(seen - math.floor(float(np.nanmin(seen)))))
    low, high = binom.interval(0.999, 4000, float(chance.mean()))
    assert low <= count <= high


@pytest.mark.law
def test_codes_come_with_speed_or_at_any_speed() -> None:
    """A moving cable's code comes the more the faster a bale is made; the other does not care."""
    speed = clean().truth[0].made["speed_m_s"]
    quiet = 1.0 - clean().truth[0].chances["codes"]
    for kind, faster in ((FaultKind.SPEED_CODES, True), (FaultKind.CODES_MORE, False)):
        played = play(planted=(Planted(kind, 0, 6.0),)).truth[0]
        left = (1.0 - played.chances["codes"]) / quiet
        assert (left < 1).all()
        if faster:
            assert (np.diff(left[np.argsort(speed)]) < 0).all()
        else:
            assert np.ptp(left) < 1e-12


@pytest.mark.law
def test_a_bad_batch_lasts_eight_rolls() -> None:
    """Breaks come more often with the rolls of one batch alone; its name stands in the events."""
    season = play(1500, planted=(Planted(FaultKind.ROLL_BATCH, START, 6.0),))
    (there,) = season.truth[0].faults
    assert there.first_bale is not None
    assert there.last_bale is not None
    rolls = [e for e in season.events if e.kind is EventKind.FILM_ROLL_CHANGED]
    bad = [e for e in rolls if int(e.batch[1:]) > 10_000]
    assert len(bad) == 8
    assert {event.batch for event in bad} == {bad[0].batch}
    assert bad[0].bale_no == 501 + there.first_bale
    base = clean(1500).truth[0].chances["film breaks 1"]
    ratio = season.truth[0].chances["film breaks 1"] / base
    assert set(np.round(ratio, 9)) == {1.0, 6.0}
    assert (ratio[: there.first_bale] == 1).all()
    assert (ratio[there.last_bale + 1 :] == 1).all()


@pytest.mark.law
def test_a_stuck_cartridge_is_changed_late() -> None:
    """Each interval after it stuck is three times as long; the one it stuck in by what was left."""
    season = play(4000, planted=(Planted(FaultKind.GREASE_STUCK, 1000, 3.0),))

    def changes(events: tuple) -> list[int]:
        return [e.bale_no - 501 for e in events if e.kind is EventKind.CARTRIDGE_CHANGED]

    then, usual = changes(season.events), changes(clean(4000).events)
    same = [bale for bale in usual if bale <= 1000]
    assert then[: len(same)] == same
    assert then[len(same)] == 1000 + 3 * (usual[len(same)] - 1000)
    assert all(3 * 0.9 * 420 - 3 <= step <= 3 * 1.08 * 420 for step in np.diff(then[len(same) :]))


@pytest.mark.law
def test_sensors_freeze_and_fall_silent() -> None:
    """A frozen reading repeats the last free one; a silent column has no cell; truth goes on."""
    season = play(planted=(
        Planted(FaultKind.DIAMETER_FROZEN, START, 1.0),
        Planted(FaultKind.COLUMN_SILENT, START, 1.0, column="oil_c"),
    ))  # fmt: skip
    read = season.bales.floats("diameter_m")
    assert set(read[START:]) == {read[START - 1]}
    assert len(set(read[:START])) > 3
    assert not season.bales.mask("oil_c")[START:].any()
    assert season.bales.mask("oil_c")[:START].all()
    assert np.array_equal(season.truth[0].diameter_m, clean().truth[0].diameter_m)


@pytest.mark.law
def test_faults_grow_as_they_say() -> None:
    """At once, evenly, half at once, in spells of the asked share; severity is never passed."""
    flat = Planted(FaultKind.OIL_HOT, 100, 8.0)
    ramp = Planted(FaultKind.OIL_HOT, 100, 8.0, 50)
    jump = Planted(FaultKind.OIL_HOT, 100, 8.0, 50, growth=Growth.JUMP_CREEP)
    spells = Planted(FaultKind.OIL_HOT, 100, 8.0, growth=Growth.SPELLS, duty_share=0.3)
    assert (flat.grows, ramp.grows) == (Growth.STEP, Growth.RAMP)
    for fault in (flat, ramp, jump, spells):
        level = fault.level(5000, np.random.default_rng(1))
        assert (level[:100] == 0).all()
        assert level[100] > 0
        assert level.max() == 8.0
    assert ramp.level(300)[[124, 149, 299]] == pytest.approx([4.0, 8.0, 8.0])
    assert jump.level(300)[[100, 125, 150, 299]] == pytest.approx([4.0, 6.0, 8.0, 8.0])
    share = spells.progress(20_000, np.random.default_rng(1))[100:].mean()
    assert share == pytest.approx(0.3, abs=0.05)
