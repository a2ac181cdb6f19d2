"""For whom words are made: a language and a system of units, written as one language tag.

The tag is that of RFC 5646 with the measurement system of its Unicode extension (RFC 6067, key
`ms`): `de` is German with metric units, `en-u-ms-ussystem` English with US units. Every function
of this room that has an argument `language` takes such a tag.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.words.languages import LANGUAGES, SOURCE, Tongue, tongue

_LONGEST_TAG: Final = 64
_MEASURES: Final = "-u-ms-"


class Units(StrEnum):
    """Systems of units; the value is what people type, `tag` what stands in a language tag."""

    METRIC = "metric"
    US = "us"

    @property
    def tag(self) -> str:
        """The system as a language tag has it."""
        return "metric" if self is Units.METRIC else "ussystem"


@dataclass(frozen=True)
class Reader:
    """language: a code of LANGUAGES; units: in which values are printed. BadInput for others."""

    language: str = SOURCE
    units: Units = Units.METRIC

    def __post_init__(self) -> None:
        tongue(self.language)

    @property
    def tag(self) -> str:
        """What is handed on as `language`."""
        return (
            self.language
            if self.units is Units.METRIC
            else f"{self.language}{_MEASURES}{self.units.tag}"
        )

    @property
    def tongue(self) -> Tongue:
        """The language with its messages."""
        return tongue(self.language)


@lru_cache(maxsize=64)
def reader_of(tag: str) -> Reader:
    """The reader that a language tag names.

    Raises BadInput for a language without a catalogue and for a measurement system not printed.
    """
    language, measures, system = tag.partition(_MEASURES)
    if not measures:
        return Reader(language)
    known = {units.tag: units for units in Units}
    if system not in known:
        need = f"one of {', '.join(known)}"
        raise BadInput(Fault("units", need, repr(system)[:40], "Use one of them."))
    return Reader(language, known[system])


def units_named(word: str) -> Units:
    """The units of a word that people type, `metric` or `us`; BadInput for another."""
    try:
        return Units(word.strip().lower())
    except ValueError:
        need = f"one of {', '.join(Units)}"
        raise BadInput(Fault("units", need, repr(word)[:40], "Use one of them.")) from None


def choose_reader(language: str = "", units: str = "", accept: str = "") -> Reader:
    """The reader of a page that anyone may open. What was asked for wins where there is such a
    language or unit; then the first of `accept` (an Accept-Language header) that there is; then
    English and metric. English as in the US is read with US units. Never refuses anything.
    """
    wanted = [tag for tag in (language.strip().lower(), *_accepted(accept)) if tag]
    chosen = next((tag for tag in wanted if tag.partition("-")[0] in LANGUAGES), SOURCE)
    code = chosen.partition("-")[0]
    if units.strip().lower() in tuple(Units):
        return Reader(code, Units(units.strip().lower()))
    if _MEASURES in chosen:
        return Reader(code, Units.US if chosen.endswith(Units.US.tag) else Units.METRIC)
    return Reader(code, Units.US if chosen == "en-us" else Units.METRIC)


def _accepted(accept: str) -> Iterator[str]:
    """Language tags of the header, best first; what cannot be read is left out."""
    found = []
    for place, part in enumerate(accept[:1000].split(",")):
        tag, _, weight = part.strip().lower().partition(";q=")
        try:
            quality = float(weight) if weight else 1.0
        except ValueError:
            continue
        if 0.0 < quality <= 1.0 and len(tag) <= _LONGEST_TAG:
            found.append((-quality, place, tag))
    yield from (tag for _, _, tag in sorted(found))
