"""What charts, run lengths and tests of all windows are held against."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "nist-cusum",
        Strength.MEMORY,
        "NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3, from memory: worked example of "
        "a CUSUM, target 325, k 0.3175, h 4.1959, alarm at group 14 with 4.94.",
    ),
    Source(
        "montgomery-cusum",
        Strength.MEMORY,
        "Montgomery, Introduction to Statistical Quality Control, chapter on CUSUM and EWMA, from "
        "memory: worked example (alarm at 29) and table of run lengths for k = 0.5, h = 4 and 5.",
    ),
)
