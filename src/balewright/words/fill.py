"""A message with its values printed into it.

What may stand in braces: `{mass_kg}`, a value; `{bales:bale|bales}`, a count with the word that
goes with it, in as many forms as the language has; `{66:c}`, a fixed quantity in the sentence
itself, so that it too is read in the reader's own units.
"""

from __future__ import annotations

import string
from collections.abc import Mapping

from balewright.words.reader import reader_of
from balewright.words.values import COUNT_DIGITS, SPACE, round_number, say_value, write_number


def placeholders(message: str) -> frozenset[str]:
    """Names of the values a message wants."""
    names = (name for _, name, _, _ in string.Formatter().parse(message) if name)
    return frozenset(name for name in names if not _is_number(name))


def quantities(message: str) -> frozenset[str]:
    """Fixed quantities of a message, `66:c`."""
    parts = string.Formatter().parse(message)
    return frozenset(f"{name}:{spec}" for _, name, spec, _ in parts if name and _is_number(name))


def fill(message: str, values: Mapping[str, object], said: Mapping[str, str], language: str) -> str:
    """The message with its values. said: values that are texts by now, by name; values: the same
    as they came, for counts. KeyError for a value that is not given."""
    filled = []
    for plain, name, spec, _ in string.Formatter().parse(message):
        filled.append(plain)
        if not name:
            continue
        if _is_number(name):
            filled.append(say_value(f"fixed_{spec}", float(name), language))
        elif spec:
            filled.append(_counted(values[name], spec, said[name], language))
        else:
            filled.append(said[name])
    return "".join(filled)


def _counted(value: object, forms: str, said: str, language: str) -> str:
    tongue = reader_of(language).tongue
    if isinstance(value, bool) or not isinstance(value, int | float):
        return f"{said} {forms.rsplit('|', maxsplit=1)[-1]}"
    number = round_number(value, COUNT_DIGITS)
    return f"{write_number(number, tongue)}{SPACE}{tongue.form(number, forms)}"


def _is_number(name: str) -> bool:
    return name[0].isdigit()
