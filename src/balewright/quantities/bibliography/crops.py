"""Moisture windows and densities of crops."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "coblentz-2018",
        Strength.PUBLISHED,
        "Coblentz & Akins, J. Dairy Sci. 101:4075-4092, 2018, doi 10.3168/jds.2017-13708: baled "
        "silage at 45 to 55 % moisture.",
    ),
    Source(
        "florida-ag181",
        Strength.PUBLISHED,
        "University of Florida IFAS AG181: hay 13 to 15 %, baled silage 40 to 60 % moisture.",
    ),
    Source(
        "ohio-agf010",
        Strength.PUBLISHED,
        "Ohio State University AGF-010-95: baled silage 40 to 60 % moisture, never drier.",
    ),
    Source(
        "minnesota-baleage",
        Strength.PUBLISHED,
        "Paulson, University of Minnesota Extension: baled silage 50 to 65 %, wrapped hay 15 to "
        "30 % moisture.",
    ),
    Source(
        "georgia-baleage",
        Strength.PUBLISHED,
        "Hancock, University of Georgia: baled silage best at 50 to 65 % moisture.",
    ),
    Source(
        "purdue-hay-fire",
        Strength.PUBLISHED,
        "Purdue Extension, as reported by the press: large round bales of hay up to 18 % moisture.",
    ),
    Source(
        "mississippi-hay-fire",
        Strength.PUBLISHED,
        "Mississippi advice, as reported by the press: large bales not above 16 to 18 % moisture.",
    ),
    Source(
        "wisconsin-propionic",
        Strength.PUBLISHED,
        "Coblentz, Undersander & Bertram, University of Wisconsin: small bales 18 to 20 %, larger "
        "ones 3 to 5 points drier.",
    ),
    Source(
        "fas-bales-2021",
        Strength.DERIVED,
        "SRUC / Farm Advisory Service Scotland, 2021: four farms' bales (mass and DM); the density "
        "is worked out for 1.20 x 1.20 m, a size the source does not state.",
    ),
    Source(
        "missouri-g1250",
        Strength.PUBLISHED,
        "Hires & Ellis, University of Missouri G1250, 1987: whole hay bales 10 to 17 lb/ft3.",
    ),
    Source(
        "hay-density-memory",
        Strength.MEMORY,
        "Round hay at 9 to 12 lb DM/ft3 (144 to 192 kg/m3), from memory.",
    ),
    Source(
        "texas-e319",
        Strength.PUBLISHED,
        "Banta, Texas A&M AgriLife E-319, 2012: 5 x 5 ft at 11.21 lb/ft3 is 1,100 lb; other sizes "
        "563 to 1,584 lb; 4 x 4 ft is 51 %, 5 x 6 ft 144 % of it.",
    ),
    Source(
        "rankin-bale-weights",
        Strength.PUBLISHED,
        "Rankin, Hay & Forage Grower, Known bale weights are critical this year: a bale 4 ft wide "
        "and 5 ft across has 80 %, one 5 ft wide and 4 ft across 64 % of the volume of 5 x 5 ft.",
    ),
    Source(
        "irish-examiner-bales",
        Strength.PUBLISHED,
        "Irish Examiner: a 4 x 4 ft hay bale of 240 kg holds 204 kg DM; a silage bale of 650 kg at "
        "30 % DM holds 190 kg (and 200 kg, it says too).",
    ),
    Source(
        "ifj-greenfield",
        Strength.PUBLISHED,
        "Irish Farmers Journal, a research farm: 900 bales at 220 kg DM are about 200 t.",
    ),
    Source(
        "wisconsin-bale-guess",
        Strength.PUBLISHED,
        "University of Wisconsin Extension, as reported by the press: guessed masses of bales "
        "missed the actual average by 100 lb (45 kg).",
    ),
    Source(
        "kerryman-2017",
        Strength.PUBLISHED,
        "The Kerryman, 2017: wrapped silage bales weigh 350 to 1,000 kg.",
    ),
)
