"""What exact inference in fault networks is held against."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "lauritzen-1988",
        Strength.PUBLISHED,
        "Lauritzen and Spiegelhalter, J. R. Statist. Soc. B 50 (1988) 157-224: the chest clinic of "
        "eight nodes, its chances and its marginals.",
    ),
    Source(
        "pyagrum",
        Strength.REFERENCE,
        "pyAgrum (lazy propagation, its own noisy-OR), run in the tests: posteriors of random and "
        "of published networks.",
    ),
    Source(
        "pgmpy",
        Strength.REFERENCE,
        "pgmpy (variable elimination over tables), run in the tests: the same; it also ships the "
        "published networks.",
    ),
)
