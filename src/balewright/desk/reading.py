"""For whom a page is being made: its language and units, for as long as it is made.

The desk itself is English and metric. A page that anyone may open (a shared sheet) is made for
whoever asks for it; every word and value of it then comes through `reading()`.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final

from django.http import HttpRequest

from balewright.quantities.reason import Reason
from balewright.words.languages import SOURCE
from balewright.words.reader import Reader, choose_reader, reader_of
from balewright.words.say import say

_READING: Final[ContextVar[str]] = ContextVar("reading", default=SOURCE)


def reading() -> str:
    """The tag of the present page's reader, to be handed on as `language`."""
    return _READING.get()


@contextmanager
def read_by(reader: Reader) -> Iterator[None]:
    """Everything said inside is said to that reader."""
    before = _READING.set(reader.tag)
    try:
        yield
    finally:
        _READING.reset(before)


def reader_asking(request: HttpRequest) -> Reader:
    """Whoever opens a page: what the address asks for (`?language=de&units=us`), else what the
    browser accepts. Nothing is kept of it, and no cookie is set."""
    return choose_reader(
        request.GET.get("language", ""),
        request.GET.get("units", ""),
        request.headers.get("Accept-Language", ""),
    )


def say_here(reason: Reason) -> str:
    """A reason to the present page's reader."""
    return say(reason, reading())


def is_source() -> bool:
    """Whether the page is in the language everything is written in first."""
    return reader_of(reading()).language == SOURCE
