"""One changed condition and what it does to layers, pace, film, cost and keeping."""

from __future__ import annotations

from dataclasses import replace

import pytest

from balewright.flows.foresee import foresee
from balewright.flows.look_ahead import look_ahead
from balewright.flows.outlook import Asked, Field, Money
from balewright.flows.set_beside import Beside, set_beside
from balewright.flows.tell_cost import tell_cost
from balewright.flows.tell_effects import EFFECTS, Effect
from balewright.flows.tell_keeping import tell_keeping
from balewright.flows.tell_layers import tell_layers
from balewright.flows.tell_pace import tell_pace
from balewright.flows.what_if import what_if
from balewright.plan.crop import Crop
from balewright.plan.keeping.climate import CLIMATES
from balewright.plan.sheet.change import Given
from balewright.plan.sheet.rules import plan_bale
from balewright.readers.profile import shipped_profiles
from balewright.words.say import say
from balewright.words.sheet_difference import (
    SIGNS,
    asked_moved,
    expected_moved,
    labels_around,
    passages_of,
    settings_moved,
)
from cards.examples import PLAIN

MACHINES = shipped_profiles()
MACHINE = MACHINES["mossgrinder-m2"]
JOB = PLAIN
MONEY = Money(
    film_money=90.0, binding_money=200.0, fuel_money_l=1.2, wage_money_h=20.0,
    machine_money=90_000.0, tractor_money=120_000.0, tractor_kw=110.0, tractor_h=700.0,
    years=8.0, interest_frac=0.04, tih_frac=0.01, bales_year=4000.0,
)  # fmt: skip


def ask(*changes: tuple[str, Given], asked: Asked | None = None) -> Beside:
    """The changes to the one job here."""
    return what_if(MACHINE, asked or Asked(JOB), changes)


def effect(beside: Beside, key: str) -> Effect:
    """One of the five."""
    return next(effect for effect in beside.effects if effect.key == key)


def ends(beside: Beside, key: str, name: str) -> tuple[object, object]:
    """One number of an effect, before and after."""
    moved = next(part for part in effect(beside, key).numbers if part.name == name)
    return moved.one, moved.other


def told(beside: Beside, key: str) -> str:
    """The effect in words, with plain spaces."""
    said = " ".join(say(reason) for reason in effect(beside, key).said)
    return said.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.law
def test_the_numbers_are_those_under_the_pictures() -> None:
    """Layers, pace, film, cost and keeping are what the outlook tells of the same two jobs."""
    beside = ask(("film_width_m", 0.5))
    after = replace(JOB, film=replace(JOB.film, width_m=0.5))  # type: ignore[type-var]
    for at, conditions in enumerate((JOB, after)):
        outlook = look_ahead(MACHINE, Asked(conditions))
        layers, keeping = tell_layers(outlook), tell_keeping(outlook)
        assert layers.count is not None
        assert keeping.answer is not None
        assert ends(beside, "layers", "thinnest_layers")[at] == layers.count.thinnest_anywhere
        assert ends(beside, "layers", "chance_frac")[at] == layers.chance_frac
        pace = tell_pace(outlook).answer.steady.pace_bales_h
        assert ends(beside, "pace", "pace_bales_h")[at] == pace
        assert ends(beside, "cost", "work_min")[at] == tell_cost(outlook).work_s / 60.0
        low_frac = keeping.answer.kept.total_frac.low
        assert ends(beside, "keeping", "low_frac")[at] == low_frac
        assert ends(beside, "film", "film_rolls")[at] == outlook.sheet.expected.film_rolls


@pytest.mark.practice
def test_a_steeper_slope_says_nothing_new_about_film() -> None:
    """The bale is tipped otherwise and pressed lighter; layers, film and rolls stay."""
    beside = ask(("slope_frac", 0.15))
    moved = {effect.key for effect in beside.effects if effect.moved}
    assert not moved & {"layers", "film"}
    assert told(beside, "film") == "70 m a bale. 1.21 kg a bale. 9.34 rolls for 200 bales."
    rows = {row.key: row for row in settings_moved(beside.difference)}
    assert (rows["tip_side"].way, rows["tip_side"].word) == ("other", "other")
    assert (rows["open_s"].way, rows["open_s"].sign) == ("more", "↑")
    assert (rows["chamber_bar"].way, rows["chamber_bar"].sign) == ("less", "↓")
    assert rows["chamber_bar"].was_dial != rows["chamber_bar"].now_dial
    cautions = passages_of(beside.one, beside.other, beside.difference)[0]
    assert cautions.key == "cautions"
    assert "slope of 15" in cautions.new[0]
    assert not cautions.gone


@pytest.mark.derived
def test_a_narrow_roll_left_at_the_old_turns_leaves_the_bale_bare_of_layers() -> None:
    """12 turns of a 500 mm roll lay about 2/3 of what they lay of 750 mm: fewer than the six
    wanted, and most of the round side is short; the sheet asks for more turns instead.
    """
    beside = ask(("film_width_m", 0.5))
    said = told(beside, "layers")
    assert "Left at the 12 wrap turns of before it would be 3 layers" in said
    assert "6 layers at the thinnest spot, as before" in said
    before, after = ends(beside, "film", "film_m")
    assert after > before  # type: ignore[operator]
    turns = next(row for row in settings_moved(beside.difference) if row.key == "wrap_turns")
    assert (turns.was, turns.now, turns.way) == ("12", "17", "more")


@pytest.mark.derived
def test_faster_driving_brings_bales_until_the_wrapper_holds_back() -> None:
    """Twice the speed from 1 m/s brings nearly twice the bales (filling halves, the rest of the
    cycle stays); from 6 to 7 m/s nothing.
    """
    before, after = ends(ask(("speed_m_s", 2.0), asked=Asked(replace(JOB, speed_m_s=1.0))),
                         "pace", "pace_bales_h")  # fmt: skip
    assert 1.5 < after / before < 2.0  # type: ignore[operator]
    held = ask(("speed_m_s", 7.0), asked=Asked(replace(JOB, speed_m_s=6.0)))
    assert not effect(held, "pace").moved
    assert not settings_moved(held.difference)
    assert [row.key for row in asked_moved(held.difference)] == ["speed_m_s"]


@pytest.mark.derived
def test_half_the_months_lose_less_and_change_no_setting() -> None:
    """What seeps through the film grows with the time it lies: 5 months lose less than 10 by
    either school, and nothing of the machine is set otherwise.
    """
    beside = ask(("storage_months", 5.0))
    for name in ("well_made_frac", "barrier_frac", "high_frac"):
        before, after = ends(beside, "keeping", name)
        assert after < before  # type: ignore[operator]
    assert not settings_moved(beside.difference)
    assert {effect.key for effect in beside.effects if effect.moved} == {"keeping"}


@pytest.mark.own
def test_the_place_where_bales_lie_is_the_one_that_is_named() -> None:
    """A named climate is what keeping is reckoned in, not the assumed one."""
    beside = ask(("climate", "warm-dry"))
    assert effect(beside, "keeping").moved
    outlook = foresee(look_ahead(MACHINE, Asked(replace(JOB, climate="warm-dry")))).outlook
    assert outlook.asked.store.climate == CLIMATES["warm-dry"]


@pytest.mark.own
def test_money_is_told_only_where_every_price_is_given() -> None:
    """Without prices metres and minutes; with all of them a bale and a tonne of dry matter."""
    assert "prices are missing" in told(ask(("bales", 100)), "cost")
    priced = Asked(JOB, money=MONEY, field=Field(gathered_m=7.0))
    said = told(ask(("film_width_m", 0.5), asked=priced), "cost")
    assert "a tonne of dry matter instead of" in said
    assert "prices are missing" not in said


@pytest.mark.derived
def test_a_drier_row_says_what_the_same_grass_would_weigh() -> None:
    """4 kg/m at 55 % hold 1.8 kg dry matter a metre; at 40 % moisture that is 1.8/0.6 = 3 kg."""
    said = [say(note).replace("\N{NO-BREAK SPACE}", " ") for note in
            ask(("moisture_frac", 0.4)).notes]  # fmt: skip
    assert said == [
        "The row stays at 4 kg/m of fresh crop; the same grass brought to 40 % would weigh 3 kg/m."
    ]
    assert not ask(("moisture_frac", 0.4), ("windrow_kg_m", 3.0)).notes


@pytest.mark.own
def test_what_cannot_be_told_any_more_is_said() -> None:
    """Without a roll there are no layers to count and nothing keeps; both ways round."""
    gone = ask(("film_width_m", None))
    assert "no roll of film is named" in told(gone, "layers")
    assert "no roll of film is named" in told(gone, "keeping")
    back = set_beside(gone.other, gone.one, (MACHINE, MACHINE))
    assert told(back, "layers").startswith("6 layers at the thinnest spot. ")
    rows = {row.key: row for row in settings_moved(gone.difference)}
    assert rows["wrap_turns"].word == "unknown now"
    assert rows["overlap_frac"].sign == SIGNS["gone"]


@pytest.mark.law
def test_a_job_beside_itself_moves_nothing() -> None:
    """Every effect is told and none moved; there is no row and no passage."""
    beside = ask()
    assert tuple(effect.key for effect in beside.effects) == EFFECTS
    assert not any(effect.moved for effect in beside.effects)
    assert beside.difference.is_empty
    for rows in (settings_moved, asked_moved, expected_moved, labels_around):
        assert rows(beside.difference) == ()
    assert passages_of(beside.one, beside.other, beside.difference) == ()


@pytest.mark.own
def test_two_machines_are_set_beside_each_other_and_one_without_a_profile_too() -> None:
    """A plain baler has no wrapper, which is said; a profile nobody has leaves the sheets."""
    hay = replace(JOB, crop=Crop.HAY, moisture_frac=0.15)
    plain = plan_bale(MACHINES["plainrow-p0"], hay, "P-1", "test")
    wraps = plan_bale(MACHINE, JOB, "M-1", "test")
    beside = set_beside(wraps, plain, (MACHINE, MACHINES["plainrow-p0"]))
    assert "no wrapper" in told(beside, "layers")
    alone = set_beside(wraps, plain, (MACHINE, None))
    assert alone.effects == ()
    assert "not known here" in say(alone.notes[0])
    assert {row.key for row in settings_moved(alone.difference)} >= {"wrap_turns"}


@pytest.mark.law
@pytest.mark.parametrize(
    "change",
    [("dusty", True), ("stony", True), ("weighed", True), ("row_width_m", 0.9), ("bales", 30),
     ("additive_rate_l_t", 2.0), ("net_roll_m", None), ("film_thickness_m", 3e-5),
     ("film_roll_m", 1800.0), ("film_pre_stretch_frac", 0.55), ("crop", "lucerne")],
)  # fmt: skip
def test_every_condition_has_its_words(change: tuple[str, Given]) -> None:
    """Whatever is changed, the label of the condition, rows, passages and effects can be said."""
    beside = ask(change)
    rows = asked_moved(beside.difference)
    assert change[0] in [row.key for row in rows]
    assert all(row.was != row.now for row in rows)
    for row in (*settings_moved(beside.difference), *expected_moved(beside.difference)):
        assert row.sign
        assert (row.was, row.was_dial) != (row.now, row.now_dial)
    passages_of(beside.one, beside.other, beside.difference)
    labels_around(beside.difference)
    assert all(told(beside, key) for key in EFFECTS)
