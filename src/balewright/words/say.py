"""A reason to a sentence: the message of its key, with its values printed into it."""

from __future__ import annotations

import string
from collections.abc import Mapping
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason
from balewright.words import english
from balewright.words.values import SPACE, UNKNOWN, say_number, say_value

__all__ = ["LANGUAGES", "SPACE", "UNKNOWN", "MissingMessage", "catalogue", "placeholders", "say",
           "say_number", "say_value"]  # fmt: skip

LANGUAGES: Final = ("en",)
_COLUMNS: Final = "columns"
"""A value of this name lists columns of the bale table; it is said in trade words."""


class MissingMessage(LookupError):
    """A key without a message, or a message whose value is not given: a fault of ours."""


def catalogue(language: str = "en") -> Mapping[str, str]:
    """Every message of a language by its key. Raises BadInput for a language there is none of."""
    if language not in LANGUAGES:
        raise BadInput(
            Fault("language", f"one of {', '.join(LANGUAGES)}", repr(language), "Use one of them.")
        )
    return english.messages()


def placeholders(message: str) -> frozenset[str]:
    """Names of the values a message wants."""
    return frozenset(name for _, name, _, _ in string.Formatter().parse(message) if name)


def say(reason: Reason, language: str = "en") -> str:
    """The reason as a sentence of that language.

    Raises MissingMessage when the catalogue has no such key or the reason lacks a value.
    """
    message = catalogue(language).get(reason.key)
    if message is None:
        raise MissingMessage(f"no message for {reason.key!r}")
    said = {
        name: _say_columns(str(value), language)
        if name == _COLUMNS
        else say_value(name, value, language)
        for name, value in reason.values
    }
    missing = placeholders(message) - said.keys()
    if missing:
        raise MissingMessage(f"{reason.key!r} lacks {', '.join(sorted(missing))}")
    return message.format_map(said)


def _say_columns(names: str, language: str) -> str:
    """Columns in the order given; a name that is no column stays as it is."""
    known = catalogue(language)
    return ", ".join(known.get(f"column.{name}", name) for name in names.split(", "))
