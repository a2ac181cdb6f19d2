"""Wrap film: layers, stretch, thickness."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "en-14932",
        Strength.STANDARD,
        "EN 14932:2018: at least six layers; pre-stretch 60 to 70 % for round bales.",
    ),
    Source(
        "uk-baleage-q14",
        Strength.PUBLISHED,
        "University of Kentucky Forages, baleage question 14: at least four layers, by 2 + 2: one "
        "turn of the bale at 50 % overlap lays two; pre-stretch 50 to 70 %; film usually 1 mil.",
    ),
    Source(
        "penn-state-baleage",
        Strength.PUBLISHED,
        "Williamson, Penn State Extension: six layers at least, eight better, half overlap; wrap "
        "within 4 h, 12 h at the outside.",
    ),
    Source(
        "real-bale",
        Strength.DERIVED,
        "Geometry of film on a surface of revolution under a turning ring; "
        "docs/models/real-bale.md.",
    ),
    Source(
        "edis-an326",
        Strength.PUBLISHED,
        "Hersom, Thrift & Yelich, University of Florida IFAS, EDIS AN326, 2016: bale sizes "
        "against a 5 x 5 ft bale.",
    ),
    Source(
        "progressive-forage-bales",
        Strength.PUBLISHED,
        "Progressive Forage, Large round bale hay storage: share of a bale's volume in its outer "
        "4 to 12 inches.",
    ),
    Source(
        "hay-forage-bale-speed",
        Strength.PUBLISHED,
        "Hay & Forage Grower, Breaking the bale storage speed limit: the outer 4 inches of a 5 ft "
        "bale hold at least 25 % of its dry matter.",
    ),
    Source(
        "ifj-film-on-film",
        Strength.PUBLISHED,
        "Irish Farmers Journal on a University of Turin study: 62 % of a bale's surface is round "
        "side; of the wrap film 48 % lies there, with binding film 58 % of all film.",
    ),
    Source(
        "stankiewicz-2019",
        Strength.PUBLISHED,
        "Stankiewicz, Agriculture 9(12):248, 2019 (abstract): least film at overlaps of 1/2, 2/3, "
        "3/4, and no tolerance there to a smaller one.",
    ),
    Source(
        "fwi-film-stress",
        Strength.PUBLISHED,
        "Farmers Weekly, 2002, reporting a film supplier's technical manager: at 70 % stretch "
        "750 mm film lies 590 to 600 mm wide, 500 mm film 390 to 400 mm; the ends of a bale "
        "carry the most layers.",
    ),
    Source(
        "field-count-rule",
        Strength.MEMORY,
        "The field's rule, from memory: count turns to the first full cover, up to the next half, "
        "half a turn more for the overlap, times half the layers.",
    ),
    Source(
        "ifj-thickness",
        Strength.PUBLISHED,
        "Irish Farmers Journal / Teagasc: four stretched layers are about 70 um thick.",
    ),
    Source(
        "penn-state-steps",
        Strength.PUBLISHED,
        "Penn State forages, steps of bale silage: 55 to 65 % moisture; 25 to 30 bales a roll.",
    ),
    Source(
        "boost-deviation-limits",
        Strength.PUBLISHED,
        "Maddock and Bristow, Boost.Math documentation, chi-squared example (2007): 95 % limits of "
        "a standard deviation by number of observations, and for the NIST gear data.",
    ),
    Source(
        "student-table",
        Strength.PUBLISHED,
        "Table 31.3, confidence limits of Student's t, of a mathematics text for physicists "
        "(figures read in a scan; by memory Riley, Hobson and Bence, Mathematical Methods).",
    ),
    Source(
        "umn-wrapping",
        Strength.PUBLISHED,
        "Rudstrom, University of Minnesota Extension, the dollars and cents of bale wrapping: "
        "80 dollars a roll of wrap; two rolls wrap 70 bales in line in five to six layers.",
    ),
)
