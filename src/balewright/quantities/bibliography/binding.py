"""Net and film that bind a bale, and chopping."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "ifj-net",
        Strength.PUBLISHED,
        "Irish Farmers Journal: at least 2.25 turns of net on heavy silage bales.",
    ),
    Source(
        "shinners-net",
        Strength.PUBLISHED,
        "Shinners, University of Wisconsin, as reported by the press: net 1.25 to 3 turns, twine "
        "20 to 30.",
    ),
    Source(
        "chopping-spread",
        Strength.PUBLISHED,
        "Chopping makes bales denser by 4 % (Italian trials), 10 % (Ireland) or 10 to 15 % "
        "(Teagasc advice): sources disagree.",
    ),
    Source(
        "ifj-film-binding",
        Strength.PUBLISHED,
        "Irish Farmers Journal, 2014: film binding and four layers cover the round side almost "
        "like six layers.",
    ),
)
