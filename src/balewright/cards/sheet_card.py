"""A setup sheet in each of its printed and sent forms."""

from __future__ import annotations

from balewright.cards.sheet_json import sheet_from_json
from balewright.cards.sheet_json import sheet_to_json as sheet_json
from balewright.cards.sheet_pdf import sheet_pdf, sheet_png
from balewright.cards.sheet_text import sheet_text

__all__ = ["sheet_from_json", "sheet_json", "sheet_pdf", "sheet_png", "sheet_text"]
