"""Safe working practice."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "hse-round-bales",
        Strength.PUBLISHED,
        "UK Health and Safety Executive leaflet on round bales, as reported by the trade press.",
    ),
    Source(
        "no-safety-source",
        Strength.MEMORY,
        "Safe working practice (engine off, standstill, gate locked), from memory.",
    ),
)
