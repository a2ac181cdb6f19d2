"""US units beside metric ones: exact factors, and forms that lose nothing."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.quantities.errors import BadInput
from balewright.words.exact import read_exact, write_exact
from balewright.words.languages import LANGUAGES
from balewright.words.reader import Reader, Units
from balewright.words.say import say_value
from balewright.words.units import METRIC, US, unit_of

READERS = [Reader(language, units).tag for language in LANGUAGES for units in Units]
AMERICAN = Reader("en", Units.US).tag


@pytest.mark.published
@pytest.mark.parametrize(
    ("name", "held", "printed", "within"),
    [
        # FAO X5738E, appendix A: ounce 28.349 g, pound 0.454 kg, short ton 0.907 t, inch 25.4 mm,
        # mile 1.609 km, acre 0.404 ha (cut, not rounded), 5/9 after subtracting 32, 746 W.
        ("net_g", 28.349, 1.0, 2e-5),
        ("mass_kg", 0.454, 1.0, 1e-3),
        ("crop_t", 0.907, 1.0, 3e-4),
        ("gate_opening_mm", 25.4, 1.0, 2e-16),
        ("speed_km_h", 1.609, 1.0, 3e-4),
        ("oil_c", 100.0, 212.0, 0.0),
        ("need_kw", 0.746, 1.0, 5e-4),
        # ISO 31-1:1992, annex: the US gallon 3.785 412 dm³; a foot 0.3048 m.
        ("tank_l", 3.785412, 1.0, 1e-7),
        ("film_m", 0.3048, 1.0, 0.0),
        # Tables after the US Department of the Interior's metric manual: square foot
        # 9.290304e-2 m², cubic foot 2.831685e-2 m³, psi 6.894757 kPa, gallon a minute 6.309e-2 l/s.
        ("bare_m2", 0.09290304, 1.0, 1e-15),
        ("bale_m3", 0.02831685, 1.0, 1.8e-7),
        ("knife_bar", 0.06894757, 1.0, 1e-7),
        ("oil_l_min", 0.06309 * 60, 1.0, 1e-4),
        # Tables for students: mile an hour 0.44704 m/s, pound a cubic foot 16.018 kg/m³.
        ("speed_m_s", 0.44704, 1.0, 1e-15),
        ("density_kg_m3", 16.018, 1.0, 3e-5),
    ],
)
def test_us_units_are_those_of_the_tables(
    name: str, held: float, printed: float, within: float
) -> None:
    """One of each unit is what printed tables say, to half of the last digit that they print (what
    they print exactly: to a double's own rounding)."""
    unit = unit_of(name, Units.US)
    assert unit is not None
    assert unit.printed(held) == pytest.approx(printed, rel=within, abs=0.0)


@pytest.mark.derived
def test_units_made_of_others_hold_together() -> None:
    """Rates and densities follow from the units they are made of, as exact fractions."""
    ton = 1 / US["t"].scale
    assert US["t_h"].scale == US["t"].scale
    assert US["l_t"].scale == US["l"].scale * ton
    assert US["kg_t"].scale == US["kg"].scale * ton == Fraction(2)
    assert US["kg_m"].scale == US["kg"].scale / US["m"].scale
    assert US["kg_m3"].scale == US["kg"].scale / US["m"].scale ** 3
    assert US["ml"].scale == US["l"].scale * 128 / 1000
    assert US["g"].scale == US["kg"].scale * 16 / 1000
    assert US["m_s"].scale == US["km_h"].scale * METRIC["m_s"].scale


@pytest.mark.derived
@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("film_width_m", 0.75, "29.5 in"),
        ("roll_m", 1500.0, "4,920 ft"),
        ("thickness_um", 25.0, "0.98 mil"),
        ("mass_kg", 700.0, "1,540 lb"),
        ("mass_kg", 45.0, "99 lb"),
        ("knife_bar", 62.0, "899 psi"),
        ("speed_m_s", 2.5, "5.6 mph"),
        ("feed_t_h", 36.0, "39.7 tons/h"),
        ("hot_c", 71.0, "160 °F"),
        ("additive_l_t", 2.0, "0.48 gal/ton"),
        ("moisture_frac", 0.62, "62 %"),
        ("fill_s", 70.0, "70 s"),
        ("wrap_turns", 12.0, "12"),
    ],
)
def test_a_us_reader_reads_us_units(name: str, value: float, said: str) -> None:
    """Values are printed in feet, pounds, psi; shares, seconds and counts as for anybody."""
    assert say_value(name, value, AMERICAN).replace("\N{NO-BREAK SPACE}", " ") == said


@pytest.mark.law
@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from(sorted(METRIC)),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(READERS),
)
def test_a_form_gives_back_the_very_value(end: str, value: float, tag: str) -> None:
    """Written in anybody's unit and language and read back, a value is the same to the last bit."""
    name = f"value_{end}"
    written = write_exact(name, value, tag)
    assert read_exact(name, written, tag) == value


@pytest.mark.law
@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from(sorted(METRIC)),
    st.decimals(min_value=-99999, max_value=99999, places=4),
    st.sampled_from(READERS),
)
def test_a_typed_number_stays_that_number(end: str, number: object, tag: str) -> None:
    """A number of up to nine digits that someone typed is shown again as it was typed."""
    mark = "." if tag.startswith("en") else ","
    typed = f"{number:f}".replace(".", mark)
    shown = write_exact(f"value_{end}", read_exact(f"value_{end}", typed, tag), tag)
    assert Fraction(shown.replace(",", ".")) == Fraction(typed.replace(",", "."))


@pytest.mark.own
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_only_numbers_are_written(value: float) -> None:
    """No form shows a number that is none."""
    with pytest.raises(BadInput, match="mass_kg: needs a finite number"):
        write_exact("mass_kg", value, AMERICAN)


@pytest.mark.own
@pytest.mark.parametrize(
    ("text", "english", "german"),
    [
        ("1500", 1500.0, 1500.0),
        (" -0.5 ", -0.5, -0.5),
        ("1 500", 1500.0, 1500.0),
        ("1\N{NARROW NO-BREAK SPACE}500", 1500.0, 1500.0),
        ("1,500", 1500.0, 1.5),
        ("1.500", 1.5, None),
        ("1,5", None, 1.5),
        ("1,500.25", 1500.25, None),
        ("\N{MINUS SIGN}3", -3.0, -3.0),
        ("5.", 5.0, 5.0),
        *(
            (bad, None, None)
            for bad in ("", "1e3", "nan", "inf", "--3", "3 4", "\uff11", "9" * 400)
        ),
    ],
)
def test_a_number_is_read_in_one_way_or_not_at_all(
    text: str, english: float | None, german: float | None
) -> None:
    """A mark that could mean two things is asked about, not guessed."""
    for tag, meant in (("en", english), ("de", german)):
        if meant is None:
            with pytest.raises(BadInput, match="roll_m: needs"):
                read_exact("roll_m", text, tag)
        else:
            assert read_exact("roll_m", text, tag) == meant
