"""Units by the end of a value's name: how each is held, and how metric and US readers read it.

Every factor is exact, as a fraction of whole numbers: a number typed in a reader's unit becomes
the nearest number in the held one, and back.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from balewright.quantities import si
from balewright.words.reader import Units


@dataclass(frozen=True)
class Unit:
    """sign: what stands after the number, or the key of a message where it is a word
    (`unit.months`); scale: printed units in one held unit; offset: printed value of held zero;
    digits: most decimals below 10, below 100, below 1000 and from there on (-1: to full tens).
    """

    sign: str
    scale: Fraction = Fraction(1)
    digits: tuple[int, ...] = (1, 0, 0)
    offset: Fraction = Fraction(0)

    def printed(self, held: float) -> float:
        """A held value in this unit, rounded to the nearest double."""
        return float(self.exact(held)) if self.scale != 1 or self.offset else held

    def exact(self, held: float) -> Fraction:
        """A held value in this unit, not rounded at all."""
        return Fraction(held) * self.scale + self.offset

    def held(self, printed: Fraction) -> float:
        """The nearest held value of a number in this unit; infinite where no double is near."""
        try:
            return float((printed - self.offset) / self.scale)
        except OverflowError:
            return math.inf


def _of(number: float) -> Fraction:
    """A defined factor, taken as the decimal it is written with."""
    return Fraction(str(number))


_FT: Final = _of(si.M_PER_FT)
_INCH: Final = _of(si.M_PER_INCH)
_LB: Final = _of(si.KG_PER_LB)
_GAL: Final = _of(si.L_PER_GAL)
_LBF: Final = _of(si.N_PER_LBF)
_TON: Final = 2000 * _LB / 1000
_OZ: Final = _LB / 16 * 1000
_FL_OZ: Final = _GAL / 128 * 1000
_PSI_BAR: Final = _LBF / _INCH**2 / 100_000
_HP_KW: Final = 550 * _FT * _LBF / 1000
_KM_H: Final = _of(si.KM_H_PER_M_S)
_MPH: Final = 3600 / _of(si.M_PER_MILE)
_FINE: Final = (2, 1, 0)
_TENTH: Final = (1, 1, 0)
_TO_TENS: Final = (1, 0, 0, -1)
"""A round metric figure is no 1,543 lb."""

METRIC: Final = {
    "frac": Unit("%", Fraction(100)),
    "fraction": Unit("%", Fraction(100)),
    "mm": Unit("mm"),
    "um": Unit("µm"),
    "m": Unit("m", digits=_FINE),
    "m2": Unit("m²", digits=_FINE),
    "m3": Unit("m³", digits=_FINE),
    "kg": Unit("kg", digits=_FINE),
    "g": Unit("g"),
    "t": Unit("t", digits=_FINE),
    "l": Unit("l", digits=_FINE),
    "ml": Unit("ml"),
    "bar": Unit("bar"),
    "kw": Unit("kW"),
    "l_min": Unit("l/min"),
    "l_h": Unit("l/h", digits=_TENTH),
    "l_t": Unit("l/t", digits=_FINE),
    "kg_t": Unit("kg/t", digits=_FINE),
    "s": Unit("s"),
    "min": Unit("min"),
    "h": Unit("h"),
    "c": Unit("°C", digits=_TENTH),
    "v": Unit("V", digits=_TENTH),
    "nm": Unit("Nm"),
    "rpm": Unit("unit.rpm"),
    "deg": Unit("°", digits=(1, 1, 1)),
    "kg_m": Unit("kg/m", digits=_FINE),
    "kg_m3": Unit("kg/m³", digits=(0, 0, 0)),
    "g_m2": Unit("g/m²"),
    "t_h": Unit("t/h", digits=_TENTH),
    "bales_h": Unit("unit.bales_h"),
    "m_s": Unit("km/h", _KM_H, _TENTH),
    "km_h": Unit("km/h", digits=_TENTH),
    "ml_bale": Unit("unit.ml_bale"),
    "m_bale": Unit("unit.m_bale", digits=_FINE),
    "g_bale": Unit("unit.g_bale", digits=(0, 0, 0)),
    "months": Unit("unit.months"),
    "days": Unit("unit.days"),
    "hours": Unit("unit.hours"),
    "minutes": Unit("unit.minutes"),
}
_FEET: Final = Unit("ft", 1 / _FT, (*_FINE, -1))
_INCHES: Final = Unit("in", 1 / _INCH, (2, 1, 1))
US: Final = METRIC | {
    "mm": Unit("in", 1 / (_INCH * 1000), (2, 1, 1)),
    "um": Unit("mil", 1 / (_INCH * 1000), (2, 1, 0)),
    "m": _FEET,
    "m2": Unit("ft²", 1 / _FT**2, _FINE),
    "m3": Unit("ft³", 1 / _FT**3, _FINE),
    "kg": Unit("lb", 1 / _LB, _TO_TENS),
    "g": Unit("oz", 1 / _OZ, _FINE),
    "t": Unit("unit.us_ton", 1 / _TON, _FINE),
    "l": Unit("gal", 1 / _GAL, _FINE),
    "ml": Unit("fl oz", 1 / _FL_OZ, _FINE),
    "bar": Unit("psi", 1 / _PSI_BAR, _TO_TENS),
    "kw": Unit("hp", 1 / _HP_KW),
    "l_min": Unit("gal/min", 1 / _GAL, _TENTH),
    "l_h": Unit("gal/h", 1 / _GAL, _TENTH),
    "l_t": Unit("unit.gal_ton", _TON / _GAL, (2, 1, 0)),
    "kg_t": Unit("unit.lb_ton", _TON / _LB, _FINE),
    "c": Unit("°F", Fraction(9, 5), (1, 1, 0), Fraction(32)),
    "nm": Unit("lbf·ft", 1 / (_LBF * _FT)),
    "kg_m": Unit("lb/ft", _FT / _LB, _FINE),
    "kg_m3": Unit("lb/ft³", _FT**3 / _LB, (1, 1, 0)),
    "g_m2": Unit("oz/ft²", _FT**2 / _OZ, _FINE),
    "t_h": Unit("unit.us_ton_h", 1 / _TON, _TENTH),
    "m_s": Unit("mph", _MPH, _TENTH),
    "km_h": Unit("mph", _MPH / _KM_H, _TENTH),
    "ml_bale": Unit("unit.fl_oz_bale", 1 / _FL_OZ, _FINE),
    "m_bale": Unit("unit.ft_bale", 1 / _FT, _FINE),
    "g_bale": Unit("unit.oz_bale", 1 / _OZ, (1, 0, 0)),
}  # fmt: skip
_BY_INCHES: Final = ("width", "diameter", "left", "right", "height", "strip", "narrow", "wide",
                     "fat", "cliff", "cone", "row", "sliver", "length", "spread")  # fmt: skip
"""Metres of these are read in inches, of everything else in feet."""
_LONGEST: Final = 3
"""Most parts of a unit in a name that are looked at (`kg_m3` has two)."""


def unit_of(name: str, units: Units = Units.METRIC) -> Unit | None:
    """The unit in which a reader reads values of this name, None for counts and bare names."""
    table = METRIC if units is Units.METRIC else US
    parts = name.split("_")
    for length in range(min(_LONGEST, len(parts) - 1), 0, -1):
        end = "_".join(parts[-length:])
        if end in table:
            inches = end == "m" and units is Units.US and parts[-2] in _BY_INCHES
            return _INCHES if inches else table[end]
    return None
