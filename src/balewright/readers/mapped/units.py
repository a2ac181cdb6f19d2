"""Units that other programs write, and what one of each is in the bale table's own.

Every factor is exact, as a fraction of whole numbers: international pound, foot and mile, standard
gravity, the US gallon of 231 cubic inches and the imperial one of 4.54609 litres, as NIST SP 811
(2008), appendix B, lists them.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.quantities import si


@dataclass(frozen=True)
class MappedUnit:
    """One unit: held = written * scale + offset, in the base of its dimension.

    key: as maps name it; dimension: what it measures; signs: how it is written, lower case;
    slope_of_degrees: the number is an angle and the held one its tangent.
    """

    key: str
    dimension: str
    scale: Fraction
    signs: tuple[str, ...]
    offset: Fraction = Fraction(0)
    slope_of_degrees: bool = False


def _of(number: float) -> Fraction:
    """A defined factor, taken as the decimal it is written with."""
    return Fraction(str(number))


_LB: Final = _of(si.KG_PER_LB)
_INCH: Final = _of(si.M_PER_INCH)
_FT: Final = _of(si.M_PER_FT)
_LBF: Final = _of(si.N_PER_LBF)
_GAL: Final = _of(si.L_PER_GAL)
_UK_GAL: Final = Fraction(454609, 100_000)
_MILE: Final = _of(si.M_PER_MILE)
_PSI: Final = _LBF / _INCH**2
_ONE: Final = Fraction(1)
_CENT: Final = Fraction(1, 100)
_MILLI: Final = Fraction(1, 1000)

_TABLE: Final = (
    MappedUnit("kg", "mass", _ONE, ("kg", "kgs", "kilo", "kilogram", "kilograms", "kilogramm")),
    MappedUnit("g", "mass", _MILLI, ("g", "gram", "gramm", "grams")),
    MappedUnit("t", "mass", Fraction(1000), ("t", "to", "tonne", "tonnes", "tonnen", "metric ton")),
    MappedUnit("dt", "mass", Fraction(100), ("dt", "q", "quintal", "quintaux", "dezitonnen")),
    MappedUnit("lb", "mass", _LB, ("lb", "lbs", "lb.", "lbs.", "pound", "pounds")),
    MappedUnit("oz", "mass", _LB / 16, ("oz", "ounce", "ounces")),
    MappedUnit("us_ton", "mass", 2000 * _LB, ("short ton", "short tons", "us ton", "us tons",
                                              "ton", "tons", "tn")),
    MappedUnit("uk_ton", "mass", 2240 * _LB, ("long ton", "long tons", "uk ton", "uk tons")),
    MappedUnit("m", "length", _ONE, ("m", "metre", "metres", "meter", "meters", "mètres", "mtr")),
    MappedUnit("cm", "length", _CENT, ("cm", "centimetre", "centimeter")),
    MappedUnit("mm", "length", _MILLI, ("mm", "millimetre", "millimeter")),
    MappedUnit("in", "length", _INCH, ("in", "in.", "inch", "inches", '"', "″", "zoll", "cal")),
    MappedUnit("ft", "length", _FT, ("ft", "ft.", "foot", "feet", "'", "′", "fuß")),
    MappedUnit("yd", "length", 3 * _FT, ("yd", "yd.", "yds", "yard", "yards")),
    MappedUnit("frac", "share", _ONE, ("frac", "fraction", "0-1", "0..1")),
    MappedUnit("%", "share", _CENT, ("%", "percent", "prozent", "pct", "pour cent", "procent",
                                     "% wb", "%wb", "% h2o")),
    MappedUnit("%_dry_matter", "share", -_CENT, ("% dm", "%dm", "% ts", "%ts", "% ms", "% sm",
                                                 "% ds"), _ONE),
    MappedUnit("deg", "share", _ONE, ("deg", "°", "degree", "degrees", "grad"),
               slope_of_degrees=True),
    MappedUnit("bar", "pressure", _ONE, ("bar", "bars")),
    MappedUnit("psi", "pressure", _PSI / 100_000, ("psi", "lbf/in2", "lb/in2")),
    MappedUnit("kpa", "pressure", _CENT, ("kpa",)),
    MappedUnit("mpa", "pressure", Fraction(10), ("mpa",)),
    MappedUnit("pa", "pressure", Fraction(1, 100_000), ("pa",)),
    MappedUnit("c", "temperature", _ONE, ("°c", "c", "degc", "deg c", "celsius", "ºc")),
    MappedUnit("f", "temperature", Fraction(5, 9), ("°f", "f", "degf", "deg f", "fahrenheit", "ºf"),
               Fraction(-160, 9)),
    MappedUnit("k", "temperature", _ONE, ("k", "kelvin"), Fraction(-27315, 100)),
    MappedUnit("m_s", "speed", _ONE, ("m/s", "mps", "m s-1")),
    MappedUnit("km_h", "speed", 1 / _of(si.KM_H_PER_M_S), ("km/h", "kmh", "kph", "km/std")),
    MappedUnit("mph", "speed", _MILE / 3600, ("mph", "mi/h", "miles/h")),
    MappedUnit("rpm", "turning", _ONE, ("rpm", "1/min", "u/min", "tr/min", "min-1", "min⁻¹",
                                        "obr/min", "omw/min", "t/min")),
    MappedUnit("l", "volume", _ONE, ("l", "ltr", "litre", "litres", "liter", "liters", "litr")),
    MappedUnit("ml", "volume", _MILLI, ("ml", "millilitre", "milliliter")),
    MappedUnit("us_gal", "volume", _GAL, ("gal", "gals", "gallon", "gallons", "us gal", "gal us")),
    MappedUnit("uk_gal", "volume", _UK_GAL, ("uk gal", "imp gal", "imperial gallon", "gal uk")),
    MappedUnit("us_fl_oz", "volume", _GAL / 128, ("fl oz", "fl. oz", "floz", "us fl oz")),
    MappedUnit("nm", "torque", _ONE, ("nm", "n·m", "n m", "n*m")),
    MappedUnit("lbf_ft", "torque", _LBF * _FT, ("lbf·ft", "lb·ft", "lb-ft", "lb ft", "ft-lb",
                                                "ft lb", "ft-lbf", "ft·lb", "lbft")),
    MappedUnit("v", "voltage", _ONE, ("v", "volt", "volts")),
    MappedUnit("mv", "voltage", _MILLI, ("mv", "millivolt")),
)  # fmt: skip
UNITS: Final = MappingProxyType({unit.key: unit for unit in _TABLE})

_BASES: Final = {
    "kg": ("mass", _ONE),
    "m": ("length", _ONE),
    "mm": ("length", _MILLI),
    "frac": ("share", _ONE),
    "bar": ("pressure", _ONE),
    "c": ("temperature", _ONE),
    "m_s": ("speed", _ONE),
    "rpm": ("turning", _ONE),
    "l": ("volume", _ONE),
    "nm": ("torque", _ONE),
    "v": ("voltage", _ONE),
}
"""What a target's name ends in: its dimension, and how much of the dimension's base it is."""


def own_unit(target: str) -> str | None:
    """The key of a target column's own unit, None where it counts or has none."""
    ends = (
        ("m_s", target.rpartition("_")[2])
        if target.endswith("_m_s")
        else (target.rpartition("_")[2],)
    )
    return next((end for end in ends if end in _BASES and "_" in target), None)


def units_for(target: str) -> tuple[str, ...]:
    """Keys of the units that a target's numbers may be written in, its own first."""
    own = own_unit(target)
    if own is None:
        return ()
    dimension = _BASES[own][0]
    fits = [
        unit.key
        for unit in _TABLE
        if unit.dimension == dimension
        and (not unit.slope_of_degrees or target in ("pitch_frac", "roll_frac"))
        and (unit.key != "%_dry_matter" or target.startswith("moisture"))
    ]
    return (own, *(key for key in fits if key != own))


def factor(target: str, unit: str) -> tuple[Fraction, Fraction]:
    """(scale, offset) with held = written * scale + offset; unit "" is the target's own."""
    own = own_unit(target)
    if own is None or unit in ("", own):
        return _ONE, Fraction(0)
    base = _BASES[own][1]
    return UNITS[unit].scale / base, UNITS[unit].offset / base


def convert(target: str, unit: str, written: NDArray[Any]) -> NDArray[np.float64]:
    """Numbers as written -> held, within two units in the last place of the exact product.

    target: a column of the bale table; unit: a key of UNITS that fits it, "" for its own.
    """
    numbers = np.asarray(written, dtype=np.float64)
    if unit and UNITS[unit].slope_of_degrees:
        return np.asarray(np.tan(np.deg2rad(numbers)), dtype=np.float64)
    scale, offset = factor(target, unit)
    if offset:
        # One fraction over a common ground: cancels exactly where the unit's zero does.
        ground = offset.denominator * scale.denominator
        up, add = int(scale * ground), int(offset * ground)
        return np.asarray((numbers * up + add) / ground, dtype=np.float64)
    if scale == 1:
        return numbers
    if scale.numerator == 1:
        return np.asarray(numbers / scale.denominator, dtype=np.float64)
    return np.asarray(numbers * float(scale), dtype=np.float64)
