"""Heating hay, fire and preservatives."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "purdue-hay-temperatures",
        Strength.PUBLISHED,
        "Purdue Extension (Burbrink, after Johnson), 2022 and 2024, in local newspapers: stored "
        "hay at 125, 150, 160, 175, 190 and 200 F; hay up to 20 % moisture in small, 18 % in large "
        "round, 17 % in large rectangular bales; most fires two to four weeks after stacking.",
    ),
    Source(
        "penn-state-hay-temperatures",
        Strength.PUBLISHED,
        "Hall, Penn State Extension, as reported by the press: stacks at 125, 150, 160, 175 and "
        "190 F; wet hot bales before moving them.",
    ),
    Source(
        "kentucky-hay-temperatures",
        Strength.PUBLISHED,
        "Overhults, University of Kentucky, 2004: below 130 F no fire danger, 150 F move bales, "
        "180 F fire imminent, 200 F likely present; heating one to two weeks after baling; smoke "
        "of acid-treated hay may be toxic.",
    ),
    Source(
        "mississippi-hay-temperatures",
        Strength.PUBLISHED,
        "Mississippi advice on hay fires in a local newspaper: 150 F daily, 160 F every four "
        "hours, 175 F call the fire department, 185 F hot spots, 212 F almost sure to ignite.",
    ),
    Source(
        "cornell-hay-temperatures",
        Strength.PUBLISHED,
        "Aldrich & Hallman, Cornell University, with the New York State fire service, 2009: the "
        "most cautious of several published tables, 120 to 140 F daily; its steps from 140 F on "
        "as quoted by others: twice a day, 150 F every two hours, 160 F fire department on site.",
    ),
    Source(
        "california-hay-temperatures",
        Strength.PUBLISHED,
        "California Dairy Quality Assurance Program, 2020: 130 F monitor often, 150 F take the "
        "stack apart, 160 F only with the fire service present; 17 % moisture in three-tie, 14 % "
        "in large bales.",
    ),
    Source(
        "oklahoma-hay-temperatures",
        Strength.PUBLISHED,
        "Huhnke, Oklahoma State University, 2002: check stored hay daily; below 140 F no "
        "particular problem, to 170 F no clear sign, above 180 F call the fire department.",
    ),
    Source(
        "farm-safety-hay-probe",
        Strength.PUBLISHED,
        "Extension farm safety community (ag-safety.extension.org): two people, planks across the "
        "bales, harness and lifeline; never young people.",
    ),
    Source(
        "alberta-bale-moisture",
        Strength.PUBLISHED,
        "Government of Alberta, bale moisture: safe baling moisture, size and volume by bale "
        "(round 15 to 18 %, the largest 15 %; large rectangular 12 to 16 %; small 18 to 20 %).",
    ),
    Source(
        "idaho-hay-fires",
        Strength.PUBLISHED,
        "Shewmaker, University of Idaho, strategies for preventing hay fires: most moisture 20 % "
        "in small, 16 % in mid-size, 15 % in large rectangular and 18 % in round bales; a round "
        "bale 72 in across and 60 in long holds 141 ft3.",
    ),
    Source(
        "ohio-hay-heating",
        Strength.PUBLISHED,
        "Lewandowski, Ohio State University, 2013: heating degree days are the daily highest "
        "temperature less 86 F, summed; 200 are few, quality falls fast beyond 300.",
    ),
    Source(
        "kansas-bale-heating",
        Strength.PUBLISHED,
        "Kansas State University: lucerne in large bales at 22 % moisture peaked at 128 F after "
        "2 days and at 133 F on day 11.",
    ),
    Source(
        "rankin-organic-acids",
        Strength.PUBLISHED,
        "Rankin, University of Wisconsin, preserving baled hay with organic acids: about 1 % of "
        "dry matter lost for each point of moisture lost in storage.",
    ),
    Source(
        "wisconsin-wrapped-squares",
        Strength.PUBLISHED,
        "Undersander, Wood & Foster, University of Wisconsin Extension: bales at 30 % moisture "
        "under 6 mil of film and more were back at the air's temperature in 8 to 9 days, under two "
        "1 mil layers they stayed at 105 to 110 F, unwrapped they reached 134 F.",
    ),
    Source(
        "kentucky-acid-rates",
        Strength.PUBLISHED,
        "University of Kentucky Forage News, as reported by the press: 10 lb of pure propionic "
        "acid a short ton at 20 to 25 % moisture, 20 lb at 26 to 30 %.",
    ),
    Source(
        "easson-nash-1978",
        Strength.PUBLISHED,
        "Easson & Nash, J. Stored Prod. Res. 14, 1978: 1 %, 1 to 1.5 % and 2 % propionic acid at "
        "30, 40 and 50 % moisture are at the margin (bales of 1 kg, sprayed by hand; in their "
        "first experiment less than 4 % failed at 51 %).",
    ),
    Source(
        "north-dakota-acid",
        Strength.PUBLISHED,
        "Schroeder, North Dakota State University, as reported by the press: at least 1 % "
        "propionic acid for hay of 32 % moisture.",
    ),
    Source(
        "wisconsin-round-acid",
        Strength.PUBLISHED,
        "University of Wisconsin, J. Dairy Sci., January 2012, as reported by the press: propionic "
        "acid did much less for large round bales.",
    ),
    Source(
        "inoculant-target",
        Strength.PUBLISHED,
        "Trade press on forage inoculants: 100,000 colony-forming units a gram of crop is the "
        "usual target.",
    ),
    Source(
        "propionic-density",
        Strength.PUBLISHED,
        "Chemical tables: propionic acid weighs 0.988 to 0.993 kg/l at 20 to 25 C.",
    ),
)
