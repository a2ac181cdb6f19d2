"""Laws of the setup sheet, for every make and any conditions; and every key of the schema."""

from __future__ import annotations

import copy
import tomllib
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.plan.sheet.jobs import (
    MAKES,
    RING,
    SECOND_CUT,
    any_conditions,
    makes,
    number,
    sheet_for,
    wrapped_conditions,
)

from balewright.plan.crop import Crop
from balewright.plan.machine import Machine
from balewright.plan.profile.keys import SECTIONS, settable
from balewright.plan.profile.schema import build_machine
from balewright.plan.sheet.knives import knife_sets, most_bar
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.errors import BadProfile
from balewright.quantities.sources import source
from balewright.readers.profile import MAKES as FOLDER
from balewright.words.say import say

FIXED = {
    *("key", "version", "title", "grease_cartridge_bales"),
    *("chamber.kind", "chamber.width_m", "chamber.full_sign"),
    *("binding.roll_width_m", "wrapper.kind", "wrapper.advance_m", "wrapper.advance_one_roll_m"),
    *("wrapper.metres_counted", "knives.up_to_knives"),
    *("service.key", "service.every_bales", "service.every_hours", "service.minutes"),
    *("service.caution", "counter.lifetime", "counter.resets_with_control"),
    "counter.steps_at",
    *("dials.positions", "dials.values"),
}
"""Keys of a profile by which nobody sets anything."""
RANGES = {
    "oil_ml_bale": ("oil_ml_bale",),
    "chamber.density_bar": ("chamber_bar",),
    "chamber.full_at_mm": ("gate_opening_mm",),
    "chamber.full_at_m": ("diameter_m",),
    "chamber.full_at_bar": ("chamber_bar",),
    "binding.turns": ("binding_turns",),
    "binding.delay_s": ("binding_delay_s",),
    "binding.tension_frac": ("binding_tension_frac",),
    "wrapper.film_width_m": ("film_width_m",),
    "wrapper.rpm": ("wrap_rpm",),
    "tip.speed_frac": ("tip_speed_frac",),
    "tip.delay_s": ("tip_delay_s",),
    "tip.roll_before_s": ("roll_before_s",),
    "tip.roll_after_s": ("roll_after_s",),
    "tip.open_s": ("open_s",),
}
"""Keys that are ranges, and the line whose allowed range they are."""


def everything(sheet: Sheet) -> list[object]:
    """Every reason, source and number of a sheet that people see."""
    lines = [(line.key, line.value, line.position, line.reason) for line in sheet.lines]
    return [*lines, *sheet.conflicts, *sheet.measures, *sheet.roll_changes, *sheet.lost_rolls]


@pytest.mark.law
def test_every_key_of_the_schema_sets_a_line_or_is_marked_fixed() -> None:
    """A new key has to say which line people set by it, or that nobody sets it."""
    keys = {
        f"{section.path}.{key.name}" if section.path else key.name: key.sets
        for section in SECTIONS
        for key in section.keys
    }
    assert {name for name, sets in keys.items() if not sets} == FIXED
    lines = {line.key for make in MAKES for line in sheet_for(make).lines}
    for name, sets in keys.items():
        assert set(sets) <= lines, name


@pytest.mark.law
@pytest.mark.parametrize("dotted", sorted(RANGES))
def test_a_range_of_the_profile_is_the_range_of_its_line(dotted: str) -> None:
    """Narrowed in the file, it is narrowed on the sheet, and the value goes with it."""
    assert {line for key, line in settable() if key == dotted} == set(RANGES[dotted])
    for file in sorted(FOLDER.glob("*.toml")):
        raw = tomllib.loads(file.read_text())
        raw.pop("dials", None)
        holders = _holders(raw, dotted)
        if not holders:
            continue
        name = dotted.rpartition(".")[2]
        low, high = holders[0][name]
        narrow = [low + 0.4 * (high - low), low + 0.6 * (high - low)]
        for holder in holders:
            holder[name] = narrow
        try:
            machine = build_machine(raw, file.name)
        except BadProfile:
            continue
        film = replace(SECOND_CUT.film, width_m=narrow[0]) if "film_width" in dotted else None
        sheet = plan_bale(machine, replace(SECOND_CUT, film=film), None, "t")
        line = sheet.line(RANGES[dotted][0])
        assert line is not None
        assert (line.low, line.high) == pytest.approx(tuple(narrow))
        return
    pytest.fail(f"no make has {dotted}")


def _holders(raw: dict[str, Any], dotted: str) -> list[dict[str, Any]]:
    """The tables of a profile that have this key."""
    path, _, name = dotted.rpartition(".")
    tables = raw if not path else raw.get(path, {})
    found = tables if isinstance(tables, list) else [tables]
    return [table for table in found if name in table]


@pytest.mark.law
@settings(max_examples=50, deadline=None)
@given(make=makes, conditions=any_conditions)
def test_a_sheet_can_be_read_and_is_the_same_again(make: Machine, conditions: Conditions) -> None:
    """Made twice it is equal; every reason has words and every source stands in the bibliography;
    conflicts are about lines of the sheet, and measures lie in their limits.
    """
    sheet = plan_bale(make, conditions, None, "t")
    assert plan_bale(make, copy.deepcopy(conditions), None, "t") == sheet
    for conflict in sheet.conflicts:
        assert sheet.line(conflict.line) is not None, conflict.line
        assert len(conflict.wants) >= 2
        assert source(conflict.source)
        for reason in (*conflict.wants, conflict.settled):
            assert say(reason)
    for measure in sheet.measures:
        assert source(measure.source)
        assert say(measure.reason)
        assert measure.target is not None
        assert measure.low is not None
        assert measure.high is not None
        assert measure.low <= measure.target <= measure.high


@pytest.mark.law
@settings(max_examples=50, deadline=None)
@given(make=makes, conditions=any_conditions)
def test_knives_are_never_held_harder_than_their_bank_allows(
    make: Machine, conditions: Conditions
) -> None:
    """On any ground the pressure is one that so many knives take; stones never raise it."""
    bars = []
    for stony in (False, True):
        sheet = plan_bale(make, replace(conditions, stony=stony), None, "t")
        bar, count = sheet.number("knife_bar"), sheet.number("knives_in")
        if bar is None or count is None or make.knives is None:
            return
        assert int(count) in knife_sets(make.knives)
        assert bar <= most_bar(make.knives, int(count))
        bars.append(bar)
    assert bars[1] <= bars[0]


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(make=makes, conditions=wrapped_conditions)
def test_a_kinder_climate_never_asks_for_more_layers(make: Machine, conditions: Conditions) -> None:
    """Cool and moist asks for no more than an unknown climate, warm and dry for no less."""
    layers = [
        plan_bale(make, replace(conditions, climate=climate), None, "t").number("layers") or 0
        for climate in ("cool-moist", None, "warm-dry")
    ]
    assert layers == sorted(layers)
    assert all(one in (0, 4, 6, 8) for one in layers)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(make=makes, conditions=any_conditions, faster=st.floats(0.0, 4.0))
def test_asked_to_drive_faster_it_is_never_slower_nor_less_paced(
    make: Machine, conditions: Conditions, faster: float
) -> None:
    """The speed never falls when more is asked; slowing to the wrapper costs no bale an hour."""
    slow = plan_bale(make, conditions, None, "t")
    there = replace(conditions, speed_m_s=conditions.speed_m_s + faster)
    fast = plan_bale(make, there, None, "t")
    assert number(fast, "speed_m_s") >= number(slow, "speed_m_s") - 1e-12
    assert fast.expected.pace_bales_h >= slow.expected.pace_bales_h - 1e-9
    assert number(fast, "speed_m_s") <= 13.0 / 3.6 + 1e-12


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(conditions=any_conditions, spread_m=st.floats(0.0, 0.06))
def test_what_is_known_of_the_spread_never_leaves_the_bale_to_expect_short(
    conditions: Conditions, spread_m: float
) -> None:
    """Turns by chance are never fewer than the bale to expect needs."""
    sheet = plan_bale(RING, replace(conditions, diameter_spread_m=spread_m), None, "t")
    if sheet.expected.layers_thinnest is not None:
        assert sheet.expected.layers_thinnest >= number(sheet, "layers")


@pytest.mark.own
@pytest.mark.parametrize("crop", list(Crop))
@pytest.mark.parametrize("make", MAKES, ids=lambda make: str(make.key))
def test_the_worst_ground_still_gets_an_answer_with_its_reason(make: Machine, crop: Crop) -> None:
    """A slope of 60 %, dust, stones, no film and no net: a sheet, and its first words on the
    ground say that it cannot help there.
    """
    moisture_frac = 0.5 if crop.is_wrapped else 0.15
    sheet = sheet_for(make, crop=crop, moisture_frac=moisture_frac, slope_frac=0.6, dusty=True,
                      stony=True, film=None, net_roll_m=None)  # fmt: skip
    keys = [caution.key for caution in sheet.cautions]
    assert keys.index("caution.too_steep") < keys.index("caution.steep_ground")
    assert len(everything(sheet)) > 10
    assert "carry" in say(sheet.cautions[keys.index("caution.steep_ground")])
