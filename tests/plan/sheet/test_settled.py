"""What pulls two ways and how it is settled; layers, knives, rows, additive, measures."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.plan.sheet.jobs import (
    FILM,
    PLAIN,
    RING,
    SECOND_CUT,
    TABLE,
    line_of,
    number,
    sheet_for,
)

from balewright.plan.crop import Crop
from balewright.plan.film.strip import strip_width_m
from balewright.plan.keeping.additive import Product
from balewright.plan.machine import Machine
from balewright.plan.sheet.knives import most_bar
from balewright.plan.sheet.layers import layers_wanted
from balewright.plan.sheet.sheet import Additive, Measure, Sheet
from balewright.quantities.errors import BadInput
from balewright.words.say import say

DRY_HAYLAGE = {"crop": Crop.HAYLAGE, "moisture_frac": 0.3}


def about(sheet: Sheet) -> list[str]:
    """The lines that conflicts are about."""
    return [conflict.line for conflict in sheet.conflicts]


def measure_of(sheet: Sheet, key: str) -> Measure:
    """A measure; the test fails when there is none."""
    return next(measure for measure in sheet.measures if measure.key == key)


@pytest.mark.own
def test_plain_work_has_no_conflict() -> None:
    """On level clean ground nothing pulls two ways."""
    assert sheet_for(RING).conflicts == ()


@pytest.mark.practice
@pytest.mark.parametrize(
    ("make", "changed", "line", "lower_than_flat"),
    [
        (RING, {**DRY_HAYLAGE, "slope_frac": 0.2}, "chamber_bar", True),
        (TABLE, {"slope_frac": 0.2}, "diameter_m", True),
        (RING, {"dusty": True, "slope_frac": 0.2}, "roll_after_s", True),
        (RING, {"stony": True}, "knives_in", True),
        (RING, {"crop": Crop.HAY, "moisture_frac": 0.2}, "chamber_bar", False),
    ],
)  # common practice, no source: the safer side wins
def test_a_conflict_is_told_and_the_safer_side_set(
    make: Machine, changed: dict[str, Any], line: str, lower_than_flat: bool
) -> None:
    """Both sides stand there with what was settled, and the value follows the safer one."""
    sheet = sheet_for(make, **changed)
    conflict = next(one for one in sheet.conflicts if one.line == line)
    assert len(conflict.wants) == 2
    assert say(conflict.settled)
    if lower_than_flat:
        eased = {"slope_frac": 0.0, "stony": False}
        plain = sheet_for(make, **{**changed, **eased})
        assert number(sheet, line) < number(plain, line)
    assert number(sheet, "roll_after_s") == 0.0


@pytest.mark.own
def test_a_machine_that_tips_one_way_is_told_on_a_slope() -> None:
    """Where only the round side is there the bale is carried to level ground."""
    assert "tip_side" in about(sheet_for(TABLE, slope_frac=0.1))
    assert "tip_side" not in about(sheet_for(RING, slope_frac=0.1))
    assert "tip_side" not in about(sheet_for(TABLE))


@pytest.mark.own
def test_a_film_too_weak_for_the_machine_is_a_conflict() -> None:
    """No setting keeps the label: another film is better."""
    weak = sheet_for(RING, film=replace(FILM, pre_stretch_frac=0.4))
    assert "pre_stretch_frac" in about(weak)
    assert "another film" in say(weak.conflicts[-1].settled)


@pytest.mark.derived
def test_heavy_rows_are_driven_as_fast_as_the_wrapper_takes_bales() -> None:
    """At the turning speed filling and standing take as long as the wrapper, by hand; below it the
    speed stays as asked, and the pace is the same above.
    """
    heavy = sheet_for(TABLE, windrow_kg_m=9.0, speed_m_s=3.5)
    assert "speed_m_s" in about(heavy)
    speed = number(heavy, "speed_m_s")
    assert speed < 3.5
    fill_s = heavy.expected.mass_kg.best / (9.0 * speed)
    assert heavy.expected.fill_s == pytest.approx(fill_s)
    assert heavy.expected.held_back_by == "wrapping"
    faster = sheet_for(TABLE, windrow_kg_m=9.0, speed_m_s=3.6)
    assert faster.expected.pace_bales_h == pytest.approx(heavy.expected.pace_bales_h)
    light = sheet_for(TABLE, windrow_kg_m=2.0, speed_m_s=2.0)
    assert number(light, "speed_m_s") == 2.0
    assert light.conflicts == ()


@pytest.mark.own
def test_a_thick_row_is_not_taken_fast() -> None:
    """Where the row would feed more than 60 t/h the speed is lowered to just that, and said."""
    heavy = sheet_for(RING, windrow_kg_m=9.0, speed_m_s=3.5)
    assert number(heavy, "speed_m_s") * 3.6 * 9.0 == pytest.approx(60.0)
    assert "speed_m_s" in about(heavy)
    assert line_of(heavy, "speed_m_s").source == "hancock-row-density"
    assert number(sheet_for(RING, windrow_kg_m=4.0, speed_m_s=3.5), "speed_m_s") == 3.5


@pytest.mark.published
@pytest.mark.check(model="sheet.layers", source="teagasc-tips")
@pytest.mark.check(model="sheet.layers", source="mceniry-2011")
def test_layers_where_it_is_cool_and_moist() -> None:
    """Ireland: four, six from nine months (Teagasc); four at 7 months, six where unwilted crop is
    kept a second season of 18 months (McEniry et al. 2011).
    """
    there = replace(SECOND_CUT, climate="cool-moist")
    for months, layers in ((3.0, 4), (7.0, 4), (8.9, 4), (9.0, 6), (12.0, 6)):
        assert layers_wanted(replace(there, storage_months=months)) == layers
    unwilted = replace(there, moisture_frac=0.8, storage_months=18.0)
    assert layers_wanted(unwilted) == 6


@pytest.mark.own
@pytest.mark.parametrize(
    ("changed", "layers"),
    [
        ({"climate": None}, 6),
        ({"climate": "cold-winter"}, 6),
        ({"climate": "warm-dry"}, 6),
        ({"climate": "warm-dry", "moisture_frac": 0.45}, 8),
        ({"climate": "cool-moist", "moisture_frac": 0.45}, 6),
        ({"climate": "cool-moist", "crop": Crop.LUCERNE}, 6),
        ({"crop": Crop.LUCERNE, "moisture_frac": 0.5}, 8),
        ({"moisture_frac": 0.35}, 8),
        ({"moisture_frac": 0.5, "storage_months": 14.0}, 8),
        ({"climate": "cool-moist", "storage_months": 1.0}, 4),
    ],
)
def test_layers_follow_climate_dryness_crop_and_months(
    changed: dict[str, Any], layers: int
) -> None:
    """Six is the start; four only where it is cool and moist, eight for dry, stemmy, long kept."""
    line = line_of(sheet_for(RING, **changed), "layers")
    assert line.value == layers
    assert "content" in dict(line.reason.values)


@pytest.mark.own
def test_an_unknown_climate_is_said_and_a_wrong_one_refused() -> None:
    """Only a climate nobody named is unknown."""
    unknown = [reason.key for reason in sheet_for(RING).unknown]
    known = [reason.key for reason in sheet_for(RING, climate="cool-moist").unknown]
    assert "sheet.unknown.climate" in unknown
    assert "sheet.unknown.climate" not in known
    with pytest.raises(BadInput, match="climate: needs one of cool-moist, warm-dry, cold-winter"):
        sheet_for(RING, climate="arctic")


@pytest.mark.own
def test_knife_pressure_by_bank_crop_and_stones() -> None:
    """The most for the knives in, a step less in dry crop, least on stones and without."""
    assert RING.knives is not None
    assert most_bar(RING.knives, 8) == 38
    assert most_bar(RING.knives, 17) == 50
    assert number(sheet_for(RING), "knife_bar") == 50
    assert number(sheet_for(RING, **DRY_HAYLAGE), "knife_bar") == 38
    assert number(sheet_for(RING, stony=True), "knife_bar") == 28
    assert number(sheet_for(RING, crop=Crop.HAY, moisture_frac=0.15), "knife_bar") == 28
    unsaid = replace(RING.knives, up_to_knives=(), most_bar=())
    assert [most_bar(unsaid, count) for count in (0, 8, 9, 17)] == [28, 38, 50, 62]


@pytest.mark.practice
def test_a_single_bank_comes_out_on_stones() -> None:
    """With one bank there is no smaller one: none stays in."""
    assert number(sheet_for(TABLE), "knives_in") == 14
    assert number(sheet_for(TABLE, stony=True), "knives_in") == 0


@pytest.mark.published
@pytest.mark.check(model="sheet.weave", source="pami-round-baling")
@pytest.mark.parametrize(
    ("row_m", "word", "key"),
    [
        (None, None, "unknown"),
        (0.5, "weave", "narrow"),
        (0.9, "weave", "between"),
        (1.23, "straight", "full"),
        (2.0, "straight", "full"),
    ],
)
def test_rows_are_driven_by_their_width(row_m: float | None, word: str | None, key: str) -> None:
    """As wide as the pick-up: straight; under half: weave; between: a barrel."""
    line = line_of(sheet_for(RING, row_width_m=row_m), "weave")
    assert line.value == word
    assert line.reason.key == f"sheet.weave.{key}"


@pytest.mark.derived
def test_an_additive_by_its_label() -> None:
    """2 l/t at 36 t/h are 1.2 l a minute; a bale of M kg gets 2 M / 1000 litres."""
    sheet = sheet_for(RING, additive=Additive(rate_l_t=2.0, tank_l=200.0))
    line = line_of(sheet, "additive_l_t")
    assert line.value == 2.0
    assert line.reason.value("sprayed_l_min") == pytest.approx(1.2)
    litres = 2.0 * sheet.expected.mass_kg.best / 1000.0
    assert line.reason.value("each_l") == pytest.approx(litres)
    assert line.reason.value("tank_bales") == int(200.0 / litres)
    assert "additive.caution.label" in [caution.key for caution in sheet.cautions]
    assert sheet_for(RING).line("additive_l_t") is None


@pytest.mark.derived
def test_acid_for_damp_hay() -> None:
    """5 kg/t of pure acid at 24 % (Kentucky) are 10 l of a product with 0.5 kg in a litre; drier
    hay gets none, silage is not spoken of by any source, and no product is no number.
    """
    product = Additive(acid=Product(0.5, 1.0))

    def hay(moisture_frac: float, additive: Additive | None) -> Sheet:
        return sheet_for(PLAIN, crop=Crop.HAY, moisture_frac=moisture_frac, additive=additive)

    damp = hay(0.24, product)
    assert number(damp, "additive_l_t") == pytest.approx(10.0)
    assert "additive.caution.acid" in [caution.key for caution in damp.cautions]
    assert line_of(hay(0.15, product), "additive_l_t").value == "none"
    unnamed = line_of(hay(0.24, None), "additive_l_t")
    assert unnamed.value is None
    assert unnamed.reason.value("low_kg_t") == pytest.approx(5.0)
    assert line_of(sheet_for(RING, additive=product), "additive_l_t").value is None


@pytest.mark.own
@pytest.mark.parametrize(
    "wrong",
    [
        Additive(),
        Additive(rate_l_t=2.0, acid=Product(0.5, 1.0)),
        Additive(rate_l_t=0.0),
        Additive(rate_l_t=float("nan")),
        Additive(rate_l_t=2.0, tank_l=-5.0),
    ],
)
def test_an_additive_that_cannot_be_is_refused(wrong: Additive) -> None:
    """Neither or both ways to say it, or numbers that cannot be, are named."""
    with pytest.raises(BadInput, match="additive"):
        sheet_for(RING, additive=wrong)


@pytest.mark.derived
def test_limits_of_what_is_measured_first() -> None:
    """Gate: the profile's range; overlap: between published neck-ins, a tape's 2 points wider;
    two marks 100 mm apart lie 170 mm apart at 70 %; mass: the sources' spread.
    """
    sheet = sheet_for(RING)
    gate = measure_of(sheet, "gate_opening_mm")
    assert (gate.target, gate.low, gate.high) == (20.0, 14.0, 26.0)
    overlap = measure_of(sheet, "overlap_frac")
    ends = [1.0 - 0.475 / (2.0 * strip_width_m(0.75, 0.70, exponent)) for exponent in (0.45, 0.33)]
    assert overlap.low == pytest.approx(ends[0] - 0.02, abs=0.005)
    assert overlap.high == pytest.approx(ends[1] + 0.02, abs=0.005)
    stretch = measure_of(sheet, "pre_stretch_frac")
    assert (stretch.low, stretch.high) == pytest.approx((0.65, 0.75))
    assert stretch.reason.value("stretched_mm") == 170
    mass = measure_of(sheet, "mass_kg")
    assert mass.low == pytest.approx(sheet.expected.mass_kg.low, abs=5.0)
    moisture = measure_of(sheet, "moisture_frac")
    assert (moisture.low, moisture.high) == pytest.approx((0.57, 0.67))
    for side in ("left", "right"):
        assert measure_of(sheet, f"diameter_{side}_m").target == sheet.expected.diameter_m.best


@pytest.mark.own
def test_only_what_a_machine_has_is_measured() -> None:
    """No gate mark without that sign, no film without film."""
    keys = [measure.key for measure in sheet_for(PLAIN, crop=Crop.HAY, moisture_frac=0.15).measures]
    assert keys == ["diameter_left_m", "diameter_right_m", "mass_kg", "moisture_frac"]


@pytest.mark.own
def test_weighing_follows_the_scale() -> None:
    """The machine's scale or another one weighs every bale, else the first five are weighed."""
    assert line_of(sheet_for(RING), "weighing").value == "every bale"
    assert line_of(sheet_for(TABLE), "weighing").value == "first five"
    assert line_of(sheet_for(TABLE, weighed=True), "weighing").value == "every bale"


@pytest.mark.practice
def test_film_binding_is_never_set_below_what_holds() -> None:
    """At least 3.2 turns are allowed, 3.5 set on heavy bales and steep ground."""
    light = line_of(sheet_for(RING, net_roll_m=None), "binding_turns")
    heavy = line_of(sheet_for(RING, net_roll_m=None, slope_frac=0.2), "binding_turns")
    assert light.low == 3.2
    assert 3.2 <= float(light.value or 0) < float(heavy.value or 0) <= 3.5
