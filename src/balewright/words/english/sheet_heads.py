"""Headings on a setup sheet: of its columns and of its groups of settings."""

from typing import Final

MESSAGES: Final = {
    "card.col.setting": "Setting",
    "card.col.value": "Value",
    "card.col.dial": "On the machine",
    "card.col.range": "Allowed",
    "card.col.why": "Why",
    "card.col.sure": "How sure",
    "card.col.source": "Source",
    "group.drive": "Drive",
    "group.chamber": "Chamber",
    "group.film": "Film",
    "group.off": "Bale off",
}
