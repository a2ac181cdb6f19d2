"""What holds for every stressor and every mix."""

from __future__ import annotations

import hashlib

import numpy as np
import pytest

from balewright.records.bales import BaleTable, concatenate
from balewright.records.columns import BY_NAME, CHAMBER_PHASES, WRAPPER_PHASES, Kind
from balewright.rehearsal.stress.catalogue import STRESSORS
from balewright.rehearsal.stress.pack import STRESS_PACK
from balewright.rehearsal.stress.play import DOINGS, advance_of, stress_season
from balewright.rehearsal.stress.slipping import SlippingAdvance
from balewright.rehearsal.stress.stressed import Stressed, as_plain
from balewright.rehearsal.stress.stressor import Dose, Mix, Room
from rehearsal.stress.full_table import plain

_BEHAVES_SHA256 = "c99899ece32ea5640d07f5f4e8bf46c300961b633299027db11dd1022b3900f0"
"""Of what every stressor does to one fixed table: values to six digits, masks, events, truth."""
ALONE = {key: Mix(key, "", (Dose(key, STRESSORS[key].severity),)) for key in DOINGS}
ALL = {**{f"only {key}": mix for key, mix in ALONE.items()}, **STRESS_PACK}


def put_on(mix: Mix, seed: int = 7) -> Stressed:
    """A mix on the invented table."""
    return stress_season(mix, *plain(), np.random.default_rng(seed))


def same(one: BaleTable, two: BaleTable) -> bool:
    """Whether two tables hold the same cells."""
    return set(one.values) == set(two.values) and all(
        np.array_equal(one.mask(name), two.mask(name))
        and np.array_equal(one.column(name), two.column(name))
        for name in one.values
    )


@pytest.mark.law
def test_every_stressor_is_done_somewhere() -> None:
    """The catalogue and what can be put on are the same, but for what the simulator does."""
    making = {key for key, one in STRESSORS.items() if one.room is Room.MAKING}
    assert set(DOINGS) == set(STRESSORS) - making
    assert advance_of(STRESS_PACK["slipping"]).slip_frac == STRESSORS["slipping advance"].severity
    assert advance_of(STRESS_PACK["holes"]).slip_frac == 0


@pytest.mark.law
@pytest.mark.parametrize("key", list(DOINGS))
def test_severity_nought_changes_nothing(key: str) -> None:
    """No cell, no event, no row and no truth moves at severity 0."""
    table, events = plain()
    done = DOINGS[key](as_plain(table, events), 0.0, np.random.default_rng(1))
    assert same(done.bales, table)
    assert done.events == events
    assert (done.origin == np.arange(table.rows)).all()
    assert all((more == 0).all() for more in done.added.values())


@pytest.mark.law
@pytest.mark.parametrize("mix", ALL.values(), ids=ALL)
def test_records_stay_records(mix: Mix) -> None:
    """Types and believable ranges hold, unknown stays unknown, and each row is still its bale."""
    table, _ = plain()
    done = put_on(mix)
    assert len(done.origin) == done.bales.rows > 0
    assert set(done.bales.values) == set(table.values)
    for name, values in done.bales.values.items():
        column, known = BY_NAME[name], done.bales.mask(name)
        assert values.dtype == table.column(name).dtype, name
        assert not (known & ~table.mask(name)[done.origin]).any(), name
        if column.low is not None and column.high is not None:
            assert (values[known] >= column.low).all(), name
            assert (values[known] <= column.high).all(), name
        if column.choices:
            assert set(values[known]) <= set(column.choices), name
        if column.kind is Kind.FLOAT:
            assert np.isfinite(values).all(), name
    for name in ("machine", "bale_no", "job", "crop"):
        assert (done.bales.column(name) == table.column(name)[done.origin]).all(), name
    for span in done.spans:
        assert mix.severity(span.key) > 0
        assert 0 <= span.first <= span.last < table.rows


@pytest.mark.law
@pytest.mark.parametrize("mix", ALL.values(), ids=ALL)
def test_phases_stand_in_order_unless_a_clock_was_set_back(mix: Mix) -> None:
    """Per station times rise; no bale is in the chamber or on the wrapper before its last left."""
    if mix.severity("clock set back"):
        return
    done = put_on(mix).bales
    for names in (CHAMBER_PHASES, WRAPPER_PHASES):
        times = np.stack([done.floats(name) for name in names], axis=1)
        for row in times:
            known = row[np.isfinite(row)]
            assert (np.diff(known) >= 0).all()
    numbers = done.column("bale_no")
    new = numbers[1:] != numbers[:-1]
    idle = done.floats("closed_at")[1:] - done.floats("gate_open_at")[:-1]
    assert (idle[new & np.isfinite(idle)] >= 0).all()
    room = done.floats("gate_open_at")[1:] - done.floats("tipped_at")[:-1]
    assert (room[new & np.isfinite(room)] >= 0).all()


@pytest.mark.law
@pytest.mark.parametrize("key", ["many hands", "bad season", "everything at half strength"])
def test_same_seed_same_stress_and_machines_do_not_disturb_each_other(key: str) -> None:
    """Records are their seed's; the first machine's are the same whoever stands beside it."""
    one, two, other = (
        put_on(STRESS_PACK[key]),
        put_on(STRESS_PACK[key]),
        put_on(STRESS_PACK[key], 8),
    )
    assert same(one.bales, two.bales)
    assert (one.events, one.spans) == (two.events, two.spans)
    assert not (one.bales.rows == other.bales.rows and same(one.bales, other.bales))
    (table, events), (beside, more) = plain(), plain(400, "M2")
    both = stress_season(
        STRESS_PACK[key], concatenate([table, beside]), (*events, *more), np.random.default_rng(7)
    )
    first = np.flatnonzero(both.bales.column("machine") == "M1")
    assert same(both.bales.take(first), one.bales)
    assert (both.origin[first] == one.origin).all()
    assert (both.origin[len(first) :] >= table.rows).all()
    assert tuple(event for event in both.events if event.machine == "M1") == one.events


@pytest.mark.law
def test_a_poor_machine_and_an_empty_table_are_taken_too() -> None:
    """Every mix goes over records with hardly a column, a handful of bales, or none."""
    table, events = plain()
    keep = ("machine", "bale_no", "tipped_at", "wrap_turns")
    poor = BaleTable(table.rows, {name: table.values[name] for name in keep},
                     {name: table.known[name] for name in keep})  # fmt: skip
    for mix in STRESS_PACK.values():
        assert set(stress_season(mix, poor, (), np.random.default_rng(1)).bales.values) == set(keep)
        for few in (0, 1, 3):
            some = stress_season(mix, table.take(np.arange(few)), events, np.random.default_rng(1))
            assert some.bales.rows <= 2 * few


@pytest.mark.own
def test_stressors_do_what_they_did_when_the_pack_was_written() -> None:
    """What a stressor does is not made milder behind an unchanged severity."""
    digest = hashlib.sha256()
    for key, mix in ALONE.items():
        done = put_on(mix)
        digest.update(key.encode())
        for name in sorted(done.bales.values):
            known = done.bales.mask(name)
            values = done.bales.column(name)[known]
            text = values if BY_NAME[name].kind is not Kind.FLOAT else np.round(values, 6) + 0.0
            digest.update(known.tobytes() + "|".join(map(str, text.tolist())).encode())
        digest.update(repr((done.events, done.spans)).encode())
        for name, more in done.added.items():
            digest.update(name.encode() + repr(np.round(more, 6).tolist()).encode())
    slips = SlippingAdvance(0.08).factors(np.repeat(np.arange(5), 9), np.random.default_rng(7))
    digest.update(repr(np.round(slips, 6).tolist()).encode())
    assert digest.hexdigest() == _BEHAVES_SHA256
