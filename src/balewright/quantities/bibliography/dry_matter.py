"""Measuring dry matter."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "saskatchewan-microwave",
        Strength.PUBLISHED,
        "Government of Saskatchewan, moisture by microwave: 100 g, three to four minutes, then "
        "minute by minute until less than one gram is lost.",
    ),
    Source(
        "kentucky-microwave",
        Strength.PUBLISHED,
        "University of Kentucky Forages, baleage question 27 (after Southern Forages, 4th ed.): "
        "heat for one to two minutes until the last two weights are the same; after charring the "
        "weight before counts; a cup of water in the oven.",
    ),
    Source(
        "jacobsen-microwave",
        Strength.PUBLISHED,
        "Jacobsen, dry matter of wet feeds by microwave (farmllc.org): 100 g wet, 35 g dry are 35 "
        "%; a glass of water in the corner; after charring the weight before counts.",
    ),
    Source(
        "victoria-microwave",
        Strength.PUBLISHED,
        "Straw moisture by microwave, after the Victorian state department, 2015: (101-85)/101 is "
        "16 %, good to 3 points.",
    ),
    Source(
        "hay-moisture-sheet",
        Strength.PUBLISHED,
        "Hay moisture by microwave, a public worksheet: 100 g to 86 g is 14 %; repeat until less "
        "than 1 g is lost.",
    ),
    Source(
        "ohio-air-fryer",
        Strength.PUBLISHED,
        "Jennings, measuring forage moisture content using an air fryer, Ohio State University, as "
        "reported by the press in May 2022: 100 g to 80 g is 20 %, 90 g to 70 g is 22 %.",
    ),
    Source(
        "goeser-dry-matter",
        Strength.PUBLISHED,
        "Goeser, rethinking dry matter (trade press): 100 g to 35 g is 35 %; more than water is "
        "driven off silage.",
    ),
    Source(
        "ward-moisture",
        Strength.PUBLISHED,
        "Laboratory sheet on moisture conversion: 2 tons at 75 % moisture are 0.59 tons at 15 %.",
    ),
    Source(
        "pnw-259",
        Strength.PUBLISHED,
        "Schneider & Gamroth, Buying and Selling Based on Moisture Content, Pacific Northwest "
        "Extension PNW 259, 1988: forage at 67 % moisture is worth 0.366 of its weight in hay of "
        "10 %.",
    ),
    Source(
        "georgia-sb58",
        Strength.PUBLISHED,
        "Bernard, University of Georgia SB 58: 25 lb of dry matter for each of 100 cows are 7,140 "
        "lb at 35 % dry matter; at 32 % the same load is 2.2 lb a cow short.",
    ),
    Source(
        "extension-as-is",
        Strength.PUBLISHED,
        "extension.org, page 39706 on forage analysis as is: 25 lb of dry matter are 27.7 lb of "
        "hay at 10 % moisture.",
    ),
    Source(
        "yaremcio-2021",
        Strength.PUBLISHED,
        "Yaremcio, Bale Weights and Moisture Content can be Variable, a local newspaper of "
        "Alberta, November 2021: a bale of 1,400 lb at 15 % moisture holds 1,190 lb dry feed and "
        "210 lb water.",
    ),
    Source(
        "mississippi-sample-adequacy",
        Strength.PUBLISHED,
        "Mississippi Administrative Code 11-8-2, addendum J: ten hay samples, t of 1.383, one "
        "tenth of the mean: 33 samples are needed.",
    ),
    Source(
        "nist-mavro",
        Strength.PUBLISHED,
        "NIST Statistical Reference Datasets, univariate, Mavro: certified mean and standard "
        "deviation of 50 values.",
    ),
    Source(
        "nist-numacc4",
        Strength.PUBLISHED,
        "NIST Statistical Reference Datasets, univariate, NumAcc4: 1001 values about 10 000 000 "
        "with a certified mean of 10 000 000.2 and standard deviation of 0.1 (values as public "
        "copies have them).",
    ),
    Source(
        "nist-norris",
        Strength.PUBLISHED,
        "NIST Statistical Reference Datasets, linear regression, Norris: certified line through 36 "
        "calibration points.",
    ),
    Source(
        "montgomery-propellant",
        Strength.PUBLISHED,
        "Montgomery, Peck & Vining, Introduction to Linear Regression Analysis, examples 2.1 and "
        "2.7: line, errors and 95 % prediction interval of 20 points.",
    ),
    Source(
        "asabe-s358-memory",
        Strength.MEMORY,
        "ASABE S358, from memory: 24 h at 103 C for moisture alone.",
    ),
    Source(
        "volatile-loss-memory",
        Strength.MEMORY,
        "Silage loses volatiles in the oven, from memory: dry matter reads 1 to 2 points low in "
        "wet silage; Weissbach & Kuhla: true = 2.08 + 0.975 x oven, per cent, grass silage.",
    ),
)
