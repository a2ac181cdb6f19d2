"""How a command prints its answer: as a table for people or as JSON with a version in it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, Final

JSON_VERSION: Final = 1


def print_json(command: str, answer: dict[str, Any]) -> None:
    """One JSON object: `balewright` (command), `version` (of this form), then the answer."""
    envelope = {"balewright": command, "version": JSON_VERSION, **answer}
    print(json.dumps(envelope, indent=2, ensure_ascii=False, allow_nan=False))


def print_table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Columns as wide as their widest cell, two spaces apart; the last one is not padded."""
    table = [list(headings), *[list(row) for row in rows]]
    widths = [max(len(line[place]) for line in table) for place in range(len(headings))]
    for line in table:
        cells = [cell.ljust(width) for cell, width in zip(line, widths, strict=True)]
        print("  ".join(cells).rstrip())
