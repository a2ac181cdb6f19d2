"""Units of other programs: published factors, and exact arithmetic over the whole range."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.readers.mapped.units import UNITS, convert, factor, own_unit, units_for
from balewright.records.columns import COLUMNS, Kind


@pytest.mark.published
@pytest.mark.parametrize(
    ("target", "unit", "held"),
    [
        ("mass_kg", "lb", "0.45359237"),
        ("mass_kg", "us_ton", "907.1847"),
        ("mass_kg", "uk_ton", "1016.047"),
        ("mass_kg", "oz", "0.02834952"),
        ("film_m", "ft", "0.3048"),
        ("film_m", "yd", "0.9144"),
        ("film_m", "in", "0.0254"),
        ("gate_opening_mm", "in", "25.4"),
        ("chamber_bar", "psi", "0.06894757"),
        ("chamber_bar", "kpa", "0.01"),
        ("speed_m_s", "mph", "0.44704"),
        ("speed_m_s", "km_h", "0.2777778"),
        ("additive_l", "us_gal", "3.785412"),
        ("additive_l", "uk_gal", "4.54609"),
        ("additive_l", "us_fl_oz", "0.02957353"),
        ("pto_torque_nm", "lbf_ft", "1.355818"),
    ],
)
def test_factors_are_the_published_ones(target: str, unit: str, held: str) -> None:
    """One of a unit is what NIST SP 811, appendix B.8, prints, to its last printed digit."""
    scale, offset = factor(target, unit)
    digits = len(held.partition(".")[2])
    assert offset == 0
    assert abs(scale - Fraction(held)) <= Fraction(1, 2 * 10**digits)


@pytest.mark.published
@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (98.6, 37.0)]
)
def test_temperatures_have_an_offset(fahrenheit: float, celsius: float) -> None:
    """t/°C = (t/°F - 32) / 1.8, as NIST SP 811, appendix B.8, has it; 0 °C is 273.15 K."""
    assert convert("oil_c", "f", np.array([fahrenheit]))[0] == pytest.approx(celsius, abs=1e-12)
    assert convert("oil_c", "k", np.array([273.15]))[0] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.derived
def test_dry_matter_and_degrees_are_turned_round() -> None:
    """45 % dry matter is 55 % moisture; a slope of 45° is 1 over 1."""
    assert convert("moisture_frac", "%_dry_matter", np.array([45.0]))[0] == pytest.approx(0.55)
    assert convert("pitch_frac", "deg", np.array([45.0]))[0] == pytest.approx(1.0)
    assert "deg" not in units_for("moisture_frac")


@pytest.mark.law
@given(
    st.sampled_from([(one.name, key) for one in COLUMNS for key in units_for(one.name)]),
    st.floats(-1e6, 1e6),
)
def test_converting_is_exact_to_two_places(pair: tuple[str, str], written: float) -> None:
    """Every unit of every column: within two units in the last place of the largest part."""
    target, unit = pair
    if UNITS[unit].slope_of_degrees:
        return
    scale, offset = factor(target, unit)
    exact = Fraction(written) * scale + offset
    largest = max(abs(Fraction(written) * scale), abs(offset))
    given_back = Fraction(float(convert(target, unit, np.array([written]))[0]))
    assert abs(given_back - exact) <= 2 * Fraction(float(np.spacing(float(largest) or 1e-300)))


@pytest.mark.law
def test_every_measured_column_has_its_own_unit() -> None:
    """A column whose name ends in a unit can be given in it; counts and dials have none."""
    without = {one.name for one in COLUMNS if one.kind is Kind.FLOAT and not own_unit(one.name)}
    assert without == {
        *("binding_turns", "density_dial", "wrap_turns", "wrap_bale_turns", "said_layers"),
        *("roll_lost_turn", "lat", "lon"),
    }
    signs = [sign for unit in UNITS.values() for sign in unit.signs]
    assert len(signs) == len(set(signs))
    assert all(sign == sign.lower() for sign in signs)
