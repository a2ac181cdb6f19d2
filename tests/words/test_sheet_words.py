"""A sheet in words: every line has its name, every value its unit."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import pytest

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.pace.cycle import HeldBack
from balewright.plan.profile.keys import sheet_lines
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Additive, Conditions, GateReading, HowSure, Sheet
from balewright.quantities.reason import Reason
from balewright.readers.profile import shipped_profiles
from balewright.words import sheet_words
from balewright.words.english import messages
from balewright.words.say import say

NBSP = "\N{NO-BREAK SPACE}"
CONDITIONS = Conditions(
    crop=Crop.GRASS_SILAGE,
    moisture_frac=0.62,
    windrow_kg_m=4.0,
    speed_m_s=2.5,
    slope_frac=0.02,
    dusty=False,
    stony=True,
    film=Film(0.75, 25e-6, 1500.0, 0.70),
    net_roll_m=None,
    storage_months=7.0,
    bales=200,
)


VERSION_1: Final = {
    "sheet.speed": "feed_t_h",
    "sheet.speed.too_fast": "asked_m_s",
    "sheet.windrow": "",
    "sheet.binding.film": "binding_layers",
    "sheet.binding.net_named": "",
    "sheet.binding.what_it_has": "",
    "sheet.binding_turns.film": "",
    "sheet.binding_turns.twine": "",
    "sheet.binding_turns.net_silage": "",
    "sheet.binding_turns.net_dry": "",
    "sheet.tension.net": "",
    "sheet.tension.film": "",
    "sheet.delay.net": "",
    "sheet.delay.short": "binding",
    "sheet.gate_opening": "windrow_kg_m",
    "sheet.diameter": "",
    "sheet.diameter.steep": "",
    "sheet.density.crop": "crop moisture_frac",
    "sheet.density.damp_hay": "moisture_frac",
    "sheet.density.slope": "slope_frac",
    "sheet.density.conflict": "crop slope_frac",
    "sheet.knives.all": "",
    "sheet.knives.stones": "",
    "sheet.knives.one_bank": "",
    "sheet.knives.out": "crop",
    "sheet.knife_bar": "knives_in",
    "sheet.knife_bar.stones": "",
    "sheet.not_wrapped": "crop",
    "sheet.layers.six": "dry_frac storage_months",
    "sheet.layers.eight": "dry_frac storage_months",
    "sheet.no_film": "",
    "sheet.wrap_turns": "cliff_frac cliff_layers cliff_m fat_m layers",
    "sheet.one_roll": "lost_turns start_turns",
    "sheet.overlap": "strip_m",
    "sheet.film_width": "",
    "sheet.stretch.label": "label_frac",
    "sheet.stretch.too_much": "label_frac",
    "sheet.stretch.standard": "",
    "sheet.rolls.pair": "set_bales",
    "sheet.rolls.one": "set_bales",
    "sheet.rolls.unknown": "",
    "sheet.monitor.on": "",
    "sheet.monitor.none": "",
    "sheet.wrap_rpm": "mass_kg",
    "sheet.film_height": "",
    "sheet.open.flat": "",
    "sheet.open.slope": "",
    "sheet.roll_before.flat": "",
    "sheet.roll_before.slope": "",
    "sheet.roll_after.clean": "",
    "sheet.roll_after.dust": "",
    "sheet.tip_side.only": "",
    "sheet.tip_side.flat": "",
    "sheet.tip_side.slope": "",
    "sheet.tip_speed": "mass_kg slope_frac",
    "sheet.tip_delay.flat": "",
    "sheet.tip_delay.slope": "",
    "sheet.oil.easy": "",
    "sheet.oil.hard": "",
    "sheet.fixed": "",
    "sheet.unknown.moisture": "agree crop high_frac low_frac moisture_frac sources",
    "sheet.unknown.climate": "",
    "sheet.unknown.film": "",
    "sheet.unknown.neck_in": "narrow_m wide_m",
    "sheet.unknown.wrapped_elsewhere": "",
    "sheet.unknown.binding_film": "",
    "sheet.unknown.net_roll": "",
    "sheet.unknown.mass": "high_kg low_kg",
    "sheet.unknown.mass_weighed": "high_kg low_kg",
    "sheet.unknown.slope": "",
}
"""Reasons of a sheet as version 1 wrote them, with the values each of them carries."""


def sheet_of(key: str) -> Sheet:
    """The sheet of one shipped make."""
    return plan_bale(shipped_profiles()[key], CONDITIONS, "TIN-7", "9.9")


@pytest.mark.own
def test_every_line_has_a_name_and_one_group() -> None:
    """No line of any sheet is without words or outside the order of setting."""
    grouped = [key for _, keys in sheet_words.GROUPS for key in keys]
    assert sorted(grouped) == sorted(sheet_lines())
    assert {f"line.{key}" for key in sheet_lines()} <= messages().keys()
    sure = {"sure." + how.value.replace(" ", "_") for how in HowSure}
    assert sure <= messages().keys()


@pytest.mark.own
@pytest.mark.parametrize("key", sorted(shipped_profiles()))
def test_no_line_is_lost_in_the_groups(key: str) -> None:
    """The grouped lines are the sheet's lines, each once."""
    sheet = sheet_of(key)
    shown = [line.key for _, lines in sheet_words.grouped(sheet) for line in lines]
    assert sorted(shown) == sorted(line.key for line in sheet.lines)


@pytest.mark.derived
def test_a_line_in_words() -> None:
    """Value with unit, range with one unit, the machine's own word and position."""
    sheet = sheet_of("mossgrinder-m2")
    pressure = sheet.line("chamber_bar")
    side = sheet.line("tip_side")
    assert pressure is not None
    assert side is not None
    assert sheet_words.label_of(pressure) == "Density pressure"
    assert sheet_words.value_of(pressure) == f"115{NBSP}bar"
    assert sheet_words.range_of(pressure) == f"70 to 160{NBSP}bar"
    assert sheet_words.dial_of(pressure) == "bale firmness 6"
    assert sheet_words.sure_of(pressure) == "starting point"
    assert sheet_words.value_of(side) == "round side"
    assert sheet_words.range_of(side) == "–"
    assert sheet_words.value_of(replace(side, value=None)) == "unknown"


@pytest.mark.derived
def test_conditions_and_machine_in_words() -> None:
    """What the sheet was asked for can be read back from it."""
    sheet = sheet_of("thistlewick-t1")
    said = "; ".join(sheet_words.conditions_of(sheet)).replace(NBSP, " ")
    assert said == (
        "grass silage, 62 % moisture, 4 kg/m rows, 7 months stored; slope 2 %, no dust, stones; "
        "film 0.75 m x 25 µm, 1,500 m a roll; no net named; 200 bales"
    )
    assert sheet_words.machine_of(sheet) == "Thistlewick T1, TIN-7"
    assert sheet_words.origin_of(sheet) == "profile thistlewick-t1 version 1, program 9.9"


@pytest.mark.derived
def test_what_nobody_has_to_say_stands_there_once_said() -> None:
    """Climate, row, spread, rolls, readings, additive and scale can be read back too."""
    given = replace(
        CONDITIONS,
        climate="cool-moist",
        row_width_m=1.1,
        diameter_spread_m=0.02,
        rolls_left_m=(700.0, 800.0),
        gate_readings=(GateReading(22.0, 18.0, 20.0), GateReading(22.0, 18.0, 30.0)),
        additive=Additive(rate_l_t=2.0),
        weighed=True,
    )
    sheet = plan_bale(shipped_profiles()["mossgrinder-m2"], given, None, "9.9")
    said = "; ".join(sheet_words.conditions_of(sheet)).replace(NBSP, " ")
    assert said.endswith(
        "cool and moist place; rows 1.1 m wide; diameters spread by 20 mm; 1,500 m of film on the "
        "rolls; 2 readings of the gate; additive 2 l/t; weighed"
    )


@pytest.mark.own
def test_what_is_not_known_is_not_said() -> None:
    """A baler without a wrapper says nothing of film, and its net without a roll no number."""
    said = " ".join(sheet_words.expected_of(sheet_of("plainrow-p0")))
    assert "Film" not in said
    assert "rolls" not in said
    assert "held back by" in said
    assert all(part.value in ("filling", "binding and opening", "wrapping") for part in HeldBack)


@pytest.mark.own
def test_reasons_of_a_sheet_kept_in_version_1_can_still_be_said() -> None:
    """No message was taken away or asks for a value that older sheets do not carry."""
    for key, values in VERSION_1.items():
        reason = Reason(key, tuple((name, 1.0) for name in values.split()))
        assert say(reason), key
