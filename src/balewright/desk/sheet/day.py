"""Template tag: what pulls two ways, what to measure in the first bales, when rolls end."""

from __future__ import annotations

from dataclasses import dataclass

from django import template

from balewright.desk.reading import reading
from balewright.plan.sheet.sheet import Sheet
from balewright.words import sheet_day, sheet_words

register = template.Library()


@dataclass(frozen=True)
class Part:
    """One heading with its sentences."""

    key: str
    title: str
    sentences: tuple[str, ...]


@register.filter
def day_parts(sheet: Sheet) -> list[Part]:
    """Conflicts, first measures and roll changes; what a sheet has none of is left out."""
    language = reading()
    found = (
        ("conflicts", sheet_day.conflicts_of(sheet, language)),
        ("measures", sheet_day.measures_of(sheet, language)),
        ("rolls", sheet_day.rolls_of(sheet, language)),
    )
    return [
        Part(key, sheet_words.heading(key, language), sentences)
        for key, sentences in found
        if sentences
    ]


@register.filter
def spread_said(sheet: Sheet) -> str:
    """How diameters differ from bale to bale, and of how many bales that is known."""
    return sheet_words.spread_of(sheet, reading())
