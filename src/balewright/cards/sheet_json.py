"""A setup sheet as JSON, with a version, and back without loss."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from balewright.cards.value_json import from_json, to_json
from balewright.plan.sheet.conditions import condition_faults
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, Fault

SHEET_VERSION: Final = 2
_READABLE: Final = (1, SHEET_VERSION)
"""Version 1 had no conflicts, measures and roll changes, and fewer conditions: they are empty."""


def sheet_to_json(sheet: Sheet) -> dict[str, Any]:
    """The whole sheet with its inputs, as numbers, words and lists; `sheet_version` first."""
    return {"sheet_version": SHEET_VERSION, **to_json(sheet)}


def sheet_from_json(raw: Mapping[str, object]) -> Sheet:
    """The sheet that `sheet_to_json` wrote, now or in version 1.

    Raises BadInput for anything else, and for conditions that no sheet could have been made for.
    """
    given = dict(raw)
    version = given.pop("sheet_version", None)
    if isinstance(version, bool) or version not in _READABLE:
        cure = "Make the sheet again, or use the version of the program that wrote it."
        raise BadInput(
            Fault("sheet_version", " or ".join(map(str, _READABLE)), repr(version), cure)
        )
    sheet = from_json(Sheet, given, "sheet")
    faults = tuple(condition_faults(sheet.conditions))
    if faults:
        raise BadInput(*faults)
    return sheet
