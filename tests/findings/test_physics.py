"""What geometry, a balance or the clock settles: shape, pressure, mass, metres, times, claims."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.findings.against_plan import find_against_plan
from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.plan.film.layers import Bale
from balewright.plan.film.turns import turns_after_loss
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable, masked_table
from balewright.records.columns import BY_NAME, COLUMNS, Kind
from balewright.words.say import say

from .conftest import RING_LINES, START_US, hand_sheet

MakeBales = Callable[..., BaleTable]
S = 1_000_000

MORE: Mapping[str, Any] = {
    "diameter_left_m": 1.25, "diameter_right_m": 1.25, "chamber_bar": 105.0, "density_dial": 5.0,
    "said_layers": 6.0, "said_overlap_frac": 0.60, "said_stretch_frac": 0.70, "wrap_rpm": 30.0,
    "wrap_bale_turns": 14 * 0.475 / (np.pi * 1.25), "film_width_m": 0.75,
}  # fmt: skip
"""What a machine with every sensor records beside the rest, as it should be."""
AFTER_S: Mapping[str, float] = {
    "closed_at": 0.0, "full_at": 40.0, "bind_start_at": 43.0, "bind_end_at": 50.3,
    "gate_open_at": 51.0, "on_wrapper_at": 55.0, "wrap_start_at": 57.0, "wrap_end_at": 86.4,
    "tipped_at": 90.0,
}  # fmt: skip


def times(**moved: float) -> dict[str, Callable[[dict[str, Any]], int]]:
    """One bale every ten minutes, its phases so many seconds after it closed."""

    def at(after_s: float) -> Callable[[dict[str, Any]], int]:
        return lambda row: START_US + (row["bale_no"] - 100) * 600 * S + round(after_s * S)

    return {name: at(after_s) for name, after_s in (AFTER_S | moved).items()}


@pytest.fixture(scope="session")
def rich_sheets(ring: Machine) -> dict[str, Sheet]:
    """The hand-written sheet with a density: position 5 of the dial, 105 bar."""
    sheet = hand_sheet(ring, **RING_LINES, chamber_bar=105.0)
    lines = tuple(
        replace(line, position="5") if line.key == "chamber_bar" else line for line in sheet.lines
    )
    return {"s1": replace(sheet, lines=lines)}


Find = Callable[[Mapping[str, Any]], tuple[Finding, ...]]


@pytest.fixture
def find(make_bales: MakeBales, ring: Machine, rich_sheets: Mapping[str, Sheet]) -> Find:
    """Findings on 60 good bales of a rich machine that change from the 31st on."""

    def run(changed: Mapping[str, Any]) -> tuple[Finding, ...]:
        good = {**MORE, **times()}
        bales = make_bales(60, {(0, 60): good, (30, 60): changed})
        found = find_against_plan(bales, ring, rich_sheets)
        assert all(say(one.words) for one in found)
        return found

    return run


SHORT = FindingKind.LAYERS_SHORT
WRONG = FindingKind.SENSOR_MOVED
METRES = FindingKind.METRES_MOVED
SILENT = (FindingKind.NOT_WATCHED, Weight.NOTE, "silence", "")
# changed from the 31st bale on -> what is found: kind, weight, end of the sentence's key, part
CASES: Mapping[str, tuple[Mapping[str, Any], list[tuple[Any, ...]]]] = {
    "six centimetres thicker on the left": (
        {"diameter_left_m": 1.29, "diameter_right_m": 1.23},
        [(FindingKind.SHAPE_MOVED, Weight.COST, "shape.left", "bale shape")],
    ),
    "thicker on the right": (
        {"diameter_left_m": 1.21, "diameter_right_m": 1.28},
        [(FindingKind.SHAPE_MOVED, Weight.COST, "shape.right", "bale shape")],
    ),
    "pressure that the dial does not explain": (
        {"chamber_bar": 82.0},
        [(FindingKind.PRESSURE_MOVED, Weight.COST, "hold.less", "density pressure")],
    ),
    "a dial turned down, and the pressure with it": (
        {"chamber_bar": 86.0, "density_dial": 3.0},
        [(FindingKind.SETTING_MOVED, Weight.NOTE, "dial.less", "density dial")],
    ),
    "a dial turned up, and the pressure not": (
        {"chamber_bar": 105.0, "density_dial": 8.0},
        [
            (FindingKind.PRESSURE_MOVED, Weight.COST, "hold.less", "density pressure"),
            (FindingKind.SETTING_MOVED, Weight.NOTE, "dial.more", "density dial"),
        ],
    ),
    "low pressure and no dial": (
        {"chamber_bar": 82.0, "density_dial": None},
        [
            (FindingKind.PRESSURE_MOVED, Weight.COST, "hold.less_than_sheet", "density pressure"),
            SILENT,
        ],
    ),
    "high pressure": (
        {"chamber_bar": 130.0, "density_dial": None},
        [
            (FindingKind.PRESSURE_MOVED, Weight.NOTE, "hold.more_than_sheet", "density pressure"),
            SILENT,
        ],
    ),
    "a bale lighter than any": (
        {"mass_kg": 230.0},
        [(WRONG, Weight.NOTE, "balance.light_dry_scale", "scale")],
    ),
    "a bale lighter than any, moisture unknown": (
        {"mass_kg": 100.0, "moisture_frac": None},
        [
            (WRONG, Weight.NOTE, "balance.light_fresh_scale", "scale"),
            SILENT,
        ],
    ),
    "a bale heavier than sap": (
        {"mass_kg": 1700.0, "moisture_frac": None},
        [
            (WRONG, Weight.NOTE, "balance.heavy_fresh_scale", "scale"),
            SILENT,
        ],
    ),
    "moisture that leaves too much dry matter": (
        {"moisture_frac": 0.04},
        [
            (FindingKind.MOISTURE_OUTSIDE, Weight.COST, "moisture.dry", ""),
            (WRONG, Weight.NOTE, "balance.heavy_dry_moisture", "moisture sensor"),
        ],
    ),
    "more film than the way is long": (
        {"film1_m": 80.0, "film2_m": 80.0, "said_stretch_frac": None},
        [
            (METRES, Weight.NOTE, "metres.film_long", "dispenser 1"),
            (METRES, Weight.NOTE, "metres.film_long", "dispenser 2"),
        ],
    ),
    "net that slips": (
        {"binding_m": 12.0},
        [(METRES, Weight.COST, "metres.binding_net_long", "binding")],
    ),
    "net that no brake stretches so": (
        {"binding_m": 7.5},
        [(METRES, Weight.NOTE, "metres.binding_net_short", "binding")],
    ),
    "film binding that lies loose": (
        {"binding": "film", "binding_m": 12.0},
        [(METRES, Weight.COST, "metres.binding_film_long", "binding")],
    ),
    "film binding stretched to breaking": (
        {"binding": "film", "binding_m": 4.9},
        [(METRES, Weight.NOTE, "metres.binding_film_short", "binding")],
    ),
    "turns faster than the ring": (
        times(wrap_end_at=57.0 + 14.0),
        [(WRONG, Weight.NOTE, "clock.wrap_fast", "turn counter")],
    ),
    "wrapping that stops between": (
        times(wrap_end_at=57.0 + 60.0, tipped_at=120.0),
        [(FindingKind.PHASE_TIME_MOVED, Weight.COST, "clock.wrap_slow", "wrapper")],
    ),
    "a counter that loses half the turns": (
        {"wrap_turns": 7.0, "wrap_bale_turns": None, "said_stretch_frac": None},
        [
            (METRES, Weight.NOTE, "metres.film_long", "dispenser 1"),
            (METRES, Weight.NOTE, "metres.film_long", "dispenser 2"),
            (WRONG, Weight.NOTE, "clock.turns_lost", "turn counter"),
            (WRONG, Weight.NOTE, "said.layers", "layer display"),
            SILENT,
        ],
    ),
    "full three seconds after closing": (
        times(closed_at=37.0),
        [(FindingKind.PHASE_TIME_MOVED, Weight.NOTE, "clock.fill_fast", "full sign")],
    ),
    "binding in no time": (
        times(bind_end_at=43.2),
        [(WRONG, Weight.NOTE, "clock.bind_fast", "binding")],
    ),
    "binding that starts late": (
        times(**{name: after_s + 45.0 * (after_s > 50.0) for name, after_s in AFTER_S.items()}),
        [(FindingKind.PHASE_TIME_MOVED, Weight.COST, "clock.bind_slow", "binding")],
    ),
    "more layers said than lie there on average": (
        {"said_layers": 12.0},
        [(WRONG, Weight.NOTE, "said.layers", "layer display")],
    ),
    "another overlap than the advance makes": (
        {"said_overlap_frac": 0.40},
        [(WRONG, Weight.NOTE, "said.overlap", "overlap display")],
    ),
    "another stretch than the metres make": (
        {"said_stretch_frac": 0.55},
        [(WRONG, Weight.NOTE, "said.stretch_less", "stretch display")],
    ),
    "a stretch said too high": (
        {"said_stretch_frac": 0.90},
        [(WRONG, Weight.NOTE, "said.stretch_more", "stretch display")],
    ),
    "a bale that hardly turns under the film": (
        {"wrap_bale_turns": 0.5 * 14 * 0.475 / (np.pi * 1.25)},
        [(SHORT, Weight.NOTE, "advance.less", "bale turning")],
    ),
    "a bale that turns too far": (
        {"wrap_bale_turns": 1.9 * 14 * 0.475 / (np.pi * 1.25)},
        [(SHORT, Weight.NOTE, "advance.more", "bale turning")],
    ),
}


def key_of(found: Finding) -> tuple[Any, ...]:
    """What a case is compared by."""
    return (found.kind, found.weight, found.words.key.removeprefix("findings."), found.part)


@pytest.mark.derived
@pytest.mark.parametrize("case", list(CASES))
def test_what_physics_denies_is_named_since_it_began(find: Find, case: str) -> None:
    """Each change is told by what it is, with the part it points at, since its first bale."""
    changed, expected = CASES[case]
    found = find(changed)
    assert sorted(map(key_of, found)) == sorted(expected)
    assert {one.since_bale for one in found} == {130}
    assert {one.bales for one in found} == {30}


@pytest.mark.law
def test_a_rich_machine_in_order_is_silent(find: Find) -> None:
    """Every sensor there is, and nothing wrong: no finding."""
    assert find({}) == ()


@pytest.mark.derived
def test_a_lost_roll_is_told_with_the_turn_that_would_have_made_it_good(
    find: Find, make_bales: MakeBales, ring: Machine, rich_sheets: Mapping[str, Sheet]
) -> None:
    """The turn of the sentence is the one the plan counts; with it there is no finding, with one
    turn less there is."""
    from balewright.findings.planned import plan_of

    plan = plan_of(rich_sheets, ring)["s1"]
    strip_m = plan.strip_m(0.75)
    assert strip_m is not None
    wrapping = plan.wrapping(1.25, strip_m, (14.0, 5.0))
    needed = turns_after_loss(Bale(1.25, ring.chamber.width_m), wrapping, 5.0)

    def lost(turns: float) -> tuple[Finding, ...]:
        metres = turns * 2 * (1.25 + 1.23) / 1.70
        changed = {
            "roll_lost": 2, "roll_lost_turn": 5.0, "wrap_turns": turns, "film1_m": metres,
            "film2_m": metres * 5.0 / turns, "rolls_on": 2,
        }  # fmt: skip
        bales = make_bales(60, {(30, 31): changed})
        return find_against_plan(bales, ring, rich_sheets)

    (found,) = lost(14.0)
    assert found.words.key == "findings.layers.loss"
    said = dict(found.words.values)
    assert (said["lost_turn"], said["made_turns"]) == (5.0, 14.0)
    assert said["reach_turns"] == needed > 14
    assert say(found.words)
    assert lost(float(needed)) == ()
    assert [one.kind for one in lost(float(needed) - 3.0)] == [SHORT]


@pytest.mark.derived
def test_a_bale_that_turns_half_as_far_is_short_where_turns_are_just_enough(
    make_bales: MakeBales, ring: Machine
) -> None:
    """Twelve turns are just enough at the machine's advance. At half of it the bale makes three
    quarters of a turn, not one and a half, and the strips do not close; with two turns to spare
    that hangs on where they fall, and it is a note (above)."""
    sheet = hand_sheet(ring, **{**RING_LINES, "wrap_turns": 12})
    metres = 12 * 2 * (1.25 + 1.23) / 1.70
    wrapped = {"wrap_turns": 12.0, "film1_m": metres, "film2_m": metres}
    turned = 12 * 0.475 / (np.pi * 1.25)
    for ratio, expected in (
        (1.0, []),
        (0.5, [(SHORT, Weight.COST, "advance.short", "bale turning")]),
    ):
        far = wrapped | {"wrap_bale_turns": ratio * turned}
        found = find_against_plan(make_bales(60, {(0, 60): far}), ring, {"s1": sheet})
        assert list(map(key_of, found)) == expected
        assert all(say(one.words) for one in found)


@pytest.mark.derived
def test_a_station_holds_one_bale(find: Find) -> None:
    """A bale that came on the wrapper while the one before was still being wrapped: a note; one
    that was set aside and wrapped hours later is none."""

    def at_140(name: str, own: Callable[[dict[str, Any]], int]) -> Callable[[dict[str, Any]], int]:
        return lambda row: own(row) if row["bale_no"] == 140 else row[name]

    late = times(**{name: AFTER_S[name] + 600.0 for name in AFTER_S})
    names = ("wrap_end_at", "tipped_at")
    changed = {name: at_140(name, late[name]) for name in names}
    (found,) = find(changed)
    assert found.words.key == "findings.phases.wrapper_taken"
    assert (found.since_bale, found.bales, found.weight) == (141, 1, Weight.NOTE)
    aside = ("on_wrapper_at", "wrap_start_at", *names)
    assert find({name: at_140(name, late[name]) for name in aside}) == ()


@pytest.mark.law
def test_times_in_whole_minutes_are_no_finding(
    make_bales: MakeBales, ring: Machine, rich_sheets: Mapping[str, Sheet]
) -> None:
    """A machine that records minutes only has phases of none: that is its clock, no fault."""

    def minute(own: Callable[[dict[str, Any]], int]) -> Callable[[dict[str, Any]], int]:
        return lambda row: own(row) // (60 * S) * 60 * S

    whole = {name: minute(own) for name, own in times().items()}
    bales = make_bales(60, {(0, 60): {**MORE, **whole}})
    assert find_against_plan(bales, ring, rich_sheets) == ()


@pytest.mark.law
def test_a_driver_who_changes_sides_makes_no_lopsided_bales(find: Find) -> None:
    """Thick left and thick right by turns, 8 cm each, are no run."""

    def side(row: dict[str, Any]) -> float:
        return 1.29 if row["bale_no"] % 2 else 1.21

    def other(row: dict[str, Any]) -> float:
        return 1.21 if row["bale_no"] % 2 else 1.29

    assert find({"diameter_left_m": side, "diameter_right_m": other}) == ()


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(gone=st.sets(st.sampled_from([column.name for column in COLUMNS]), max_size=40))
def test_what_is_not_recorded_makes_no_finding(
    make_bales: MakeBales, ring: Machine, rich_sheets: Mapping[str, Sheet], gone: set[str]
) -> None:
    """Whatever columns a machine in order lacks, nothing is found."""
    bales = make_bales(40, {(0, 40): {**MORE, **times()}})
    kept = {name: array for name, array in bales.values.items() if name not in gone}
    poor = masked_table(bales.rows, kept, {name: bales.known[name] for name in kept})
    assert find_against_plan(poor, ring, rich_sheets) == ()


SINGLE = {"wrap_turns", "film1_m", "film2_m", "film_m", "rolls_on", "roll_lost", "film_width_m"}
"""What a bale was wrapped with is counted bale by bale: one bale short of film is one."""


@pytest.mark.law
@pytest.mark.parametrize("end", ["low", "high"])
@pytest.mark.parametrize(
    "name",
    [
        column.name
        for column in COLUMNS
        if column.kind in (Kind.FLOAT, Kind.INT)
        and column.name not in SINGLE | {"bale_no", "counter_epoch"}
    ],
)
def test_one_wild_reading_costs_nothing(find: Find, name: str, end: str) -> None:
    """The lowest or highest value a column can hold, on one bale: no finding that costs or harms.
    It used to stop the review where no strip goes round such a bale."""
    column = BY_NAME[name]
    wild = column.low if end == "low" else column.high
    before = MORE.get(name)

    def once(row: dict[str, Any]) -> Any:
        usual = row.get(name, before)
        value = int(wild) if column.kind is Kind.INT else float(wild)
        return value if row["bale_no"] == 145 else usual

    costly = [one for one in find({name: once}) if one.weight is not Weight.NOTE]
    assert costly == []


@pytest.mark.law
@settings(max_examples=8, deadline=None)
@given(shift_h=st.integers(-5000, 5000), more=st.integers(-100, 5000))
def test_another_clock_and_another_count_move_the_findings_with_them(
    make_bales: MakeBales,
    ring: Machine,
    rich_sheets: Mapping[str, Sheet],
    shift_h: int,
    more: int,
) -> None:
    """All times moved by as much and all numbers by as many: the same findings, moved likewise."""
    changed = {"diameter_left_m": 1.33, "binding_m": 12.0, "mass_kg": 100.0, "wrap_turns": 10.0}
    bales = make_bales(60, {(0, 60): {**MORE, **times()}, (30, 60): changed})
    values = dict(bales.values)
    for name in AFTER_S:
        values[name] = values[name] + shift_h * 3600 * S
    values["bale_no"] = values["bale_no"] + more
    moved = find_against_plan(masked_table(60, values, bales.known), ring, rich_sheets)
    stayed = find_against_plan(bales, ring, rich_sheets)
    assert len(stayed) >= 4

    def placed(found: Finding, back_us: int, back: int) -> tuple[Any, ...]:
        assert found.since_us is not None
        assert found.since_bale is not None
        place = (found.since_us - back_us, found.since_bale - back)
        return (*key_of(found), *place, found.bales, found.seen)

    assert [placed(one, shift_h * 3600 * S, more) for one in moved] == [
        placed(one, 0, 0) for one in stayed
    ]


@pytest.mark.law
@settings(max_examples=8, deadline=None)
@given(order=st.permutations(range(60)))
def test_rows_in_any_order_give_the_same(
    make_bales: MakeBales, ring: Machine, rich_sheets: Mapping[str, Sheet], order: list[int]
) -> None:
    """A rich machine's bales taken in late, or all at once, are the same bales."""
    changed = {"diameter_right_m": 1.33, "binding_m": 12.0, "chamber_bar": 80.0, "mass_kg": 100.0}
    late = times(wrap_end_at=57.0 + 60.0, tipped_at=120.0) | changed | {"said_layers": 12.0}
    bales = make_bales(60, {(0, 60): {**MORE, **times()}, (30, 60): late})
    found = find_against_plan(bales, ring, rich_sheets)
    assert len(found) >= 6
    assert find_against_plan(bales.take(np.array(order)), ring, rich_sheets) == found


@pytest.mark.derived
def test_film_drawn_and_the_clock_together_outweigh_a_turn_counter(find: Find) -> None:
    """Seven turns counted, film and time of fourteen: a counter that loses turns, no short layers.
    With the film of seven it is short layers, whatever the clock says."""
    lost = {"wrap_turns": 7.0, "wrap_bale_turns": 0.85, "said_stretch_frac": None}
    metres = 7 * 2 * (1.25 + 1.23) / 1.70
    kinds = {one.kind for one in find(lost)}
    assert (SHORT in kinds, WRONG in kinds) == (False, True)
    kinds = {one.kind for one in find(lost | {"film1_m": metres, "film2_m": metres})}
    assert SHORT in kinds


FARM_BALES = ((832.0, 0.242), (765.0, 0.293), (720.0, 0.431), (331.0, 0.845))
"""Mass (kg) and dry share of the bales of four farms, the last of them hay."""


@pytest.mark.published
@pytest.mark.check(model="findings.balance", source="fas-bales-2021")
@pytest.mark.parametrize(("mass", "dry"), FARM_BALES)
def test_bales_that_farms_weighed_are_possible_ones(
    make_bales: MakeBales, ring: Machine, rich_sheets: Mapping[str, Sheet], mass: float, dry: float
) -> None:
    """No bale that was weighed and dried is called impossible (SRUC / Farm Advisory Service 2021;
    the size, 1.20 m, is not in the source), wet or dry as they were; three times its mass is."""

    def told(mass_kg: float) -> set[str]:
        bale = {"mass_kg": mass_kg, "moisture_frac": 1.0 - dry, "diameter_m": 1.20}
        found = find_against_plan(make_bales(30, {(0, 30): bale}), ring, rich_sheets)
        return {one.part for one in found if one.kind is WRONG}

    assert told(mass) == set()
    assert told(3.0 * mass) != set()
