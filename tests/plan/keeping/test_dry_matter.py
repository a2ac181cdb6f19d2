"""Dry matter from weighings, against every worked example that was found."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from balewright.plan.keeping.dry_matter import (
    dry_matter_frac,
    fresh_mass_kg,
    mass_at_moisture_kg,
    mean_and_deviation,
    samples_needed,
    summarise,
    with_volatiles,
)
from balewright.quantities.errors import BadInput
from balewright.quantities.si import KG_PER_LB

MAVRO_1E5 = (  # NIST StRD Mavro, 50 transmittances, as hundred-thousandths above 2
    *(180, 170, 180, 190, 180, 170, 150, 140, 150, 150, 170, 180, 180, 190, 190, 210, 200),
    *(160, 140, 130, 130, 150, 150, 160, 150, 140, 130, 140, 150, 140, 150, 160, 150, 160),
    *(190, 200, 200, 210, 220, 230, 240, 250, 270, 260, 260, 260, 270, 260, 250, 240),
)
#: Oven-dry weights of ten frames of hay, Mississippi Administrative Code, addendum J.
FRAMES = (72.2, 80.0, 22.0, 96.5, 100.2, 25.0, 81.0, 96.0, 100.9, 51.0)
shares = st.floats(0.0, 1.0)
moistures = st.floats(0.0, 0.95)


@pytest.mark.published
def test_a_hundred_grams_to_thirty_five() -> None:
    """100 g wet and 35 g dry are 35 % dry matter, as Jacobsen and Goeser work it out."""
    assert dry_matter_frac(100.0, 35.0) == pytest.approx(0.35, abs=1e-12)


@pytest.mark.published
@pytest.mark.check(model="dry_matter.one_sample", source="victoria-microwave")
def test_straw_of_sixteen_per_cent() -> None:
    """(101 - 85)/101 is printed as 16 % moisture, to the whole per cent (Victoria, 2015)."""
    assert 1.0 - dry_matter_frac(101.0, 85.0) == pytest.approx(0.16, abs=0.005)


@pytest.mark.published
@pytest.mark.parametrize("plate_g", [0.0, 12.5])
def test_hay_of_fourteen_per_cent(plate_g: float) -> None:
    """100 g to 86 g is 14 % moisture (a public worksheet), with a plate or without."""
    share = dry_matter_frac(100.0 + plate_g, 86.0 + plate_g, plate_g)
    assert 1.0 - share == pytest.approx(0.14, abs=1e-12)


@pytest.mark.published
@pytest.mark.check(model="dry_matter.one_sample", source="ohio-air-fryer")
@pytest.mark.parametrize(
    ("wet_g", "dry_g", "moisture_frac"), [(100.0, 80.0, 0.20), (90.0, 70.0, 0.22)]
)
def test_air_fryer_examples(wet_g: float, dry_g: float, moisture_frac: float) -> None:
    """100 g to 80 g is 20 %, 90 g to 70 g is printed as 22 %, to the whole per cent."""
    assert 1.0 - dry_matter_frac(wet_g, dry_g) == pytest.approx(moisture_frac, abs=0.005)


@pytest.mark.published
@pytest.mark.check(model="dry_matter.mean", source="nist-mavro")
def test_mavro_to_the_certified_digits() -> None:
    """Mean and standard deviation of 50 close values agree with what NIST certifies.

    The values are held to sixteen digits and differ in the fourth, so twelve digits of the
    deviation are all that can be asked.
    """
    mean, deviation = mean_and_deviation([2.0 + part / 1e5 for part in MAVRO_1E5])
    assert mean == pytest.approx(2.00185600000000, rel=1e-15)
    assert deviation == pytest.approx(0.000429123454003053, rel=1e-11)


@pytest.mark.published
@pytest.mark.check(model="dry_matter.mean", source="nist-numacc4")
def test_large_values_that_differ_little() -> None:
    """1001 values of ten million that differ by a tenth: the certified 10 000 000.2 and 0.1.

    NIST grades it "higher difficulty": sums of plain squares lose every digit. Doubles hold the
    values themselves to 1e-9, which is 1e-8 of the deviation.
    """
    values = [10_000_000.2, *[10_000_000.1, 10_000_000.3] * 500]
    mean, deviation = mean_and_deviation(values)
    assert mean == pytest.approx(10_000_000.2, rel=1e-15)
    assert deviation == pytest.approx(0.1, rel=2e-8)


@pytest.mark.published
@pytest.mark.check(model="dry_matter.samples_needed", source="mississippi-sample-adequacy")
def test_thirty_three_samples() -> None:
    """Ten frames of hay, a tenth of the mean, one-sided 90 % (t = 1.383): 33 are needed.

    One-sided 90 % is two-sided 80 %; weights are scaled to shares, which changes nothing.
    """
    parts = [weight / 1000.0 for weight in FRAMES]
    mean, deviation = mean_and_deviation(parts)
    assert mean * 1000.0 == pytest.approx(72.48, abs=1e-9)  # 724.8 / 10, as printed
    assert deviation is not None
    assert samples_needed(deviation, len(parts), mean / 10.0, confidence=0.80) == 33


@pytest.mark.reference
@settings(max_examples=60)
@given(st.lists(st.integers(0, 1000), min_size=2, max_size=30), st.sampled_from([0.8, 0.95]))
def test_interval_of_a_mean_as_scipy(parts: list[int], confidence: float) -> None:
    """The interval is scipy's own, cut at 0 and 1 where it runs beyond."""
    values = [part / 1000.0 for part in parts]
    within = summarise(values, confidence).dry_matter_frac
    assert within is not None
    if len(set(values)) == 1:
        assert within.low == pytest.approx(within.high)
        return
    theirs = stats.ttest_1samp(values, 0.5).confidence_interval(confidence)
    assert within.low == pytest.approx(max(theirs.low, 0.0), abs=1e-12)
    assert within.high == pytest.approx(min(theirs.high, 1.0), abs=1e-12)


@pytest.mark.published
def test_wet_forage_as_hay() -> None:
    """2 tons at 75 % moisture are printed as 0.59 tons at 15 % on a laboratory's sheet."""
    assert mass_at_moisture_kg(2000.0, 0.75, 0.15) == pytest.approx(590.0, abs=5.0)


@pytest.mark.published
@pytest.mark.check(model="dry_matter.at_moisture", source="pnw-259")
def test_relative_value_of_haylage() -> None:
    """67 % haylage is worth .366 of its weight as hay of 90 % dry matter (printed cut, not round).

    33/90 is 0.3667: the last printed digit is one short.
    """
    assert mass_at_moisture_kg(1.0, 0.67, 0.10) == pytest.approx(0.366, abs=1e-3)


@pytest.mark.published
@pytest.mark.check(model="dry_matter.at_moisture", source="georgia-sb58")
def test_silage_for_a_hundred_cows() -> None:
    """25 lb of dry matter for 100 cows are printed as 7,140 lb at 35 %; at 32 % 2.2 lb too little.

    2500/0.35 is 7143: printed to tens. 7140 x 0.32 is 22.8 lb a cow, printed as 2.2 lb short.
    """
    load_lb = fresh_mass_kg(2500.0 * KG_PER_LB, 0.65) / KG_PER_LB
    assert load_lb == pytest.approx(7140.0, abs=5.0)
    given_lb = mass_at_moisture_kg(load_lb, 0.68, 0.0) / 100.0
    assert 25.0 - given_lb == pytest.approx(2.2, abs=0.06)


@pytest.mark.published
def test_hay_for_one_cow() -> None:
    """25 lb of dry matter are 27.7 lb of hay at 10 % moisture (extension.org; 27.78, cut)."""
    assert fresh_mass_kg(25.0, 0.10) == pytest.approx(27.7, abs=0.1)


@pytest.mark.published
@pytest.mark.check(model="dry_matter.at_moisture", source="yaremcio-2021")
def test_dry_feed_and_water_of_a_bale() -> None:
    """1,400 lb at 15 % moisture are 1,190 lb of dry feed and 210 lb of water."""
    dry_lb = mass_at_moisture_kg(1400.0, 0.15, 0.0)
    assert dry_lb == pytest.approx(1190.0, abs=1e-9)
    assert 1400.0 - dry_lb == pytest.approx(210.0, abs=1e-9)


@pytest.mark.derived
def test_volatiles_are_a_stated_spread() -> None:
    """At 30 % by oven: 31.3 %, from 31 to 32; outside what is remembered nothing is said."""
    within = with_volatiles(0.30)
    assert within is not None
    assert (within.low, within.high) == pytest.approx((0.31, 0.32))
    assert within.best == pytest.approx(0.3133, abs=1e-4)  # 2.08 + 0.975 x 30, from memory
    assert with_volatiles(0.60) is None
    assert with_volatiles(0.10) is None


@pytest.mark.own
def test_one_sample_has_no_interval() -> None:
    """A single sample says what it says; how good it is stays unknown, never zero."""
    only = summarise([0.31])
    assert (only.mean_frac, only.count) == (0.31, 1)
    assert only.deviation_frac is None
    assert only.dry_matter_frac is None


@pytest.mark.law
@given(st.floats(0.0, 1e5), moistures, moistures)
def test_dry_matter_stays_when_water_goes(mass_kg: float, moist: float, other: float) -> None:
    """Mass at another moisture holds the same dry matter, and the way back is the same mass."""
    there = mass_at_moisture_kg(mass_kg, moist, other)
    assert there * (1.0 - other) == pytest.approx(mass_kg * (1.0 - moist), rel=1e-12, abs=1e-9)
    if there <= 1e6:
        assert mass_at_moisture_kg(there, other, moist) == pytest.approx(mass_kg, rel=1e-12)


@pytest.mark.law
@given(st.floats(0.001, 0.2), st.integers(2, 30), st.floats(0.002, 0.1))
def test_more_precision_takes_more_samples(spread: float, pilot: int, within: float) -> None:
    """Halving the wanted width never lowers the number; more confidence neither."""
    plain = samples_needed(spread, pilot, within)
    assert samples_needed(spread, pilot, within / 2.0) >= plain
    assert samples_needed(spread, pilot, within, confidence=0.99) >= plain
    assert plain >= pilot


@pytest.mark.law
@settings(max_examples=50)
@given(st.lists(shares, min_size=2, max_size=20))
def test_mean_lies_in_its_interval_and_its_samples(parts: list[float]) -> None:
    """The mean is inside its interval and between the smallest and the largest sample."""
    found = summarise(parts)
    assert found.dry_matter_frac is not None
    assert found.dry_matter_frac.holds(found.mean_frac)
    assert min(parts) - 1e-12 <= found.mean_frac <= max(parts) + 1e-12


BAD = (math.nan, math.inf, -math.inf, -1.0, 1e9)


@pytest.mark.own
@pytest.mark.parametrize("bad", BAD)
def test_absurd_numbers_are_refused(bad: float) -> None:
    """NaN, infinities, negative and absurd values are BadInput with the argument's name."""
    for call in (
        lambda: dry_matter_frac(bad, 1.0),
        lambda: dry_matter_frac(100.0, bad),
        lambda: dry_matter_frac(100.0, 50.0, bad),
        lambda: summarise([0.3, bad]),
        lambda: summarise([0.3], confidence=bad),
        lambda: samples_needed(bad, 5, 0.01),
        lambda: samples_needed(0.02, 5, bad),
        lambda: with_volatiles(bad),
        lambda: fresh_mass_kg(bad, 0.5),
        lambda: fresh_mass_kg(1.0, bad),
        lambda: mass_at_moisture_kg(1.0, bad, 0.5),
        lambda: mass_at_moisture_kg(1.0, 0.5, bad),
    ):
        with pytest.raises(BadInput):
            call()


@pytest.mark.own
def test_samples_that_cannot_be_are_refused() -> None:
    """No sample, a sample that got heavier, one lighter than its plate, a pilot of one."""
    with pytest.raises(BadInput, match="samples"):
        summarise([])
    with pytest.raises(BadInput, match="only gets lighter"):
        dry_matter_frac(100.0, 101.0)
    with pytest.raises(BadInput, match="wet_g"):
        dry_matter_frac(12.0, 12.0, 12.0)
    with pytest.raises(BadInput, match="pilot"):
        samples_needed(0.02, 1, 0.01)
