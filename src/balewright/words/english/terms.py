"""Words that stand inside other sentences: units, crops, parts, yes and no."""

from typing import Final

_WORDS: Final = {
    "word.unknown": "unknown",
    "word.yes": "yes",
    "word.no": "no",
}

_UNITS: Final = {
    # forms by number, as the language's plural rule has them
    "unit.rpm": "rpm",
    "unit.bales_h": "bales/h",
    "unit.ml_bale": "ml a bale",
    "unit.m_bale": "m a bale",
    "unit.g_bale": "g a bale",
    "unit.fl_oz_bale": "fl oz/bale",
    "unit.ft_bale": "ft/bale",
    "unit.oz_bale": "oz/bale",
    "unit.us_ton": "ton|tons",
    "unit.us_ton_h": "tons/h",
    "unit.gal_ton": "gal/ton",
    "unit.lb_ton": "lb/ton",
    "unit.months": "month|months",
    "unit.days": "day|days",
    "unit.hours": "hour|hours",
    "unit.minutes": "minute|minutes",
}

_TERMS: Final = {
    "term.crop.grass_silage": "grass silage",
    "term.crop.haylage": "haylage",
    "term.crop.lucerne": "lucerne",
    "term.crop.hay": "hay",
    "term.crop.straw": "straw",
    "term.binding.net": "net",
    "term.binding.film": "film",
    "term.binding.twine": "twine",
    "term.side.round": "round side",
    "term.side.end": "flat side",
    "term.part.filling": "filling",
    "term.part.binding_and_opening": "binding and opening",
    "term.part.wrapping": "wrapping",
}

_READER: Final = {
    "reader.not_reviewed": "Translation not yet reviewed by a native speaker.",
    "desk.shared.language": "Language and units",
    "desk.shared.units.metric": "metric units",
    "desk.shared.units.us": "US units",
}

MESSAGES: Final = {**_WORDS, **_UNITS, **_TERMS, **_READER}
