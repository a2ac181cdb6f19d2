"""Losses of a wrapped bale against published trials, and the laws that any loss obeys."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.strip import Bale
from balewright.plan.keeping.climate import COLD_WINTER, COOL_MOIST, WARM_DRY, Stay
from balewright.plan.keeping.delay import (
    delay_loss,
    kept_advice,
    loss_for_rise,
)
from balewright.plan.keeping.holes import hole_loss, reported_loss, still_air_mol
from balewright.plan.keeping.keep import (
    Kept,
    Mishaps,
    School,
    Stored,
    all_lost,
    keep,
    keep_by_layers,
)
from balewright.plan.keeping.moisture_loss import (
    MoistureDoubt,
    fermentation_loss,
    fermented_share,
    juice_loss,
    moisture_doubts,
)
from balewright.plan.keeping.oxygen import Cover
from balewright.plan.keeping.shape import contact_per_m, film_kg, share_within, volume_m3
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval

BALE = Bale(1.2, 1.2)
COOL = Stored(BALE, Cover(18.5e-6), 180.0, 0.55, Stay(COOL_MOIST, 6, 9.7))
stored_bales = st.builds(
    Stored,
    st.builds(Bale, st.floats(0.8, 2.0), st.floats(0.8, 1.8)),
    st.builds(Cover, st.floats(10e-6, 30e-6), st.sampled_from((1.0, 20.0))),
    st.floats(100.0, 250.0),
    st.floats(0.2, 0.85),
    st.builds(
        Stay,
        st.sampled_from((COOL_MOIST, WARM_DRY, COLD_WINTER)),
        st.integers(1, 12),
        st.floats(0.0, 30.0),
    ),
)
mishaps = st.builds(
    Mishaps,
    st.floats(0.0, 100.0),
    st.one_of(st.none(), st.floats(0.0, 40.0)),
    st.floats(0.0, 0.02),
    st.integers(0, 5),
)


def well(kept: Kept) -> float:
    """Best storage loss as the school of well made bales reads it."""
    return kept.of(School.WELL_MADE).lost_frac.best


@pytest.mark.published
def test_a_well_made_bale_loses_under_five_per_cent() -> None:
    """Six layers, 5 to 12 months, 35 to 55 % moisture: under 5 %, as two sources report
    (Arkansas with the US Dairy Forage Research Center; Shinners in the press).

    The school that says so is held; the other school is above it, and shown beside it.
    """
    for months in (5.0, 9.0, 12.0):
        for moisture in (0.35, 0.50, 0.55):
            stored = replace(COOL, moisture_frac=moisture, stay=Stay(COLD_WINTER, 6, months))
            assert well(keep(stored, 6)) < 0.05


@pytest.mark.published
def test_bales_under_six_layers_lose_what_a_survey_of_farms_says() -> None:
    """Both schools' best losses lie inside 0.2 to 8 % (a levy board) after a winter under six."""
    for climate in (COOL_MOIST, COLD_WINTER, WARM_DRY):
        kept = keep(replace(COOL, stay=Stay(climate, 6, 8.0)), 6)
        assert all(0.002 <= one.lost_frac.best <= 0.08 for one in kept.schools)


@pytest.mark.published
def test_four_layers_mend_most_of_it_and_six_add_little() -> None:
    """From two to four layers a bale gains several times what it gains from four to six.

    Keles and McEniry with others: substantial improvement at four, "little further" at six. Feed
    thrown away under mould is counted, as they counted spoilt silage.
    """
    two, four, six = (
        one.of(School.WELL_MADE).total_frac.best for one in keep_by_layers(COOL, (2, 4, 6))
    )
    assert two - four > 3.0 * (four - six) > 0.0
    assert four - six < 0.002


@pytest.mark.published
def test_ten_layers_change_next_to_nothing_over_six() -> None:
    """Six to ten layers: no difference in keeping was seen; ours is under 2 g/kg of dry matter.

    Muller 2005. 2 g/kg is far below what such a trial can tell.
    """
    dry = replace(COOL, moisture_frac=0.40)
    six, ten = (well(one) for one in keep_by_layers(dry, (6, 10)))
    assert 0.0 < six - ten < 2e-3


@pytest.mark.published
def test_a_second_season_costs_more_and_asks_for_six() -> None:
    """18 months lose more than 7 under every cover, and only then do six layers beat four in mould.

    McEniry and others 2011: losses and mould rose (P < 0.001); four normally suffice, six for a
    second season.
    """
    for layers in (2, 4, 6, 8):
        seven, eighteen = (
            keep(replace(COOL, stay=Stay(COOL_MOIST, 6, months)), layers) for months in (7.0, 18.0)
        )
        assert well(eighteen) > well(seven)
    for months, gains in ((7.0, False), (18.0, True)):
        four, six = (
            one.of(School.WELL_MADE).cover_frac.best
            for one in keep_by_layers(replace(COOL, stay=Stay(COOL_MOIST, 6, months)), (4, 6))
        )
        assert (six < four) is gains


@pytest.mark.published
@pytest.mark.check(model="keeping.losses", source="huhnke-1997")
def test_bales_of_four_farms_lost_what_both_schools_span() -> None:
    """Six layers, six months outside in a warm place: 2 to 12 % was seen, ours spans 2.4 to 12.8 %.

    Both schools' best lie inside what was seen from 35 to 65 % moisture. At 25 % the well made
    reading, 1.5 %, lies below it: the line through two means is drawn too far there.
    """
    outside = Stay(WARM_DRY, 5, 6.0)
    for moisture in (0.35, 0.45, 0.65):
        kept = keep(replace(COOL, moisture_frac=moisture, stay=outside), 6)
        assert all(0.02 <= one.lost_frac.best <= 0.12 for one in kept.schools)
    middle = keep(replace(COOL, moisture_frac=0.45, stay=outside), 6).total_frac
    assert middle.low == pytest.approx(0.02, abs=0.005)  # whole per cents
    assert middle.high == pytest.approx(0.12, abs=0.01)  # 12.8: eight in a hundred above


@pytest.mark.published
def test_for_three_months_four_layers_do_as_well_as_six() -> None:
    """30 to 90 days (Nath 2018): four and six layers both adequate; ours differ by under 1 g/kg."""
    for months in (1.0, 2.0, 3.0):
        short = replace(COOL, moisture_frac=0.40, stay=Stay(WARM_DRY, 12, months))
        four, six = (
            one.of(School.WELL_MADE).total_frac.best for one in keep_by_layers(short, (4, 6))
        )
        assert 0.0 <= four - six < 1e-3


@pytest.mark.published
def test_about_half_of_a_bale_lies_within_15_cm_of_film() -> None:
    """0.58 of 1.2 x 1.2 m within 15 cm ("about half"); 6 to 8 times the film contact of a clamp.

    Victoria DPI 2009. The clamp is one that film covers on top, 1.2 to 1.6 m deep on average: ours
    to say.
    """
    assert share_within(BALE, 0.15) == pytest.approx(0.5, abs=0.1)
    assert contact_per_m(BALE) * 1.2 == pytest.approx(6.0)
    assert contact_per_m(BALE) * 1.6 == pytest.approx(8.0)


@pytest.mark.published
def test_more_than_half_of_a_bale_lies_within_200_mm() -> None:
    """0.70 of 1.2 x 1.2 m lies within 200 mm: more than half (Irish Farmers Journal)."""
    assert 0.5 < share_within(BALE, 0.20) == pytest.approx(0.704, abs=1e-3)


@pytest.mark.published
@pytest.mark.check(model="keeping.shape", source="weathered-rind")
@pytest.mark.parametrize(("across_m", "share"), [(6 * 0.3048, 0.20), (5 * 0.3048, 0.25)])
def test_four_inches_round_a_bale(across_m: float, share: float) -> None:
    """Four inches of the round side: 20 % of a six foot bale, 25 % of a five foot one.

    Printed to whole per cents of five: within one per cent.
    """
    rind = share_within(Bale(across_m, 1.5), 4 * 0.0254, ends=False)
    assert rind == pytest.approx(share, abs=0.011)


@pytest.mark.published
def test_a_day_unwrapped_is_small_and_three_are_not() -> None:
    """24 h cost under 1 % at best ("minimal effects", Akins & Coblentz); 72 h cost more."""
    day, three = delay_loss(24.0, 0.5), delay_loss(72.0, 0.5)
    assert day.best < 0.01
    assert three.best > 1.5 * day.best


@pytest.mark.derived
def test_warming_costs_what_its_heat_took() -> None:
    """A bale at half moisture that warms by 20 K burnt at least 0.8 % of its dry matter.

    By hand: (1900 + 4186) x 20 / 15.54e6.
    """
    assert loss_for_rise(20.0, 0.5) == pytest.approx(6086.0 * 20.0 / 15.542e6, rel=1e-3)


@pytest.mark.own
def test_advice_on_waiting_disagrees() -> None:
    """At 3 h four of five sources are content, at 20 h two, at 30 h none."""
    assert [len(kept_advice(hours)) for hours in (2.0, 3.0, 12.0, 20.0, 30.0)] == [5, 4, 3, 2, 0]


@pytest.mark.derived
def test_still_air_explains_little_of_what_holes_are_said_to_cost() -> None:
    """One hole of 1 mm over nine months: still air burns under 0.2 %, the report says 5 %.

    Both stand in the interval; neither is hidden.
    """
    loss = hole_loss(1e-3, 1, 74e-6, 9.0, 244.0)
    assert loss.low < 0.002
    assert loss.best == loss.high == pytest.approx(0.05)
    assert reported_loss(3e-3, 9.0) == pytest.approx(0.20)
    assert still_air_mol(2e-3, 74e-6, 9.0) > 2.0 * still_air_mol(1e-3, 74e-6, 9.0)


@pytest.mark.own
def test_moisture_at_both_ends_is_warned_of() -> None:
    """Under 40 % and from 67 % sources warn of losses that nobody puts a number to."""
    assert moisture_doubts(0.30) == (MoistureDoubt.TOO_DRY,)
    assert moisture_doubts(0.50) == ()
    assert moisture_doubts(0.68) == (MoistureDoubt.CLOSTRIDIA,)
    assert juice_loss(0.70).high == 0.0
    assert juice_loss(0.85).high == pytest.approx(0.10)
    assert fermentation_loss(0.9).best == pytest.approx(0.05)


@pytest.mark.law
@settings(max_examples=60)
@given(stored_bales, st.integers(1, 12), mishaps)
def test_no_loss_at_the_start_but_waiting(stored: Stored, layers: int, went_wrong: Mishaps) -> None:
    """At time zero nothing is lost, save what the bale lost before it was wrapped."""
    start = replace(stored, stay=replace(stored.stay, months=0.0))
    kept = keep(start, layers, went_wrong)
    assert kept.lost_frac.high == pytest.approx(kept.delay_frac.high)
    assert kept.total_frac.high == pytest.approx(kept.delay_frac.high)
    assert fermented_share(0.0) == 0.0


@pytest.mark.law
@settings(max_examples=80)
@given(stored_bales, st.integers(1, 12), mishaps, st.floats(0.0, 12.0))
def test_losses_never_fall_with_time_nor_rise_with_layers(
    stored: Stored, layers: int, went_wrong: Mishaps, longer: float
) -> None:
    """All ends of every loss: longer never loses less, one more layer never loses more.

    Nothing is above the whole, and intervals stay in order (an Interval refuses otherwise).
    """
    kept = keep(stored, layers, went_wrong)
    longer_stay = replace(stored.stay, months=stored.stay.months + longer)
    later = keep(replace(stored, stay=longer_stay), layers, went_wrong)
    thicker = keep(stored, layers + 1, went_wrong)
    for name in ("lost_frac", "total_frac"):
        at, after, under = (getattr(one, name) for one in (kept, later, thicker))
        for end in ("low", "best", "high"):
            assert 0.0 <= getattr(at, end) <= 1.0
            assert getattr(after, end) >= getattr(at, end) - 1e-12
            assert getattr(under, end) <= getattr(at, end) + 1e-12


@pytest.mark.law
@settings(max_examples=80)
@given(stored_bales, mishaps, st.floats(0.0, 24.0), st.floats(0.0, 0.01), st.integers(0, 3))
def test_more_mishap_never_loses_less(
    stored: Stored, before: Mishaps, hours: float, wider_m: float, more: int
) -> None:
    """Longer unwrapped, wider holes and more of them never lose less, at any end."""
    worse = replace(
        before,
        waited_h=before.waited_h + hours,
        hole_m=before.hole_m + wider_m,
        holes=before.holes + more,
    )
    one, other = keep(stored, 6, before), keep(stored, 6, worse)
    for end in ("low", "best", "high"):
        assert getattr(other.total_frac, end) >= getattr(one.total_frac, end) - 1e-12
        assert getattr(other.hole_frac, end) >= getattr(one.hole_frac, end) - 1e-12


@pytest.mark.law
@settings(max_examples=60)
@given(stored_bales, st.integers(1, 12), mishaps)
def test_dry_matter_balances(stored: Stored, layers: int, went_wrong: Mishaps) -> None:
    """What is left is the product of what each loss leaves: kilograms in are kilograms out."""
    kept = keep(stored, layers, went_wrong)
    for school in kept.schools:
        left_kg = stored.dry_matter_kg
        gone_kg = 0.0
        parts = (
            *(kept.delay_frac, kept.juice_frac, kept.hole_frac),
            *(school.base_frac, school.film_frac, school.thrown_frac),
        )
        for part in parts:
            gone_kg += left_kg * part.best
            left_kg *= 1.0 - part.best
        assert gone_kg + left_kg == pytest.approx(stored.dry_matter_kg)
        assert gone_kg == pytest.approx(school.total_frac.best * stored.dry_matter_kg, abs=1e-9)


@pytest.mark.law
def test_losses_come_one_after_the_other() -> None:
    """Half and half again leave a quarter; no loss leaves all; the whole leaves nothing."""
    half, none, whole = (Interval(share, share, share) for share in (0.5, 0.0, 1.0))
    assert all_lost(half, half).best == pytest.approx(0.75)
    assert all_lost(none, none).best == 0.0
    assert all_lost(half, whole).best == 1.0


@pytest.mark.law
def test_film_on_a_bale_is_what_covers_it() -> None:
    """Film for layers: round side once, flat sides twice (strips cross); by hand 0.62 kg for four.

    12.7 turns of two metres and 40 cm of half-overlapping strip 0.595 m wide are the same film.
    """
    by_hand = 4 * math.pi * 1.2 * (1.2 + 1.2) * 18.5e-6 * 925.0
    turns = 4 * math.pi * 1.2 / (2.0 * 0.595)
    laid = turns * 2.0 * (1.2 + 1.2) * 0.595 * 18.5e-6 * 925.0
    assert film_kg(BALE, 18.5e-6, 4) == pytest.approx(by_hand) == pytest.approx(laid)
    assert volume_m3(BALE) == pytest.approx(1.357, abs=1e-3)


@pytest.mark.published
def test_film_a_bale_is_what_an_extension_service_weighs() -> None:
    """0.68 to 0.91 kg a bale (1.5 to 2 pounds) lies between our four and six layers on 4 x 4 feet.

    Penn State names no layers and no width; four to six is what it is known to advise around.
    """
    four_feet = Bale(1.2192, 1.2192)
    four, six = (film_kg(four_feet, 18.5e-6, layers) for layers in (4, 6))
    assert four < 1.5 * 0.45359237 < 2.0 * 0.45359237 < six
    assert (four, six) == (pytest.approx(0.68, rel=0.1), pytest.approx(0.91, rel=0.1))


@pytest.mark.own
@pytest.mark.parametrize(
    "call",
    [
        lambda: replace(COOL, dry_matter_kg_m3=0.0),
        lambda: replace(COOL, dry_matter_kg_m3=math.nan),
        lambda: replace(COOL, dry_matter_kg_m3=9e9),
        lambda: replace(COOL, moisture_frac=-0.1),
        lambda: replace(COOL, moisture_frac=1.0),
        lambda: replace(COOL, moisture_frac=math.inf),
        lambda: keep(COOL, 0),
        lambda: keep(COOL, -4),
        lambda: keep(COOL, 1000),
        lambda: keep(COOL, 4, Mishaps(waited_h=-1.0)),
        lambda: keep(COOL, 4, Mishaps(waited_h=math.nan)),
        lambda: keep(COOL, 4, Mishaps(rise_k=500.0)),
        lambda: keep(COOL, 4, Mishaps(hole_m=1.0, holes=1)),
        lambda: keep(COOL, 4, Mishaps(hole_m=0.01, holes=-1)),
        lambda: share_within(BALE, -0.1),
        lambda: kept_advice(math.inf),
        lambda: film_kg(BALE, 0.0, 4),
    ],
)
def test_what_cannot_be_is_refused(call: object) -> None:
    """NaN, infinity, nothing, below nothing and absurd values are BadInput, never a number."""
    assert callable(call)
    with pytest.raises(BadInput):
        call()
