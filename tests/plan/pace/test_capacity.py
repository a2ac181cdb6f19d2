"""Field capacity against printed tables, worked examples and bad input."""

from __future__ import annotations

import pytest

from balewright.plan.pace.capacity import (
    field_capacity_ac_h,
    field_capacity_ha_h,
    material_capacity_t_h,
    short_ton_per_h,
)
from balewright.quantities.errors import BadInput
from balewright.quantities.si import KM_H_PER_M_S


@pytest.mark.published
@pytest.mark.parametrize(
    ("km_h", "width_m", "efficiency", "t_ha"), [(8.0, 6.0, 0.65, 5.0), (9.0, 7.2, 1.0, 8.3)]
)
def test_textbook_equations(km_h: float, width_m: float, efficiency: float, t_ha: float) -> None:
    """Area and material capacity are the textbook's v w eff / 10 and v w Y eff / 10.

    Source: Srivastava et al. 2006, eqs 15.1 and 15.2 (km/h, m, t/ha).
    """
    area = field_capacity_ha_h(km_h / KM_H_PER_M_S, width_m, efficiency)
    assert area == pytest.approx(km_h * width_m * efficiency / 10.0, rel=1e-12)
    material = km_h * width_m * t_ha * efficiency / 10.0
    assert material_capacity_t_h(area, t_ha) == pytest.approx(material, rel=1e-12)


@pytest.mark.published
@pytest.mark.check(model="pace.capacity", source="iowa-a3-24")
@pytest.mark.parametrize(
    ("feet", "mile_h", "efficiency", "acres_h"),
    [
        (40, 6, 0.70, 20.4),
        (60, 6, 0.68, 29.7),
        (60, 12, 0.68, 59.3),
        (80, 6, 0.68, 39.6),
        (80, 12, 0.68, 79.1),
        (15, 5, 0.63, 5.7),
        (20, 6, 0.63, 9.2),
        (30, 6, 0.60, 13.1),
        (36, 5, 0.60, 13.1),
        (45, 5, 0.60, 16.4),
        (50, 6, 0.70, 25.5),
        (10, 5, 0.63, 3.8),
    ],
)
def test_rows_of_a_printed_table(
    feet: float, mile_h: float, efficiency: float, acres_h: float
) -> None:
    """Acres an hour of the spreaders in Iowa A3-24 (PM 696), to its last printed digit."""
    found = field_capacity_ac_h(mile_h, feet, efficiency)
    assert found == pytest.approx(acres_h, abs=0.0501)  # printed to one decimal


@pytest.mark.published
def test_the_divisor_of_extension_tables() -> None:
    """12 ft at 6 mph and 75 % are 12 x 6 x 0.75 / 8.25 = 6.545 acres an hour.

    Source: University of Kentucky AEN-73 (feet x miles an hour / 8.25); 8.25 is 43,560 / 5,280.
    """
    assert field_capacity_ac_h(6.0, 12.0, 0.75) == pytest.approx(6.545, abs=5e-4)
    assert field_capacity_ac_h(6.0, 12.0, 1.0) == pytest.approx(12 * 6 / 8.25, rel=1e-9)


@pytest.mark.published
@pytest.mark.check(model="pace.capacity", source="progressive-forage-capacity")
@pytest.mark.parametrize(("efficiency", "acres_h"), [(1.0, 18.2), (0.80, 14.5), (0.60, 10.9)])
def test_thirty_feet_at_five_miles(efficiency: float, acres_h: float) -> None:
    """30 ft at 5 mph: 18.2 acres an hour in theory, 14.5 and 10.9 at 80 and 60 % (Progressive
    Forage, field equipment efficiency versus capacity).
    """
    found = field_capacity_ac_h(5.0, 30.0, efficiency)
    assert found == pytest.approx(acres_h, abs=0.0501)  # printed to one decimal


@pytest.mark.derived
def test_short_tons() -> None:
    """A tonne is 1.1023 short tons of 2000 lb."""
    assert short_ton_per_h(10.0) == pytest.approx(11.0231, abs=1e-4)


@pytest.mark.own
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0, 1e9])
def test_what_cannot_be_is_refused(bad: float) -> None:
    """Each argument refuses NaN, infinity, negative and absurd values by its name."""
    with pytest.raises(BadInput, match="speed_m_s"):
        field_capacity_ha_h(bad, 6.0, 0.7)
    with pytest.raises(BadInput, match="width_m"):
        field_capacity_ha_h(2.0, bad, 0.7)
    with pytest.raises(BadInput, match="efficiency_frac"):
        field_capacity_ha_h(2.0, 6.0, bad)
    with pytest.raises(BadInput, match="area_ha_h"):
        material_capacity_t_h(bad, 5.0)
    with pytest.raises(BadInput, match="yield_t_ha"):
        material_capacity_t_h(3.0, bad)
