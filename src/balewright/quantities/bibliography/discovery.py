"""What the rate of false alarms over a fleet is held against."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "benjamini-hochberg-1995",
        Strength.PUBLISHED,
        "Benjamini and Hochberg, J. R. Statist. Soc. B 57 (1995) 289-300: fifteen hypotheses of "
        "one trial, of which four are rejected at a false discovery rate of 0.05; read as scipy's "
        "manual reprints them.",
    ),
    Source(
        "scipy-discovery",
        Strength.REFERENCE,
        "scipy.stats.false_discovery_control, run in the tests: adjusted chances by Benjamini and "
        "Hochberg, and by Benjamini and Yekutieli.",
    ),
)
