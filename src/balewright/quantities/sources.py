"""Where numbers come from: one bibliography, cited by key from code, sheets and tests."""

from __future__ import annotations

from balewright.quantities.bibliography import (
    advice,
    binding,
    charts,
    cost,
    crops,
    discovery,
    dry_matter,
    film,
    heating,
    inference,
    keeping,
    ours,
    pace,
    power,
    rates,
    safety,
    tools,
    traces,
    troubleshooting,
)
from balewright.quantities.source import Source, Strength

__all__ = ["Source", "Strength", "all_sources", "source"]

_ENTRIES: tuple[Source, ...] = (
    *(*ours.ENTRIES, *film.ENTRIES, *binding.ENTRIES, *crops.ENTRIES, *keeping.ENTRIES),
    *(*dry_matter.ENTRIES, *heating.ENTRIES, *pace.ENTRIES, *power.ENTRIES, *cost.ENTRIES),
    *(*safety.ENTRIES, *tools.ENTRIES, *advice.ENTRIES, *traces.ENTRIES, *discovery.ENTRIES),
    *(*charts.ENTRIES, *rates.ENTRIES, *inference.ENTRIES, *troubleshooting.ENTRIES),
)
_BY_KEY = {entry.key: entry for entry in _ENTRIES}


def source(key: str) -> Source:
    """The bibliography entry under `key`; KeyError when there is none (a fault of ours)."""
    return _BY_KEY[key]


def all_sources() -> tuple[Source, ...]:
    """Every entry, in the order the documentation lists them."""
    return _ENTRIES
