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
    Source(
        "numpy-financial",
        Strength.REFERENCE,
        "numpy-financial, run in the tests: payment, interest and principal of an annuity.",
    ),
    Source(
        "scipy-optimize",
        Strength.REFERENCE,
        "scipy.optimize, run in the tests: bounded least squares, root finding.",
    ),
    Source(
        "scipy-integrate",
        Strength.REFERENCE,
        "scipy.integrate, run in the tests: numerical integration.",
    ),
    Source(
        "simpy",
        Strength.REFERENCE,
        "simpy, run in the tests: discrete events as processes.",
    ),
)
