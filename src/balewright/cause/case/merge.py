"""Entries from several places made one: the union by id, whatever came first and how often."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from balewright.cause.case.entry import Entry, content_of, order_of


@dataclass(frozen=True)
class Conflict:
    """One id under which two things were written. Both are kept; neither is believed more.

    entries: at least two, in the order of entries.
    """

    id: str
    entries: tuple[Entry, ...]


def merge(*sources: Iterable[Entry]) -> tuple[Entry, ...]:
    """Every entry once, in the order of `order_of`. The same whatever the order and number of
    the sources; an id with two contents keeps both."""
    found = {content_of(one): one for source in sources for one in source}
    return tuple(sorted(found.values(), key=order_of))


def conflicts_in(entries: Iterable[Entry]) -> tuple[Conflict, ...]:
    """Ids with more than one content, by id. entries: merged."""
    by_id: dict[str, list[Entry]] = {}
    for one in entries:
        by_id.setdefault(one.id, []).append(one)
    return tuple(Conflict(key, tuple(by_id[key])) for key in sorted(by_id) if len(by_id[key]) > 1)
