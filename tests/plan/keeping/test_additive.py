"""Hay acid by moisture, and any additive by the tonne, the hour and the bale."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.keeping.additive import (
    CAUTIONS,
    Product,
    acid_dose,
    cells_per_gram,
    spray,
)
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import Reason
from balewright.quantities.si import KG_PER_LB
from balewright.quantities.sources import source
from balewright.words.say import say

PURE = Product(active_frac=1.0, density_kg_l=0.99)
rates = st.floats(0.01, 100.0)
feeds = st.floats(0.5, 100.0)
SHORT_TON_KG = 2000.0 * KG_PER_LB


@pytest.mark.published
@pytest.mark.parametrize(
    ("moisture_frac", "lb_ton"), [(0.20, 10.0), (0.25, 10.0), (0.26, 20.0), (0.295, 20.0)]
)
def test_pounds_a_short_ton(moisture_frac: float, lb_ton: float) -> None:
    """10 lb of pure acid a short ton at 20 to 25 % moisture and 20 lb at 26 to 30 % (Kentucky)."""
    dose = acid_dose(moisture_frac)
    assert dose is not None
    wanted_kg_t = lb_ton * KG_PER_LB / (SHORT_TON_KG / 1000.0)
    assert dose.kg_t.best == pytest.approx(wanted_kg_t, rel=1e-12)


@pytest.mark.published
@pytest.mark.parametrize(
    ("moisture_frac", "low_frac", "high_frac"),
    [(0.301, 0.01, 0.01), (0.40, 0.01, 0.015), (0.50, 0.02, 0.02)],
)
def test_the_margin_of_damp_hay(moisture_frac: float, low_frac: float, high_frac: float) -> None:
    """1 %, 1 to 1.5 % and 2 % of the hay's weight at 30, 40 and 50 % moisture are marginal.

    Easson & Nash 1978. The rates are theirs: this holds them, and counts for nothing more.
    """
    dose = acid_dose(moisture_frac)
    assert dose is not None
    assert dose.kg_t.low / 1000.0 == pytest.approx(low_frac, rel=0.02)  # a point past 30 %
    assert dose.kg_t.high / 1000.0 == pytest.approx(high_frac, rel=0.02)
    assert all(rate.marginal for rate in dose.rates)


@pytest.mark.published
def test_at_least_one_per_cent_at_thirty_two() -> None:
    """Easson & Nash and North Dakota speak at 32 %: the least that satisfies both is 1 %."""
    dose = acid_dose(0.32)
    assert dose is not None
    assert {rate.source for rate in dose.rates} == {"easson-nash-1978", "north-dakota-acid"}
    assert dose.kg_t.low >= 10.0 - 1e-9


@pytest.mark.published
def test_bacteria_a_gram() -> None:
    """A pack of 1e11 for a tonne, 5e12 for 50 t: 100,000 a gram, the trade press's target."""
    assert cells_per_gram(10**11, 1.0) == pytest.approx(100_000.0)
    assert cells_per_gram(5 * 10**12, 50.0) == pytest.approx(100_000.0)


@pytest.mark.derived
def test_litres_of_pure_and_of_diluted_acid() -> None:
    """5 kg/t are 5.05 l of pure acid and 6.99 l of one of 65 % at 1.10 kg/l, by hand."""
    assert PURE.litres_l_t(5.0) == pytest.approx(5.0505, abs=1e-4)
    assert PURE.litres_l_t(10.0) == pytest.approx(10.101, abs=1e-3)
    assert Product(0.65, 1.10).litres_l_t(5.0) == pytest.approx(6.993, abs=1e-3)


@pytest.mark.derived
def test_by_the_hour_and_the_bale() -> None:
    """6 l/t at 20 t/h are 120 l/h, 2 l/min, and 2.4 l in a bale of 400 kg."""
    found = spray(6.0, 20.0, 400.0)
    assert (found.l_h, found.l_min, found.l_bale) == pytest.approx((120.0, 2.0, 2.4))
    assert spray(6.0, 20.0).l_bale is None
    assert (spray(6.0, None).l_h, spray(6.0, None).l_min) == (None, None)


@pytest.mark.derived
def test_silent_where_no_source_speaks() -> None:
    """Dry hay and silage: no rate, which is not a rate of nothing."""
    assert acid_dose(0.199) is None
    assert acid_dose(0.501) is None


@pytest.mark.own
def test_every_rate_and_caution_is_known() -> None:
    """Rates name sources of the bibliography; each caution has its words."""
    for moisture_frac in (0.22, 0.28, 0.30, 0.32, 0.45):
        dose = acid_dose(moisture_frac)
        assert dose is not None
        assert all(source(rate.source).text for rate in dose.rates)
    assert all(say(Reason(key)) for key in CAUTIONS)


@pytest.mark.law
@given(st.floats(0.20, 0.50), st.floats(0.20, 0.50))
def test_damper_hay_never_needs_less(one: float, other: float) -> None:
    """The least that satisfies every source never falls with moisture."""
    dry, damp = sorted((one, other))
    here, there = acid_dose(dry), acid_dose(damp)
    assert here is not None
    assert there is not None
    assert there.kg_t.best >= here.kg_t.best - 1e-9
    assert here.kg_t.low <= here.kg_t.best <= here.kg_t.high


@pytest.mark.law
@given(rates, feeds, st.floats(0.1, 1.0), st.floats(50.0, 1000.0))
def test_nozzles_follow_the_feed_and_not_the_speed(
    rate: float, feed_t_h: float, share: float, bale_kg: float
) -> None:
    """Half the feed is half the litres an hour; what a bale gets stays."""
    whole, part = spray(rate, feed_t_h, bale_kg), spray(rate, max(feed_t_h * share, 0.5), bale_kg)
    assert part.l_h is not None
    assert whole.l_h is not None
    assert whole.l_min is not None
    assert part.l_h == pytest.approx(whole.l_h * max(feed_t_h * share, 0.5) / feed_t_h)
    assert part.l_bale == whole.l_bale
    assert whole.l_min * 60.0 == pytest.approx(whole.l_h)


@pytest.mark.law
@given(st.floats(0.05, 1.0), st.floats(0.7, 1.6), st.floats(0.0, 30.0))
def test_litres_and_back(active: float, density: float, kg_t: float) -> None:
    """Litres of a product carry the pure acid they were worked out for."""
    product = Product(active, density)
    assert product.active_kg_t(product.litres_l_t(kg_t)) == pytest.approx(kg_t, rel=1e-12)


@pytest.mark.own
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1.0, 1e20])
def test_absurd_numbers_are_refused(bad: float) -> None:
    """NaN, infinities, negative and absurd values are BadInput."""
    for call in (
        lambda: acid_dose(bad),
        lambda: Product(bad, 1.0),
        lambda: Product(0.5, bad),
        lambda: PURE.litres_l_t(bad),
        lambda: PURE.active_kg_t(bad),
        lambda: spray(bad, 20.0),
        lambda: spray(5.0, bad),
        lambda: spray(5.0, 20.0, bad),
        lambda: cells_per_gram(bad, 1.0),  # type: ignore[arg-type]
        lambda: cells_per_gram(10**11, bad),
    ):
        with pytest.raises(BadInput):
            call()
    with pytest.raises(BadInput, match="cells"):
        cells_per_gram(10, 1.0)
    for zero in (lambda: Product(0.0, 1.0), lambda: spray(5.0, 0.0), lambda: spray(5.0, 20.0, 0.0)):
        with pytest.raises(BadInput):
            zero()
