"""One value to text: the end of its name says the unit.

Physical units are printed with the number. Counts (turns, layers, bales, rolls) are printed bare,
because the sentence or the column around them says what is counted.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

from balewright.quantities.si import KM_H_PER_M_S, MICROSECONDS_PER_S

#: A no-break space, so that a number and its unit stay on one line.
SPACE: Final = "\N{NO-BREAK SPACE}"
UNKNOWN: Final = "unknown"
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class _Unit:
    """sign: what stands after the number; factor: from the held value to the printed one;
    digits: most decimals below 10, below 100, and from there on.
    """

    sign: str
    factor: float = 1.0
    digits: tuple[int, int, int] = (1, 0, 0)


_UNITS: Final = {
    "frac": _Unit("%", 100.0, (1, 0, 0)),
    "fraction": _Unit("%", 100.0, (1, 0, 0)),
    "mm": _Unit("mm"),
    "um": _Unit("µm"),
    "m": _Unit("m", 1.0, (2, 1, 0)),
    "m2": _Unit("m²", 1.0, (2, 1, 0)),
    "m3": _Unit("m³", 1.0, (2, 1, 0)),
    "kg": _Unit("kg", 1.0, (2, 1, 0)),
    "g": _Unit("g"),
    "t": _Unit("t", 1.0, (2, 1, 0)),
    "l": _Unit("l", 1.0, (2, 1, 0)),
    "ml": _Unit("ml"),
    "bar": _Unit("bar"),
    "kw": _Unit("kW"),
    "l_min": _Unit("l/min"),
    "l_h": _Unit("l/h", 1.0, (1, 1, 0)),
    "l_t": _Unit("l/t", 1.0, (2, 1, 0)),
    "kg_t": _Unit("kg/t", 1.0, (2, 1, 0)),
    "s": _Unit("s"),
    "min": _Unit("min"),
    "h": _Unit("h"),
    "c": _Unit("°C", 1.0, (1, 1, 0)),
    "v": _Unit("V", 1.0, (1, 1, 0)),
    "nm": _Unit("Nm"),
    "rpm": _Unit("rpm"),
    "deg": _Unit("°", 1.0, (1, 1, 1)),
    "kg_m": _Unit("kg/m", 1.0, (2, 1, 0)),
    "kg_m3": _Unit("kg/m³", 1.0, (0, 0, 0)),
    "g_m2": _Unit("g/m²"),
    "t_h": _Unit("t/h", 1.0, (1, 1, 0)),
    "bales_h": _Unit("bales/h", 1.0, (1, 0, 0)),
    "m_s": _Unit("km/h", KM_H_PER_M_S, (1, 1, 0)),
    "km_h": _Unit("km/h", 1.0, (1, 1, 0)),
    "ml_bale": _Unit("ml a bale"),
    "m_bale": _Unit("m a bale", 1.0, (2, 1, 0)),
    "g_bale": _Unit("g a bale", 1.0, (0, 0, 0)),
    "months": _Unit("months"),
    "days": _Unit("days"),
    "hours": _Unit("hours"),
    "minutes": _Unit("minutes"),
}
_LONGEST: Final = 3
"""Parts of the longest unit in a name (`kg_m3` has two)."""
_ONE: Final = {"months": "month", "days": "day", "hours": "hour", "minutes": "minute"}


def say_value(name: str, value: object, language: str = "en") -> str:
    """The value as people read it: `say_value("gate_opening_mm", 30.0)` is "30 mm".

    name: its end is the unit (`_mm`, `_frac` as per cent, `_m_s` as km/h, `_us` as UTC time);
    value: number, text, True or False; None is "unknown". language: "en".
    """
    del language  # one catalogue so far; the argument is the door for more
    if isinstance(value, bool) or not isinstance(value, int | float):
        return _say_word(value)
    if not math.isfinite(value):
        return UNKNOWN
    parts = name.split("_")
    if parts[-1] == "us" and isinstance(value, int):
        return _utc(value)
    unit = next(
        (
            _UNITS[end]
            for length in range(_LONGEST, 0, -1)
            if (end := "_".join(parts[-length:])) in _UNITS and len(parts) > length
        ),
        None,
    )
    if unit is None:
        return say_number(value, (2, 1, 0))
    number = say_number(value * unit.factor, unit.digits)
    sign = _ONE.get(unit.sign, unit.sign) if number == "1" else unit.sign
    return f"{number}{SPACE}{sign}"


def say_number(value: float, digits: tuple[int, int, int]) -> str:
    """A number without closing zeros; digits: most decimals below 10, below 100, from there on."""
    size = abs(value)
    decimals = digits[0] if size < 10 else digits[1] if size < 100 else digits[2]
    said = f"{value:,.{decimals}f}"
    if "." in said:
        said = said.rstrip("0").rstrip(".")
    return "0" if said == "-0" else said


def _say_word(value: object) -> str:
    if value is None:
        return UNKNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _utc(value_us: int) -> str:
    seconds, rest = divmod(value_us, MICROSECONDS_PER_S)
    moment = _EPOCH + timedelta(seconds=seconds, microseconds=rest)
    return moment.strftime("%Y-%m-%d %H:%M") + f"{SPACE}UTC"
