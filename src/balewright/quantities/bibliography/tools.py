"""Libraries that check ours in the tests."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "scipy-stats",
        Strength.REFERENCE,
        "scipy.stats, run in the tests: linear regression, Student's t, confidence intervals.",
    ),
)
