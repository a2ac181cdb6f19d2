"""A setup sheet out of a file that `balewright sheet --json` wrote."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from balewright.cards.sheet_json import sheet_from_json
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.lines import require_file

MAX_SHEET_BYTES: Final = 1_000_000


def read_sheet_file(path: Path) -> Sheet:
    """The sheet in a JSON file, alone or as a command's whole answer.

    Raises BadInput for a file that cannot be read, is longer than MAX_SHEET_BYTES, or has no sheet.
    """
    require_file(path)
    try:
        with path.open("rb") as file:
            content = file.read(MAX_SHEET_BYTES + 1)
        raw = json.loads(content.decode("utf-8")) if len(content) <= MAX_SHEET_BYTES else None
    except (OSError, ValueError, RecursionError) as error:
        raise _no_sheet(path, str(error)) from None
    if not isinstance(raw, Mapping):
        raise _no_sheet(path, "something else")
    inner = raw.get("sheet", raw)
    if not isinstance(inner, Mapping):
        raise _no_sheet(path, "something else")
    return sheet_from_json(inner)


def _no_sheet(path: Path, given: str) -> BadInput:
    cure = "Make one with: balewright sheet ... --json > sheet.json"
    return BadInput(Fault(str(path), "a setup sheet as JSON", given, cure))
