"""Film thinner or narrower than advice has in mind: the sheet says what it does not know."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.keeping.climate import COOL_MOIST
from balewright.plan.machine import Machine
from balewright.plan.sheet.bale import look_at_job
from balewright.plan.sheet.chance import share_assumed
from balewright.plan.sheet.film_plan import SLIVER_M, WANTED_FRAC, plan_film
from balewright.plan.sheet.layers import NOMINAL_FILM_M, layers_wanted, thin_film
from balewright.plan.sheet.setting import Sought
from balewright.plan.sheet.sheet import HowSure, Sheet
from balewright.quantities.reason import Reason
from balewright.quantities.si import M_PER_INCH
from balewright.words.languages import LANGUAGES
from balewright.words.say import say

from .jobs import FILM, RING, SECOND_CUT, TABLE, line_of, number, sheet_for


def unknown(sheet: Sheet, name: str) -> Reason | None:
    """What the sheet says it does not know, under that name."""
    return next((one for one in sheet.unknown if one.key == f"sheet.unknown.{name}"), None)


@pytest.mark.own
@pytest.mark.parametrize("thickness_um", [12.0, 19.0, 20.0, 23.0, 24.9])
def test_thin_film_gets_the_same_layers_and_a_word_about_it(thickness_um: float) -> None:
    """No source gives layers by thickness for round bales, so the count stays; how thick they are
    in all and how many would be as much film stands under what is not known.
    """
    thin = sheet_for(RING, film=replace(FILM, thickness_m=thickness_um * 1e-6))
    assert number(thin, "layers") == number(sheet_for(RING), "layers") == 6
    said = unknown(thin, "thin_film")
    assert said is not None
    values = dict(said.values)
    assert values["all_um"] == pytest.approx(6 * thickness_um)
    assert values["as_much"] == math.ceil(6 * 25.0 / thickness_um)


@pytest.mark.own
@pytest.mark.parametrize("thickness_m", [25e-6, 25.4e-6, 30e-6, 38e-6])
def test_film_as_thick_as_advice_has_it_needs_no_word(thickness_m: float) -> None:
    """25 micrometres, the mil that it is sold as, and more; nor without film, nor dry."""
    assert (
        unknown(sheet_for(RING, film=replace(FILM, thickness_m=thickness_m)), "thin_film") is None
    )
    assert unknown(sheet_for(RING, film=None), "thin_film") is None
    assert thin_film(replace(SECOND_CUT, film=None)) is None


@pytest.mark.published
def test_film_counts_as_thin_below_the_mil_that_kentucky_calls_usual() -> None:
    """1 mil, as printed, is the least that is not thin, to the 25 micrometres it is sold as."""
    mil_m = 1e-3 * M_PER_INCH
    assert pytest.approx(mil_m, rel=0.02) == NOMINAL_FILM_M
    for factor, thin in ((1.0, False), (0.95, True)):
        film = replace(FILM, thickness_m=mil_m * factor)
        assert (thin_film(replace(SECOND_CUT, film=film)) is not None) == thin


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(thickness_m=st.floats(5e-6, 24.9e-6), cool=st.booleans())
def test_as_much_film_is_no_less_film(thickness_m: float, cool: bool) -> None:
    """The layers told are at least as thick in all as the wanted ones of 25 micrometres, and one
    fewer would not be.
    """
    job = replace(
        SECOND_CUT,
        film=replace(FILM, thickness_m=thickness_m),
        climate=COOL_MOIST.name if cool else None,
    )
    said = thin_film(job)
    assert said is not None
    as_much, need_m = dict(said.values)["as_much"], layers_wanted(job) * NOMINAL_FILM_M
    assert isinstance(as_much, int)
    assert as_much * thickness_m >= need_m * (1.0 - 1e-6)
    assert (as_much - 1) * thickness_m < need_m


@pytest.mark.own
def test_narrow_film_says_for_how_many_bales_its_turns_hold() -> None:
    """500 mm on a ring of two: the share, what was assumed for it, and a starting point; with the
    spread as measured there are more turns and nothing left to say.
    """
    narrow = replace(FILM, width_m=0.5)
    sheet = sheet_for(RING, film=narrow)
    said = unknown(sheet, "turns_share")
    assert said is not None
    values = dict(said.values)
    assert values["spread_mm"] == pytest.approx(15.0)
    assert values["turning_frac"] == 0.02
    # 0.01 is the error of the counting's 128 draws
    assert values["share_frac"] == pytest.approx(0.77, abs=0.03)
    assert line_of(sheet, "wrap_turns").how_sure is HowSure.STARTING_POINT
    measured = sheet_for(RING, film=narrow, diameter_spread_m=0.015)
    assert number(measured, "wrap_turns") > number(sheet, "wrap_turns")
    assert unknown(measured, "turns_share") is None
    assert unknown(sheet_for(RING), "turns_share") is None


@pytest.mark.law
@pytest.mark.parametrize("make", [RING, TABLE], ids=lambda make: make.key)
@pytest.mark.parametrize("width_m", [0.50, 0.55, 0.60, 0.65, 0.70, 0.75])
@pytest.mark.parametrize("climate", [None, COOL_MOIST.name])
def test_where_no_share_is_told_the_turns_hold_for_nearly_all(
    make: Machine, width_m: float, climate: str | None
) -> None:
    """Either the share stands on the sheet, or 95 % of bales and more have their layers."""
    if not make.wrapper or not make.wrapper.film_width_m.low <= width_m:
        return
    job = look_at_job(
        make, replace(SECOND_CUT, film=replace(FILM, width_m=width_m), climate=climate)
    )
    plan = plan_film(job)
    assert plan is not None
    need = plan.wrapping.need_layers
    share_frac = share_assumed(
        plan.wrapper, plan.film, job, Sought(need, plan.turns, WANTED_FRAC, SLIVER_M)
    )
    told = plan.assumed_frac
    assert told == share_frac if share_frac < WANTED_FRAC else told is None


@pytest.mark.own
@pytest.mark.parametrize("language", LANGUAGES)
def test_both_are_said_in_every_language(language: str) -> None:
    """With the numbers that they are about."""
    sheet = sheet_for(RING, film=replace(FILM, width_m=0.5, thickness_m=20e-6))
    for name, numbers in (("thin_film", ("20", "120", "152", "8")), ("turns_share", ("15", "2"))):
        reason = unknown(sheet, name)
        assert reason is not None
        said = say(reason, language)
        assert all(number in said for number in numbers)
        assert "{" not in said
