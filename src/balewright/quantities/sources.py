"""Where numbers come from: one bibliography, cited by key from code, sheets and tests."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Strength(StrEnum):
    """How strong a source is, strongest first."""

    PUBLISHED = "published"
    STANDARD = "standard"
    DERIVED = "derived"
    PRACTICE = "common practice, no source"
    MEMORY = "from memory"
    ASSUMED = "assumed"


@dataclass(frozen=True)
class Source:
    """One entry of the bibliography: key, how strong, what and where."""

    key: str
    strength: Strength
    text: str


_ENTRIES = (
    Source("practice", Strength.PRACTICE, "Common practice of the trade, no source."),
    Source("profile", Strength.STANDARD, "The machine's own profile."),
    Source("label", Strength.STANDARD, "The label of the film or net roll, as given by the user."),
    Source("geometry", Strength.DERIVED, "Geometry of a strip on a cylinder; docs/models/film.md."),
    Source("given", Strength.STANDARD, "Given by the user for this job."),
    Source("assumed", Strength.ASSUMED, "Our own assumption; change it where you know better."),
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
        "en-14932",
        Strength.STANDARD,
        "EN 14932:2018: at least six layers; pre-stretch 60 to 70 % for round bales.",
    ),
    Source(
        "uk-baleage-q14",
        Strength.PUBLISHED,
        "University of Kentucky Forages, baleage question 14: at least four layers, pre-stretch "
        "50 to 70 %.",
    ),
    Source(
        "penn-state-baleage",
        Strength.PUBLISHED,
        "Williamson, Penn State Extension: six layers at least, eight better, half overlap; wrap "
        "within 4 h, 12 h at the outside.",
    ),
    Source(
        "teagasc-tips",
        Strength.PUBLISHED,
        "Teagasc advice: wrap within 2 to 3 h; four layers, six for nine months and longer.",
    ),
    Source(
        "ifj-net",
        Strength.PUBLISHED,
        "Irish Farmers Journal: at least 2.25 turns of net on heavy silage bales.",
    ),
    Source(
        "ifj-thickness",
        Strength.PUBLISHED,
        "Irish Farmers Journal / Teagasc: four stretched layers are about 70 um thick.",
    ),
    Source(
        "hse-round-bales",
        Strength.PUBLISHED,
        "UK Health and Safety Executive leaflet on round bales, as reported by the trade press.",
    ),
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
        "penn-state-steps",
        Strength.PUBLISHED,
        "Penn State forages, steps of bale silage: 55 to 65 % moisture; 25 to 30 bales a roll.",
    ),
    Source(
        "nonaka-1999",
        Strength.PUBLISHED,
        "Nonaka, Nakui & Ohshita, Jpn J. Grassland Sci. 45(3):270-277, 1999: timothy at 20, 40 "
        "and 50 % moisture kept 11 months under four layers or more; two layers moulded.",
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
        "pami-1977",
        Strength.PUBLISHED,
        "Prairie Agricultural Machinery Institute, report E0176A, 1977: hay at 225 kg/m3; 8 to "
        "10 km/h, with pickup loss the usual limit.",
    ),
    Source(
        "hay-density-memory",
        Strength.MEMORY,
        "Round hay at 9 to 12 lb DM/ft3 (144 to 192 kg/m3), from memory.",
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
        "ASAE D497.7, large round balers at 5 to 13 km/h, from memory.",
    ),
    Source(
        "shinners-net",
        Strength.PUBLISHED,
        "Shinners, University of Wisconsin, as reported by the press: net 1.25 to 3 turns, twine "
        "20 to 30.",
    ),
    Source(
        "chopping-spread",
        Strength.PUBLISHED,
        "Chopping makes bales denser by 4 % (Italian trials), 10 % (Ireland) or 10 to 15 % "
        "(Teagasc advice): sources disagree.",
    ),
    Source(
        "ifj-film-binding",
        Strength.PUBLISHED,
        "Irish Farmers Journal, 2014: film binding and four layers cover the round side almost "
        "like six layers.",
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
    Source(
        "no-safety-source",
        Strength.MEMORY,
        "Safe working practice (engine off, standstill, gate locked), from memory.",
    ),
)
_BY_KEY = {entry.key: entry for entry in _ENTRIES}


def source(key: str) -> Source:
    """The bibliography entry under `key`; KeyError when there is none (a fault of ours)."""
    return _BY_KEY[key]


def all_sources() -> tuple[Source, ...]:
    """Every entry, in the order the documentation lists them."""
    return _ENTRIES
