"""Advice to the people who set a baler: rows, speed, ground, stacks."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "pami-round-baling",
        Strength.PUBLISHED,
        "Prairie Agricultural Machinery Institute with Alberta Agriculture, guide to round "
        "baling: rows as wide as the pick-up or a little wider, else under half of it and "
        "weaving; in between the bale becomes a barrel.",
    ),
    Source(
        "progressive-windrow-width",
        Strength.PUBLISHED,
        "Progressive Forage, the rake makes the bale: a row a few inches wider than the chamber "
        "(52 in for 48 in).",
    ),
    Source(
        "progressive-silage-balers",
        Strength.PUBLISHED,
        "Progressive Forage, 2007, machinery for baled silage: wet crop in bales of 42 to 48 in, "
        "as tight as is practical, and slower than in hay.",
    ),
    Source(
        "hancock-row-density",
        Strength.PUBLISHED,
        "Hancock, University of Georgia, as reported by the press: a fast baler and a thick row "
        "make a looser bale than a thin row does.",
    ),
    Source(
        "wisconsin-silage-bales",
        Strength.PUBLISHED,
        "Clark, University of Wisconsin Extension, making quality silage bales: 40 to 55 % "
        "moisture; hay of 20 to 35 % should be wrapped; 6 mil of film at least, 8 better; "
        "preservative alone only under 25 %.",
    ),
    Source(
        "umn-wrapping-hay",
        Strength.PUBLISHED,
        "University of Minnesota Extension, wrapping hay: 40 to 55 % moisture; hay of 20 to 35 % "
        "should be wrapped and may ferment little; 6 mil of film at least, 8 better.",
    ),
    Source(
        "penn-state-bale-stacks",
        Strength.PUBLISHED,
        "Penn State forages, storage of bale silage: above 75 % moisture one bale high, 65 to "
        "75 % two, below 65 % three.",
    ),
    Source(
        "ag-safety-round-bales",
        Strength.PUBLISHED,
        "Farm and ranch safety community (ag-safety.extension.org), baling and handling round "
        "bales: turn the bale across the slope before it leaves, drive slowly on hilly ground, "
        "carry a dry powder extinguisher because dust burns.",
    ),
)
