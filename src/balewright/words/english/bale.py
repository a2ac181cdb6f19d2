"""One bale with where its values come from, corrections, and merging of files."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "command.compact.nothing": "Nothing to merge.",
    "command.compact.done": "Files: {before} became {after}. Rows: {rows}, bales: {bales}.",
}
