"""Wrap film: layers, stretch, thickness."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "en-14932",
        Strength.STANDARD,
        "EN 14932:2018: at least six layers; pre-stretch 60 to 70 % for round bales.",
    ),
    Source(
        "uk-baleage-q14",
        Strength.PUBLISHED,
        "University of Kentucky Forages, baleage question 14: at least four layers, pre-stretch "
        "50 to 70 %.",
    ),
    Source(
        "penn-state-baleage",
        Strength.PUBLISHED,
        "Williamson, Penn State Extension: six layers at least, eight better, half overlap; wrap "
        "within 4 h, 12 h at the outside.",
    ),
    Source(
        "ifj-thickness",
        Strength.PUBLISHED,
        "Irish Farmers Journal / Teagasc: four stretched layers are about 70 um thick.",
    ),
    Source(
        "penn-state-steps",
        Strength.PUBLISHED,
        "Penn State forages, steps of bale silage: 55 to 65 % moisture; 25 to 30 bales a roll.",
    ),
)
