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
        "scipy.optimize, run in the tests: least squares, roots, search over a grid.",
    ),
    Source(
        "scipy-integrate",
        Strength.REFERENCE,
        "scipy.integrate, run in the tests: numerical integration.",
    ),
    Source(
        "shapely",
        Strength.REFERENCE,
        "shapely (GEOS), run in the tests: union and overlap of polygons in the plane.",
    ),
    Source(
        "simpy",
        Strength.REFERENCE,
        "simpy, run in the tests: discrete events as processes.",
    ),
    Source(
        "jcgm-100",
        Strength.STANDARD,
        "JCGM 100:2008, Guide to the expression of uncertainty in measurement: law of "
        "propagation; examples H.1 (end gauge) and H.2 (resistance and reactance), as worked in "
        "the documentation of the GUM Tree Calculator.",
    ),
    Source(
        "powertost",
        Strength.PUBLISHED,
        "PowerTOST (R), README: power of two one-sided t tests, e.g. 0.834680 at CV 0.2, n = 20.",
    ),
    Source(
        "umsl-t-interval",
        Strength.PUBLISHED,
        "University of Missouri-St. Louis, MTH 1320, 10.5.161: 95 % t interval of eight "
        "differences, -43.51131 to 41.01131 (R, t.test).",
    ),
)
