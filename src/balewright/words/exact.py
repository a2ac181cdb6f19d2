"""Numbers in forms: a held value written in its reader's unit and read back, without loss.

`say_value` rounds for people; here nothing is lost. What is written is the shortest decimal that
gives the held value back to the last bit, and a number that someone typed stays that number.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.words.languages import Tongue
from balewright.words.reader import reader_of
from balewright.words.units import Unit, unit_of

_BARE: Final = Unit("")
_MOST_DIGITS: Final = 40
_SHOWN: Final = 60
_LONGEST: Final = 1300
_GROUPS: Final = re.compile(r"(?<=\d)[\u00a0\u202f ](?=\d{3}(?!\d))")
_COMMAS: Final = re.compile(r"-?\d{1,3}(,\d{3})+(\.\d+)?")
_NUMBER: Final = re.compile(r"-?\d+(\.\d*)?|-?\.\d+")
_LIKE_A_GROUP: Final = re.compile(r"-?\d{1,3}\.\d{3}")


def write_exact(name: str, value: float, language: str = "en") -> str:
    """The number of a held value in its reader's unit, without the unit and without group marks.

    name: ends in the unit of value (finite); language: a tag of `words/reader`. BadInput otherwise.
    """
    if not math.isfinite(value):
        raise BadInput(Fault(name, "a finite number", repr(value), "Leave it empty."))
    reader = reader_of(language)
    unit = unit_of(name, reader.units) or _BARE
    exact = unit.exact(value)
    text = next(
        (
            written
            for digits in range(1, _MOST_DIGITS + 1)
            if unit.held(Fraction(written := _to_digits(exact, digits))) == value
        ),
        None,
    )
    # Beside an offset (0 °C is 32 °F) a tiny value needs more digits than anybody types.
    text = _in_full(exact) if text is None else text
    return text.replace(".", reader.tongue.decimal_mark)


def read_exact(name: str, text: str, language: str = "en") -> float:
    """The held value of a number typed in its reader's unit, to the nearest double.

    Spaces between thousands are taken, and the reader's own decimal mark; a point too, unless it
    could as well stand between thousands. Raises BadInput for what is no number or too large.
    """
    reader = reader_of(language)
    unit = unit_of(name, reader.units) or _BARE
    plain = _plain(text, reader.tongue)
    if plain is None:
        cure = f"Write it as {write_exact('n', 2.5, reader.language)}, without its unit."
        raise BadInput(Fault(name, "one number", repr(text)[:_SHOWN], cure))
    value = unit.held(Fraction(plain))
    if not math.isfinite(value):
        raise BadInput(Fault(name, "a number that can be", repr(text)[:_SHOWN], "Look again."))
    return value


def _plain(text: str, tongue: Tongue) -> str | None:
    """The number with a point and no group marks, None where it cannot be read in one way."""
    given = text.strip()
    if len(given) > _LONGEST:
        return None
    given = _GROUPS.sub("", given).replace("\N{MINUS SIGN}", "-")
    if tongue.decimal_mark == ",":
        if ("," in given and "." in given) or _LIKE_A_GROUP.fullmatch(given):
            return None
        given = given.replace(",", ".")
    elif _COMMAS.fullmatch(given):
        given = given.replace(",", "")
    return given if _NUMBER.fullmatch(given) and given.isascii() else None


def _to_digits(exact: Fraction, digits: int) -> str:
    """The fraction rounded to so many digits that count, as a plain decimal."""
    with localcontext() as context:
        context.prec = digits
        rounded = Decimal(exact.numerator) / Decimal(exact.denominator)
    text = f"{rounded:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _in_full(exact: Fraction) -> str:
    """A fraction whose denominator has no primes but 2 and 5, with all its digits."""
    with localcontext() as context:
        context.prec = 1200
        text = f"{Decimal(exact.numerator) / Decimal(exact.denominator):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
