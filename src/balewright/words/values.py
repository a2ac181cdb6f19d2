"""One value to text: the end of its name says the unit, the reader which one is printed.

Physical units are printed with the number. Counts (turns, layers, bales, rolls) are printed bare,
because the sentence or the column around them says what is counted.
"""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Final

from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.words.languages import Tongue
from balewright.words.reader import reader_of
from balewright.words.sizes import say_bytes
from balewright.words.units import unit_of

#: A no-break space, so that a number and its unit stay on one line.
SPACE: Final = "\N{NO-BREAK SPACE}"
UNKNOWN: Final = "unknown"
COUNT_DIGITS: Final = (2, 1, 0)
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


def say_value(name: str, value: object, language: str = "en") -> str:
    """The value as its reader reads it: `say_value("gate_opening_mm", 30.0)` is "30 mm", and
    `say_value("gate_opening_mm", 30.0, "de-u-ms-ussystem")` is "1,18 in".

    name: its end is the unit (`_mm`, `_frac` as per cent, `_m_s` as km/h or mph, `_us` as UTC
    time, `_bytes` as a size, `_until` as a day); value: number, text, True or False; None is
    "unknown". language: a tag of `words/reader`.
    """
    reader = reader_of(language)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return _say_word(name, value, reader.tongue)
    if not math.isfinite(value):
        return reader.tongue.messages["word.unknown"]
    if name.endswith("_us") and isinstance(value, int):
        return _utc(value)
    if name.endswith("_bytes") and isinstance(value, int):
        return say_bytes(value)
    unit = unit_of(name, reader.units)
    if unit is None:
        return say_number(value, COUNT_DIGITS, language)
    rounded = round_number(unit.printed(value), unit.digits)
    sign = unit.sign
    if sign.startswith("unit."):
        sign = reader.tongue.form(rounded, reader.tongue.messages[sign])
    said = sign.replace(" ", SPACE)
    return f"{write_number(rounded, reader.tongue)}{SPACE}{said}"


def say_number(value: float, digits: tuple[int, ...], language: str = "en") -> str:
    """A number without closing zeros; digits: most decimals below 10, below 100, from there on."""
    return write_number(round_number(value, digits), reader_of(language).tongue)


def round_number(value: float, digits: tuple[int, ...]) -> Decimal:
    """The number that is printed: to that many decimals, without closing zeros; digits: most
    decimals below 10, below 100, and so on, the last one from there on; -1 is to full tens."""
    size = abs(value)
    place = next((at for at in range(len(digits) - 1) if size < 10.0 ** (at + 1)), len(digits) - 1)
    decimals = digits[place]
    if decimals < 0:
        return Decimal(f"{round(value, decimals):.0f}")
    text = f"{value:.{decimals}f}"
    return Decimal(text.rstrip("0").rstrip(".") if "." in text else text)


def write_number(number: Decimal, tongue: Tongue) -> str:
    """The number with the marks of a language, none of its digits lost."""
    whole, _, rest = f"{abs(number):f}".partition(".")
    if len(whole) >= tongue.group_from:
        whole = f"{int(whole):,}".replace(",", tongue.group_mark)
    said = f"{whole}{tongue.decimal_mark}{rest}" if rest else whole
    return f"-{said}" if number < 0 else said


def _say_word(name: str, value: object, tongue: Tongue) -> str:
    if value is None:
        return tongue.messages["word.unknown"]
    if isinstance(value, bool):
        return tongue.messages["word.yes" if value else "word.no"]
    text = str(value)
    if name.endswith("_until"):
        return _day(text, tongue)
    return tongue.messages.get(f"term.{name}.{text.replace(' ', '_')}", text)


def _day(text: str, tongue: Tongue) -> str:
    try:
        return date.fromisoformat(text).strftime(tongue.date)
    except ValueError:
        return text


def _utc(value_us: int) -> str:
    seconds, rest = divmod(value_us, MICROSECONDS_PER_S)
    moment = _EPOCH + timedelta(seconds=seconds, microseconds=rest)
    return moment.strftime("%Y-%m-%d %H:%M") + f"{SPACE}UTC"
