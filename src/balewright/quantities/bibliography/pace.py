"""How fast bales come."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "pami-1977",
        Strength.PUBLISHED,
        "Prairie Agricultural Machinery Institute, report E0176A, 1977: hay at 225 kg/m3; 8 to "
        "10 km/h, with pickup loss the usual limit.",
    ),
    Source(
        "grisso-2020",
        Strength.PUBLISHED,
        "Grisso, Webb & Cundiff, AgriEngineering 2(4):568-580, 2020: what sets a round baler's "
        "output is yield, throughput and the time to bind and eject.",
    ),
    Source(
        "d497-memory",
        Strength.MEMORY,
        "ASAE D497.7, large round balers at 5 to 13 km/h, from memory.",
    ),
)
