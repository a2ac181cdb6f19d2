"""The setup sheet: practice of the trade, sourced rules, and laws for every condition."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plan.sheet.jobs import (
    FILM,
    MAKES,
    PLAIN,
    RING,
    TABLE,
    any_conditions,
    line_of,
    makes,
    number,
    sheet_for,
    wrapped_conditions,
)

from balewright.plan.crop import Crop
from balewright.plan.machine import FullSign, Machine, TipSide
from balewright.plan.profile.checks import ranges
from balewright.plan.profile.keys import SECTIONS, settable, sheet_lines
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput
from balewright.quantities.sources import source
from balewright.words.say import say


@pytest.mark.practice
@pytest.mark.parametrize(
    ("moisture_frac", "layers", "turns"), [(0.62, 6, 12), (0.35, 8, 16)]
)  # common practice, no source: two rolls, layers are half the wrap turns
def test_two_rolls_take_twice_the_layers_in_turns(
    moisture_frac: float, layers: int, turns: int
) -> None:
    """With two rolls 12 wrap turns give 6 layers and 16 give 8."""
    sheet = sheet_for(RING, moisture_frac=moisture_frac)
    assert number(sheet, "layers") == layers
    assert number(sheet, "wrap_turns") == turns
    assert sheet.expected.layers_thinnest == layers


@pytest.mark.practice
def test_one_roll_takes_four_times_the_layers_in_turns() -> None:
    """With one roll at about half overlap six layers take 24 turns, give or take a little."""
    sheet = sheet_for(TABLE)
    assert number(sheet, "overlap_frac") == pytest.approx(0.5, abs=0.03)
    assert 21 <= number(sheet, "wrap_turns") <= 27


@pytest.mark.published
@pytest.mark.parametrize("make", MAKES, ids=lambda make: str(make.key))
def test_net_on_heavy_wrapped_bales(make: Machine) -> None:
    """Net gets at least 2.25 turns on silage (Irish Farmers Journal) and at most 2.5 (practice)."""
    sheet = sheet_for(make)
    assert line_of(sheet, "binding").value == "net"
    assert 2.25 <= number(sheet, "binding_turns") <= 2.5


@pytest.mark.practice
def test_film_binding_turns_and_delay() -> None:
    """Film binds with 3.2 to 3.5 turns and a much shorter delay than net (about 3 s)."""
    film = sheet_for(RING, net_roll_m=None)
    net = sheet_for(RING)
    assert line_of(film, "binding").value == "film"
    assert 3.2 <= number(film, "binding_turns") <= 3.5
    assert number(net, "binding_delay_s") == pytest.approx(3.0)
    assert number(film, "binding_delay_s") <= 1.0


@pytest.mark.practice
def test_net_tension_is_two_thirds_of_the_range() -> None:
    """Net runs at about two thirds of the brake's range."""
    low, high = 0.2, 0.9
    wanted = low + 2 / 3 * (high - low)
    assert number(sheet_for(RING), "binding_tension_frac") == pytest.approx(wanted, abs=0.03)


@pytest.mark.practice
def test_heavy_rows_need_a_smaller_size_setting() -> None:
    """A full chamber is called earlier in heavy rows and later in light ones."""
    heavy, middle, light = (
        number(sheet_for(RING, windrow_kg_m=row), "gate_opening_mm") for row in (7.0, 4.0, 1.5)
    )
    assert heavy < middle < light


@pytest.mark.practice
def test_more_knives_more_pressure_and_stones_less() -> None:
    """All knives are held harder than one bank; stony ground takes a bank out and lets it give."""
    clean, stony = sheet_for(RING), sheet_for(RING, stony=True)
    assert number(clean, "knives_in") == 17
    assert number(stony, "knives_in") == 8
    assert number(stony, "knife_bar") < number(clean, "knife_bar")
    assert sheet_for(TABLE).line("knife_bar") is None


@pytest.mark.practice
def test_ground_and_dust() -> None:
    """Open time is shortest on the flat; a slope rolls before wrapping, dust after it."""
    flat, steep = sheet_for(RING), sheet_for(RING, slope_frac=0.15)
    dusty = sheet_for(RING, dusty=True)
    assert number(flat, "open_s") == RING.tip.open_s.low
    assert number(steep, "open_s") > number(flat, "open_s")
    assert 2.0 <= number(steep, "roll_before_s") <= 3.0
    assert number(flat, "roll_after_s") == 0.0
    assert number(dusty, "roll_after_s") > 0.0
    assert number(dusty, "oil_ml_bale") > number(flat, "oil_ml_bale")
    assert line_of(steep, "tip_side").value == TipSide.END


@pytest.mark.practice
def test_a_conflict_is_settled_safety_first_and_said() -> None:
    """Haylage wants a dense bale, a slope a light one: the light one wins and the line says so."""
    flat = sheet_for(RING, crop=Crop.HAYLAGE, moisture_frac=0.3)
    steep = sheet_for(RING, crop=Crop.HAYLAGE, moisture_frac=0.3, slope_frac=0.2)
    assert number(steep, "chamber_bar") < number(flat, "chamber_bar")
    said = say(line_of(steep, "chamber_bar").reason)
    assert "Conflict" in said
    assert "safety first" in said


@pytest.mark.published
def test_layers_follow_the_sources_and_show_their_disagreement() -> None:
    """Six by default (EN 14932), never below four (Kentucky, Ireland), eight for dry lucerne.

    Borreani & Tabacco: 20 to more than 50 % mould with six layers on dry lucerne after 420 days.
    """
    wet = line_of(sheet_for(RING), "layers")
    assert (wet.value, wet.low) == (6, 4)
    assert "Cool wet climates: 4" in say(wet.reason)
    lucerne = sheet_for(RING, crop=Crop.LUCERNE, moisture_frac=0.45, storage_months=14)
    assert number(lucerne, "layers") == 8


@pytest.mark.published
def test_stretch_stays_in_the_standard_and_on_offer() -> None:
    """The film's label bounds the stretch; without a film it is in EN 14932's 60 to 70 %."""
    assert number(sheet_for(RING), "pre_stretch_frac") == 0.70
    assert number(sheet_for(TABLE), "pre_stretch_frac") == 0.67
    assert (
        number(sheet_for(RING, film=replace(FILM, pre_stretch_frac=0.6)), "pre_stretch_frac")
        == 0.55
    )
    assert 0.6 <= number(sheet_for(RING, film=None), "pre_stretch_frac") <= 0.7
    too_weak = line_of(
        sheet_for(RING, film=replace(FILM, pre_stretch_frac=0.4)), "pre_stretch_frac"
    )
    assert too_weak.value == 0.55
    assert "watch for tears" in say(too_weak.reason)


@pytest.mark.derived
def test_film_for_the_job() -> None:
    """24 x 2 (1.25 + 1.23) / 1.70 = 70.0 m a bale, 21.4 bales to a 1500 m roll, a pair 42 bales."""
    sheet = sheet_for(RING, bales=214)
    assert sheet.expected.film_m_bale == pytest.approx(70.0, abs=0.05)
    assert sheet.expected.film_rolls == pytest.approx(10.0, abs=0.02)
    assert line_of(sheet, "rolls_on").reason.value("set_bales") == 42


@pytest.mark.derived
def test_net_for_the_job() -> None:
    """2.5 turns round 1.25 m are 9.82 m of net; a 2000 m roll does 203 bales."""
    sheet = sheet_for(RING, net_roll_m=2000.0, bales=203)
    assert sheet.expected.net_m_bale == pytest.approx(9.82, abs=0.005)
    assert sheet.expected.net_rolls == pytest.approx(1.0, abs=0.005)


@pytest.mark.derived
def test_a_fat_bale_is_a_cliff_and_the_reason_shows_it() -> None:
    """A bale 10 cm fatter gets two layers less from the same turns: the sheet says so."""
    reason = line_of(sheet_for(RING), "wrap_turns").reason
    assert reason.value("cliff_m") == pytest.approx(1.35)
    assert reason.value("cliff_layers") in {4, 5}


@pytest.mark.derived
def test_a_lost_roll_needs_more_than_twice_what_is_left() -> None:
    """Lost at 6 of 12 turns the other roll must go beyond 18; lost at the start to about 24."""
    line = line_of(sheet_for(RING), "wrap_turns_one_roll")
    assert line.value is not None
    assert float(line.value) > 18
    assert line.reason.value("lost_turns") == 6
    assert 23 <= float(line.reason.value("start_turns")) <= 26


@pytest.mark.published
def test_expected_mass_lies_in_what_is_known() -> None:
    """Wrapped silage bales weigh 350 to 1000 kg (The Kerryman, 2017)."""
    for make in MAKES:
        mass = sheet_for(make).expected.mass_kg
        assert 350 <= mass.low < mass.best < mass.high <= 1000


@pytest.mark.derived
def test_the_wrapper_works_beside_the_chamber() -> None:
    """In heavy rows the table holds the cycle back, in light rows the filling does."""
    assert sheet_for(TABLE, windrow_kg_m=9.0).expected.held_back_by == "wrapping"
    assert sheet_for(TABLE, windrow_kg_m=1.5).expected.held_back_by == "filling"


@pytest.mark.own
def test_cautions_follow_the_conditions() -> None:
    """Manual and standstill come first; slope, hot hay and spoiled feed where they apply."""
    keys = [caution.key for caution in sheet_for(RING, slope_frac=0.1).cautions]
    assert keys[:3] == ["caution.manual_first", "caution.stop_and_lock", "caution.steep_ground"]
    assert "caution.rolling_bale" in keys
    damp = sheet_for(PLAIN, crop=Crop.HAY, moisture_frac=0.2)
    assert "caution.hot_hay" in [caution.key for caution in damp.cautions]
    wet = sheet_for(RING, moisture_frac=0.72)
    assert "caution.spoiled_feed" in [caution.key for caution in wet.cautions]
    assert "caution.wrapper_moves" not in [caution.key for caution in sheet_for(PLAIN).cautions]


@pytest.mark.own
def test_what_is_unknown_is_said() -> None:
    """No film, no net roll, no scale, no wrapper: each is named, none becomes a zero."""
    sheet = sheet_for(TABLE, film=None, net_roll_m=None)
    assert sheet.number("wrap_turns") is None
    assert sheet.expected.film_m_bale is None
    assert sheet.expected.net_rolls is None
    keys = {reason.key for reason in sheet.unknown}
    wanted = {"film", "net_roll", "mass", "climate", "moisture"}
    assert {f"sheet.unknown.{name}" for name in wanted} <= keys
    plain = {reason.key for reason in sheet_for(PLAIN).unknown}
    assert "sheet.unknown.wrapped_elsewhere" in plain


@pytest.mark.own
def test_a_dry_crop_leaves_the_wrapper_off() -> None:
    """Hay on a baler-wrapper: its wrapper lines say that it is not used, and no film is planned."""
    sheet = sheet_for(RING, crop=Crop.HAY, moisture_frac=0.14)
    assert line_of(sheet, "wrap_turns").value == "not used"
    assert sheet.number("wrap_turns") is None
    assert sheet.expected.film_rolls is None
    assert number(sheet, "knives_in") == 0


@pytest.mark.own
def test_conditions_that_cannot_be_used_are_refused_together() -> None:
    """Absurd conditions give every fault at once, with its cure."""
    with pytest.raises(BadInput, match="moisture_frac") as caught:
        sheet_for(RING, moisture_frac=0.95, slope_frac=-1.0, windrow_kg_m=float("nan"))
    assert len(caught.value.faults) == 3
    with pytest.raises(BadInput, match=r"no dry crop: wrap it"):
        sheet_for(RING, crop=Crop.HAY, moisture_frac=0.6)
    with pytest.raises(BadInput, match=r"film_width_m: needs film of 0\.6 to 0\.75 m"):
        sheet_for(TABLE, film=replace(FILM, width_m=0.5))


@pytest.mark.own
def test_a_slope_of_sixty_per_cent_is_answered_with_its_caution() -> None:
    """Extreme but possible ground still gives a sheet, cautions first."""
    sheet = sheet_for(RING, slope_frac=0.6)
    assert "caution.steep_ground" in [caution.key for caution in sheet.cautions]
    assert "sheet.unknown.slope" in [reason.key for reason in sheet.unknown]


@pytest.mark.own
@pytest.mark.parametrize("make", MAKES, ids=lambda make: str(make.key))
def test_every_setting_of_a_machine_has_its_line(make: Machine) -> None:
    """Whatever can be set on a make stands on its sheet, for wrapped and for dry crops."""
    for sheet in (
        sheet_for(make),
        sheet_for(make, net_roll_m=None),
        sheet_for(make, crop=Crop.HAY, moisture_frac=0.15),
    ):
        assert set(ranges(make)) - {line.key for line in sheet.lines} <= {"binding_tension_frac"}
        keys = [line.key for line in sheet.lines]
        assert len(keys) == len(set(keys))
        assert set(keys) <= set(sheet_lines())


@pytest.mark.own
def test_every_key_of_the_schema_is_a_line_or_fixed() -> None:
    """Each key of a profile sets a line that a shipped make's sheet has, or sets nothing."""
    lines = {line.key for make in MAKES for line in sheet_for(make).lines}
    assert {line for _, line in settable()} <= lines
    fixed = [key for section in SECTIONS for key in section.keys if not key.sets]
    assert {"width_m", "advance_m", "full_sign"} <= {key.name for key in fixed}
    assert {make.chamber.full_sign for make in MAKES} == set(FullSign)


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(make=makes, conditions=any_conditions)
def test_values_are_allowed_and_on_the_dial(make: Machine, conditions: Conditions) -> None:
    """Every value lies in its range and, where there is a dial, exactly on a position."""
    sheet = plan_bale(make, conditions, "S1", "test")
    for line in sheet.lines:
        assert source(line.source)
        assert say(line.reason)
        if not isinstance(line.value, float | int):
            continue
        assert line.low is not None
        assert line.high is not None
        assert line.low <= line.value <= line.high, line.key
        dial = make.dial(line.key)
        if dial is not None:
            assert line.position is not None
            assert dial.value_at(line.position) == line.value
    for reason in (*sheet.cautions, *sheet.unknown):
        assert say(reason)


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(
    make=makes, conditions=wrapped_conditions, drier=st.floats(0.0, 0.4), months=st.floats(0, 12)
)
def test_drier_or_longer_never_asks_fewer_layers(
    make: Machine, conditions: Conditions, drier: float, months: float
) -> None:
    """Taking moisture out or storing longer never lowers the layers, nor the turns."""
    later = replace(
        conditions,
        moisture_frac=max(0.05, conditions.moisture_frac - drier),
        storage_months=conditions.storage_months + months,
    )
    before, after = plan_bale(make, conditions, None, "t"), plan_bale(make, later, None, "t")
    for key in ("layers", "wrap_turns"):
        assert (after.number(key) or 0) >= (before.number(key) or 0)


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(make=makes, conditions=any_conditions, steeper=st.floats(0.0, 0.5))
def test_steeper_is_never_more_daring(
    make: Machine, conditions: Conditions, steeper: float
) -> None:
    """A steeper slope never shortens the open time or the tip delay, never tips faster, never
    presses denser, never wraps faster.
    """
    there = replace(conditions, slope_frac=min(1.0, conditions.slope_frac + steeper))
    before, after = plan_bale(make, conditions, None, "t"), plan_bale(make, there, None, "t")
    for key in ("open_s", "tip_delay_s", "roll_before_s"):
        assert (after.number(key) or 0) >= (before.number(key) or 0), key
    for key in ("chamber_bar", "diameter_m", "tip_speed_frac", "wrap_rpm"):
        assert (after.number(key) or 0) <= (before.number(key) or 0), key


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(make=makes, conditions=any_conditions)
def test_stones_never_raise_the_knife_pressure(make: Machine, conditions: Conditions) -> None:
    """Stony ground never has more knives in nor holds them harder."""
    clean = plan_bale(make, replace(conditions, stony=False), None, "t")
    stony = plan_bale(make, replace(conditions, stony=True), None, "t")
    for key in ("knife_bar", "knives_in"):
        assert (stony.number(key) or 0) <= (clean.number(key) or 0)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(make=makes, conditions=wrapped_conditions)
def test_the_fattest_bale_to_expect_gets_its_layers(make: Machine, conditions: Conditions) -> None:
    """The turns are planned so that no expected bale is short of the layers wanted."""
    sheet = plan_bale(make, conditions, None, "t")
    if sheet.expected.layers_thinnest is not None:
        assert sheet.expected.layers_thinnest >= number(sheet, "layers")
        assert sheet.expected.short_frac == 0.0
