"""How wrapped bales keep."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source(
        "keles-2009",
        Strength.PUBLISHED,
        "Keles, O'Kiely, Lenehan & Forristal, Irish J. Agric. Food Res. 48:21-34, 2009: "
        "two layers fail, four are needed, six add little (ryegrass, 295 days outdoors).",
    ),
    Source(
        "mceniry-2011",
        Strength.PUBLISHED,
        "McEniry, Forristal & O'Kiely, Irish J. Agric. Food Res. 50:175-188, 2011: mould gone at "
        "four or more layers; six where the bale is unwilted and kept a second season.",
    ),
    Source(
        "borreani-2008",
        Strength.PUBLISHED,
        "Borreani & Tabacco, Agron. J. 2008, doi 10.2134/agronj2007.0258: storage losses of "
        "50 to 123 g/kg DM in wrapped lucerne.",
    ),
    Source(
        "teagasc-tips",
        Strength.PUBLISHED,
        "Teagasc advice: wrap within 2 to 3 h; four layers, six for nine months and longer.",
    ),
    Source(
        "nonaka-1999",
        Strength.PUBLISHED,
        "Nonaka, Nakui & Ohshita, Jpn J. Grassland Sci. 45(3):270-277, 1999: timothy at 20, 40 "
        "and 50 % moisture kept 11 months under four layers or more; two layers moulded.",
    ),
    Source(
        "kentucky-botulism",
        Strength.PUBLISHED,
        "Arnold & Lehmkuhler, University of Kentucky: wrong fermentation is likely from 67 to "
        "70 % moisture and almost certain above.",
    ),
    Source(
        "wrap-delay-spread",
        Strength.PUBLISHED,
        "Time from baling to wrapping: 2 h (West Virginia), 2 to 3 h (Teagasc), 4 h and 12 h at "
        "the outside (Penn State), 24 h (Wisconsin): advice disagrees.",
    ),
)
