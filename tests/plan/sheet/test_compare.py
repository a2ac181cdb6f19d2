"""Two sheets side by side, and one changed condition, against what was worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.machine import TipSide
from balewright.plan.sheet.change import CHANGEABLE, FLAGS, NUMBERS, asked_of, change_condition
from balewright.plan.sheet.compare import HowMoved, compare_sheets, how_moved, what_if
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.errors import BadInput
from balewright.readers.profile import shipped_profiles

MACHINE = shipped_profiles()["mossgrinder-m2"]
JOB = Conditions(
    crop=Crop.GRASS_SILAGE,
    moisture_frac=0.55,
    windrow_kg_m=4.0,
    speed_m_s=2.5,
    slope_frac=0.03,
    dusty=False,
    stony=False,
    film=Film(0.75, 25e-6, 1500.0, 0.70),
    net_roll_m=3000.0,
    storage_months=10.0,
    bales=200,
)
FILM_LINES = {"layers", "wrap_turns", "wrap_turns_one_roll", "overlap_frac", "film_width_m",
              "pre_stretch_frac", "rolls_on"}  # fmt: skip
FILM_EXPECTED = {"film_m_bale", "film_g_bale", "film_rolls", "layers_thinnest"}


def sheet(conditions: Conditions = JOB) -> Sheet:
    """The sheet of the one machine here."""
    return plan_bale(MACHINE, conditions, None, "test")


@pytest.mark.practice
def test_a_steeper_slope_moves_how_a_bale_leaves_and_nothing_of_the_film() -> None:
    """From 3 to 15 %: tipped on its flat side, later, from a longer open chamber, pressed lighter;
    as many turns of the same film lay as many layers, and the caution for steep ground is new.
    """
    found = what_if(MACHINE, JOB, [("slope_frac", 0.15)])
    moved = {line.name: line for line in found.settings}
    tip, opened = moved["tip_side"], moved["open_s"]
    assert tip.one is not None
    assert tip.other is not None
    assert (tip.one.value, tip.other.value) == (TipSide.ROUND, TipSide.END)
    assert opened.one is not None
    assert opened.other is not None
    assert opened.other.value > opened.one.value  # type: ignore[operator]
    assert not FILM_LINES & {line.name for line in found.lines}
    assert not FILM_EXPECTED & {amount.name for amount in found.expected}
    assert [caution.name for caution in found.cautions] == ["caution.steep_ground"]
    assert [asked.name for asked in found.asked] == ["slope_frac"]


@pytest.mark.derived
def test_a_narrower_roll_takes_more_turns_and_more_film_and_moves_nothing_of_the_chamber() -> None:
    """A 500 mm roll for a 750 mm one, same stretch: its strip is 2/3 as wide. Overlap of the
    advance `a` is 1 - a/strip: from 0.60 with 750 mm it is 1 - 0.40 x 3/2 = 0.40 with 500 mm.
    Turns rise, by 3/2 at the most as whole turns go; layers stay the ones that are wanted.
    """
    found = what_if(MACHINE, JOB, [("film_width_m", 0.5)])
    moved = {line.name: line for line in found.settings}
    assert set(moved) == {"film_width_m", "overlap_frac", "wrap_turns", "wrap_turns_one_roll"}
    overlap, turns = moved["overlap_frac"], moved["wrap_turns"]
    assert overlap.one is not None
    assert overlap.other is not None
    assert 1.0 - overlap.other.value == pytest.approx(  # type: ignore[operator]
        1.5 * (1.0 - overlap.one.value),  # type: ignore[operator]
        abs=0.01,  # the sheet says overlap in whole hundredths
    )
    assert turns.one is not None
    assert turns.other is not None
    assert turns.one.value < turns.other.value <= 1.5 * turns.one.value  # type: ignore[operator]
    assert "layers" in found.same
    assert {"film_m_bale", "film_g_bale", "film_rolls"} <= {one.name for one in found.expected}
    assert "mass_kg" not in {one.name for one in found.expected}


@pytest.mark.practice
def test_haylage_dry_as_bales_go_asks_more_layers_than_wet_silage() -> None:
    """Drier crop breathes through the same film more: the advice rises from six layers."""
    haylage = replace(JOB, crop=Crop.HAYLAGE, moisture_frac=0.35)
    found = what_if(MACHINE, JOB, [("crop", "haylage"), ("moisture_frac", 0.35)])
    layers = next(line for line in found.settings if line.name == "layers")
    assert layers.one is not None
    assert layers.other is not None
    assert layers.other.value > layers.one.value == 6  # type: ignore[operator]
    assert found == compare_sheets(plan_bale(MACHINE, JOB, None, ""),
                                   plan_bale(MACHINE, haylage, None, ""))  # fmt: skip


@pytest.mark.derived
def test_driving_faster_fills_sooner_until_the_wrapper_holds_it_back() -> None:
    """At 4 kg/m twice the speed fills in half the time: 1 to 2 m/s bring more bales an hour; from
    the speed at which the wrapper takes no more, asking for more changes the asked speed alone.
    """
    slow = what_if(MACHINE, replace(JOB, speed_m_s=1.0), [("speed_m_s", 2.0)])
    expected = {one.name: (one.one, one.other) for one in slow.expected}
    before, after = expected["fill_s"]
    assert isinstance(before, float)
    assert after == pytest.approx(before / 2.0)
    paces = expected["pace_bales_h"]
    assert paces[1] > paces[0]  # type: ignore[operator]
    held = what_if(MACHINE, replace(JOB, speed_m_s=6.0), [("speed_m_s", 7.0)])
    assert "pace_bales_h" not in {one.name for one in held.expected}
    assert [one.name for one in held.asked] == ["speed_m_s"]


@pytest.mark.own
def test_a_roll_that_is_not_named_takes_its_lines_away() -> None:
    """Without film the lines that need it are gone, the turns are unknown, and it is said."""
    found = what_if(MACHINE, JOB, [("film_width_m", None)])
    ways = {line.name: how_moved(line) for line in found.lines}
    assert ways["overlap_frac"] is HowMoved.GONE
    assert ways["wrap_turns"] is HowMoved.SET
    assert ways["rolls_on"] is HowMoved.AROUND
    assert found.flipped() == compare_sheets(
        plan_bale(MACHINE, replace(JOB, film=None), None, ""), plan_bale(MACHINE, JOB, None, "")
    )
    assert how_moved(found.flipped().lines[0]) in set(HowMoved)
    assert any(reason.one is None for reason in found.unknown)


@pytest.mark.own
def test_sheets_of_two_machines_name_them() -> None:
    """What one machine has and the other has not is a line only one has."""
    other = plan_bale(shipped_profiles()["plainrow-p0"],
                      replace(JOB, crop=Crop.HAY, moisture_frac=0.15), "P-1", "test")  # fmt: skip
    found = compare_sheets(sheet(replace(JOB, crop=Crop.HAY, moisture_frac=0.15)), other)
    assert {one.name for one in found.origin} >= {"machine_serial", "profile_key"}
    assert any(how_moved(line) is HowMoved.GONE for line in found.lines)


CONDITIONS = st.builds(
    replace,
    st.just(JOB),
    moisture_frac=st.sampled_from((0.4, 0.55, 0.7)),
    slope_frac=st.sampled_from((0.0, 0.08, 0.2)),
    speed_m_s=st.sampled_from((1.0, 2.5, 5.0)),
    dusty=st.booleans(),
    stony=st.booleans(),
    film=st.sampled_from((None, JOB.film, Film(0.5, 25e-6, 1800.0, 0.6))),
    bales=st.sampled_from((5, 200)),
)


@pytest.mark.law
@settings(max_examples=25, deadline=None)
@given(one=CONDITIONS, other=CONDITIONS)
def test_a_difference_is_none_to_itself_and_turns_round(one: Conditions, other: Conditions) -> None:
    """A sheet does not differ from itself; the other way round it is the same, flipped; only
    equal sheets do not differ; lines that moved and lines that did not are all lines, once.
    """
    left, right = sheet(one), sheet(other)
    assert compare_sheets(left, left).is_empty
    assert len(compare_sheets(left, left).same) == len(left.lines)
    found = compare_sheets(left, right)
    assert compare_sheets(right, left).flipped() == found
    assert found.is_empty == (left == right)
    keys = {line.key for line in left.lines} | {line.key for line in right.lines}
    assert sorted([*found.same, *(line.name for line in found.lines)]) == sorted(keys)
    patched = {line.key: line for line in left.lines}
    patched |= {line.name: line.other for line in found.lines if line.other is not None}
    gone = {line.name for line in found.lines if line.other is None}
    assert {key: line for key, line in patched.items() if key not in gone} == {
        line.key: line for line in right.lines
    }


@pytest.mark.law
@settings(max_examples=50, deadline=None)
@given(one=CONDITIONS, name=st.sampled_from(CHANGEABLE))
def test_a_condition_changed_to_itself_changes_nothing(one: Conditions, name: str) -> None:
    """Asking for what is asked already gives the same conditions, and their flat form has every
    name that can be changed.
    """
    flat = asked_of(one)
    assert set(CHANGEABLE) <= set(flat)
    value = flat[name]
    if value is not None:
        assert change_condition(one, name, value) == one  # type: ignore[arg-type]


@pytest.mark.own
@pytest.mark.parametrize("name", [name for name in CHANGEABLE if name not in (*FLAGS, "crop")])
@pytest.mark.parametrize("value", [math.nan, math.inf, -1.0, 1e9, "wet", True])
def test_nonsense_is_refused_by_the_name_of_its_condition(name: str, value: object) -> None:
    """NaN, infinity, negative, absurd, and a word or a yes where a number belongs."""
    with pytest.raises(BadInput) as refused:
        what_if(MACHINE, JOB, [(name, value)])  # type: ignore[list-item]
    assert any(fault.place.endswith(name.removeprefix("additive_")) for fault in
               refused.value.faults)  # fmt: skip


@pytest.mark.own
@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("moisture", 0.4, "moisture_frac"),
        ("crop", "maize", "grass silage"),
        ("dusty", 1, "yes or no"),
        ("moisture_frac", None, "a value"),
        ("bales", 2.5, "a whole number"),
        ("crop", "hay", "moisture from 0.03 to 0.4"),
    ],
)
def test_what_is_wrong_says_what_would_do(name: str, value: object, said: str) -> None:
    """An unknown name comes with the nearest, a wrong kind with the right one."""
    with pytest.raises(BadInput, match=said):
        what_if(MACHINE, JOB, [(name, value)])  # type: ignore[list-item]


@pytest.mark.own
def test_part_of_a_label_cannot_be_changed_where_no_roll_is_named() -> None:
    """Nobody guesses the other three numbers of a label."""
    with pytest.raises(BadInput, match="a roll of film to change"):
        change_condition(replace(JOB, film=None), "film_width_m", 0.5)
    assert set(NUMBERS) < set(CHANGEABLE)
