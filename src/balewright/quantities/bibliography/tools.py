"""Libraries that check ours in the tests."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "scipy-stats",
        Strength.REFERENCE,
        "scipy.stats, run in the tests: linear regression, exact laws of sums, noncentral t, "
        "cut-off distributions, binomial shares, the test of two means. Where our code takes a "
        "quantile from scipy.special, scipy.stats is no witness of it and is not counted.",
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
        "shapely (GEOS), run in the tests: union, overlap and wearing down of polygons in the "
        "plane, points in polygons with holes, distance to a border, area.",
    ),
    Source(
        "simpy",
        Strength.REFERENCE,
        "simpy, run in the tests: discrete events as processes.",
    ),
    Source(
        "pandas",
        Strength.REFERENCE,
        "pandas, run in the tests: text tables with decimal commas and thousands signs.",
    ),
    Source(
        "openpyxl",
        Strength.REFERENCE,
        "openpyxl, run in the tests: cells of spreadsheets, row by row.",
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
        "newcombe-1998",
        Strength.PUBLISHED,
        "Newcombe, Stat. Med. 17:857-872, 1998, Table I, score method: 81 of 263, 15 of 148, 0 of "
        "20 and 1 of 29, to four places (the figures as a public test suite repeats them).",
    ),
    Source(
        "nair-median-ranks",
        Strength.PUBLISHED,
        "Jarrard, Scientific Methods (on Wikisource), table 5 after Nair 1940: rank k of the "
        "limits that hold the median with 95 % and more, for 6 to 65 readings.",
    ),
    Source(
        "statpsych-median",
        Strength.PUBLISHED,
        "statpsych (R), reference page of ci.median: 19 readings, median 20.7, 95 % limits 10.8 "
        "and 30.9.",
    ),
    Source(
        "alloy-adhesion",
        Strength.PUBLISHED,
        "Montgomery & Runger, Applied Statistics and Probability for Engineers, examples 8-4 and "
        "8-8: 22 loads at failure, mean 13.71, deviation 3.55, 95 % prediction interval 6.16 to "
        "21.26.",
    ),
    Source(
        "seven-containers",
        Strength.PUBLISHED,
        "An exercise of textbooks of statistics, as solved on public pages: seven containers of "
        "9.8, 10.2, 10.4, 9.8, 10.0, 10.2 and 9.6 l, 95 % t interval 9.738 to 10.262.",
    ),
    Source(
        "umsl-t-interval",
        Strength.PUBLISHED,
        "University of Missouri-St. Louis, MTH 1320, 10.5.161: 95 % t interval of eight "
        "differences, -43.51131 to 41.01131 (R, t.test).",
    ),
    Source(
        "isoxml-py",
        Strength.REFERENCE,
        "isoxml (Python) 0.0.4, run in the tests: typed reading of ISO 11783-10 task data, version "
        "4, with the lengths, patterns and bounds of its attributes.",
    ),
    Source(
        "iso-11783-11",
        Strength.STANDARD,
        "ISO 11783-11 data dictionary, entries 111, 396, 475 and 532 as published: setpoint bale "
        "size mm (length of a square bale, diameter of a round one), speed mm/s, bale hydraulic "
        "pressure Pa, applied preservative per yield mass mm3/kg; one a step each.",
    ),
)
