"""A reason to a sentence: the message of its key, with its values printed into it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from balewright.quantities.reason import Reason
from balewright.words.fill import fill, placeholders
from balewright.words.languages import LANGUAGES
from balewright.words.reader import reader_of
from balewright.words.values import SPACE, UNKNOWN, say_number, say_value

__all__ = ["LANGUAGES", "SPACE", "UNKNOWN", "MissingMessage", "catalogue", "placeholders", "say",
           "say_number", "say_value"]  # fmt: skip

_COLUMNS: Final = "columns"
"""A value of this name lists columns of the bale table; it is said in trade words."""
_MEASURES: Final = "measures"
"""Likewise one that lists what is watched for change."""


class MissingMessage(LookupError):
    """A key without a message, or a message whose value is not given: a fault of ours."""


def catalogue(language: str = "en") -> Mapping[str, str]:
    """Every message of a language by its key, in English where it is not translated.

    language: a tag of `words/reader`. Raises BadInput for a language there is none of.
    """
    return reader_of(language).tongue.messages


def say(reason: Reason, language: str = "en") -> str:
    """The reason as a sentence in the language and units of a reader (a tag of `words/reader`).

    Raises MissingMessage when the catalogue has no such key or the reason lacks a value.
    """
    message = catalogue(language).get(reason.key)
    if message is None:
        raise MissingMessage(f"no message for {reason.key!r}")
    said = {
        name: _say_named(_LISTS[name], str(value), language)
        if name in _LISTS
        else say_value(name, value, language)
        for name, value in reason.values
    }
    missing = placeholders(message) - said.keys()
    if missing:
        raise MissingMessage(f"{reason.key!r} lacks {', '.join(sorted(missing))}")
    return fill(message, dict(reason.values), said, language)


_LISTS: Final = {_COLUMNS: "column", _MEASURES: "watched"}


def _say_named(family: str, names: str, language: str) -> str:
    """Columns or measures in the order given; a name that is none stays as it is."""
    known = catalogue(language)
    return ", ".join(known.get(f"{family}.{name}", name) for name in names.split(", "))
