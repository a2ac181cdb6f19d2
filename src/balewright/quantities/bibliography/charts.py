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
        "memory: worked example (alarm at 29), table of run lengths for k = 0.5, h = 4 and 5, "
        "limits of EWMA charts for a run length of 500.",
    ),
    Source(
        "hawkins-limits",
        Strength.MEMORY,
        "Hawkins, Journal of Quality Technology 25:248-256, 1993, from memory (as Montgomery "
        "prints them): limits of two-sided CUSUMs for a run length of 370.",
    ),
    Source(
        "nist-ewma",
        Strength.PUBLISHED,
        "NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4, doi 10.18434/M32189: worked "
        "example of an EWMA with its limits (its 20 values from memory).",
    ),
    Source(
        "lucas-saccucci-1990",
        Strength.PUBLISHED,
        "Lucas and Saccucci, Technometrics 32:1-12, 1990, table 3: run lengths of EWMA charts.",
    ),
    Source(
        "lucas-1985-counts",
        Strength.REFERENCE,
        "Program IAcsSPCR for R, worked example in its manual, of Lucas's CUSUM of counts "
        "(Technometrics 27:129-144, 1985): h 6, k 2, mean 1.88: 37.2; 5.49 after a rise by 0.9627.",
    ),
    Source(
        "spc-r",
        Strength.REFERENCE,
        "Program spc 0.6.7 for R 4.2.2 (Knoth), run by hand; its figures stand in the tests: run "
        "lengths of CUSUM, EWMA and CUSUM of counts, limits, distribution of the run length.",
    ),
    Source(
        "siegmund-yakir-nu",
        Strength.MEMORY,
        "Siegmund and Yakir, The Statistics of Gene Mapping, 2007: approximation of the overshoot "
        "function nu of a normal walk (from memory).",
    ),
    Source(
        "turing-change-points",
        Strength.PUBLISHED,
        "van den Burg and Williams, An evaluation of change point detection algorithms, "
        "arXiv 2003.06222, 2020: series marked by people (quality control 1 to 3), covering, and "
        "F1 with a margin of 5.",
    ),
    Source(
        "nab-temperature",
        Strength.PUBLISHED,
        "Lavin and Ahmad, Evaluating real-time anomaly detection algorithms, 2015: temperature of "
        "a machine up to its failure, with the stretches its engineer marked.",
    ),
    Source(
        "nile-1898",
        Strength.MEMORY,
        "Cobb, Biometrika 65:243-251, 1978: the flow of the Nile fell after 1898 (data from "
        "memory, which the two published means bear out).",
    ),
)
