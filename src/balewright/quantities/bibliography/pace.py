"""How fast bales come."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "pami-1977",
        Strength.PUBLISHED,
        "Prairie Agricultural Machinery Institute, report E0176A, 1977: hay at 225 kg/m3; 4.7 "
        "to 12.3 t/h at 8 to 10 km/h, with pickup loss the usual limit.",
    ),
    Source(
        "grisso-2020",
        Strength.PUBLISHED,
        "Grisso, Webb & Cundiff, AgriEngineering 2(4):568-580, 2020: what sets a round baler's "
        "output is yield, throughput and the time to bind and eject.",
    ),
    Source(
        "d497-memory",
        Strength.MEMORY,
        "ASAE D497.7, large round balers at 5 to 13 km/h and 55 to 75 % field efficiency, from "
        "memory.",
    ),
    Source(
        "grisso-cundiff-webb-2020",
        Strength.PUBLISHED,
        "Grisso, Cundiff & Webb, AgriEngineering 2(3):447-457, 2020, doi "
        "10.3390/agriengineering2030030: in heavy crop a round baler reaches 32.7 t/h where a "
        "large square one, which never stops, reaches 71.0; wrapping and ejecting halve it.",
    ),
    Source(
        "srivastava-2006",
        Strength.PUBLISHED,
        "Srivastava et al., Engineering Principles of Agricultural Machines, 2nd ed., ASABE 2006, "
        "eqs 15.1 and 15.2: field and material capacity.",
    ),
    Source(
        "iowa-a3-24",
        Strength.PUBLISHED,
        "Iowa State University A3-24 (PM 696), Estimating the field capacity of farm machines: "
        "table of speeds, field efficiencies and acres an hour.",
    ),
    Source(
        "kentucky-aen-73",
        Strength.PUBLISHED,
        "Hancock, Swetnam & Benson, University of Kentucky AEN-73, 1991: acres an hour are feet "
        "times miles an hour over 8.25.",
    ),
    Source(
        "progressive-forage-capacity",
        Strength.PUBLISHED,
        "Progressive Forage, field equipment efficiency versus capacity: 30 ft at 5 mph cover "
        "18.2 acres an hour, 14.5 at 80 % and 10.9 at 60 % field efficiency.",
    ),
    Source(
        "shinners-net-twine",
        Strength.PUBLISHED,
        "Shinners, University of Wisconsin, as reported by Hay & Forage Grower (Net gains): net of "
        "1.25 to 3 turns instead of 20 to 30 turns of twine made 32 % more bales an hour; a third "
        "of every hour can go into binding with twine.",
    ),
    Source(
        "missouri-g1250-output",
        Strength.PUBLISHED,
        "Hires & Ellis, University of Missouri G1250, 1987: round balers average 6 to over 20 "
        "short tons an hour.",
    ),
    Source(
        "hay-forage-baler-wrapper",
        Strength.PUBLISHED,
        "Hay & Forage Grower, double-duty balers: a baler-wrapper kept up with a baler that put "
        "out a bale every 50 s (a seller's report of one day).",
    ),
    Source(
        "minnesota-wrapping-hours",
        Strength.PUBLISHED,
        "Rudstrom, University of Minnesota Extension, the dollars and cents of bale wrapping: 1000 "
        "bales take 10 h at 100 bales an hour and 25 h at 40.",
    ),
    Source(
        "hunt-1956",
        Strength.MEMORY,
        "Hunt, Sequential arrays of waiting lines, Operations Research 4(6), 1956, from memory: "
        "two stations of equal exponential times with no room between them keep 2/3 of their "
        "rate. The same follows by hand from the mean of the later of two exponential times.",
    ),
)
