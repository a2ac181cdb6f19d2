"""A setup sheet in each of its printed and sent forms."""

from __future__ import annotations

from balewright.cards.issue import Issue, issue_of, sheet_id
from balewright.cards.sheet_json import sheet_from_json
from balewright.cards.sheet_json import sheet_to_json as sheet_json
from balewright.cards.sheet_message import sheet_message
from balewright.cards.sheet_page import sheet_page
from balewright.cards.sheet_pdf import Paper, sheet_pdf, sheet_png
from balewright.cards.sheet_text import sheet_text
from balewright.cards.task_data import Job, task_data_zip

__all__ = ["Issue", "Job", "Paper", "issue_of", "sheet_from_json", "sheet_id", "sheet_json",
           "sheet_message", "sheet_page", "sheet_pdf", "sheet_png", "sheet_text",
           "task_data_zip"]  # fmt: skip
