"""What a sheet says of its own translation, while no native speaker has read the catalogue."""

from __future__ import annotations

from collections.abc import Iterable

from balewright.quantities.reason import Reason, because
from balewright.words.languages import SOURCE
from balewright.words.reader import Reader, reader_of
from balewright.words.say import say


def review_note(language: str = SOURCE) -> str:
    """The small print under a sheet in that language; empty where it has been reviewed."""
    if reader_of(language).tongue.reviewed:
        return ""
    return say(because("reader.not_reviewed"), language)


def english_beside(cautions: Iterable[Reason], language: str = SOURCE) -> tuple[str, ...]:
    """Each caution as it was first written, to stand beside a translation that nobody has
    reviewed: a slip there can hurt someone. In the reader's units; none where it is reviewed."""
    reader = reader_of(language)
    if reader.tongue.reviewed:
        return ()
    tag = Reader(SOURCE, reader.units).tag
    return tuple(say(caution, tag) for caution in cautions)
