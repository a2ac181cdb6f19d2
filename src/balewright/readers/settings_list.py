"""A machine's settings as somebody wrote them down: lines of name and value, or JSON."""

from __future__ import annotations

import csv
import json
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Final

from balewright.quantities.errors import BadInput, Fault

MOST: Final = 2000
LENGTH: Final = 100
MOST_BYTES: Final = 1_000_000
_HEADS: Final = frozenset({"name", "setting", "settings", "parameter"})
_BETWEEN: Final = ("\t", ";", ",", "=", ":")
"""What may stand between name and value; the first of these that every line has."""

Pairs = tuple[tuple[str, str], ...]


def read_settings(text: str, place: str = "settings") -> Pairs:
    """Names and values in their order, as text.

    text: a line a setting (`name,value`, with a comma, semicolon, tab, = or :, a heading is left
    out), or JSON: an object of names and values, a list of pairs or of objects with `name` and
    `value`, or any object that has such a thing under `settings`. place: for messages. Raises
    BadInput with every fault at once; a name that comes twice is one.
    """
    text = text.lstrip("\ufeff").strip()
    pairs = _from_json(text, place) if text[:1] in ("{", "[") else _from_lines(text, place)
    faults = list(_faults(pairs, place))
    if faults:
        raise BadInput(*faults[:20])
    return tuple(pairs)


def read_settings_file(path: Path) -> Pairs:
    """The settings in a file, in UTF-8. Raises BadInput where it cannot be read or is too large."""
    try:
        if path.stat().st_size > MOST_BYTES:
            need = f"at most {MOST_BYTES:,} bytes"
            cure = "Give only the settings of one machine."
            raise BadInput(Fault(str(path), need, f"{path.stat().st_size:,}", cure))
        text = path.read_text("utf-8")
    except (OSError, UnicodeDecodeError, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        cure = "Check the path, and save it as UTF-8."
        raise BadInput(Fault(str(path), "a text file that can be read", str(error), cure)) from None
    return read_settings(text, str(path))


def _from_lines(text: str, place: str) -> list[tuple[str, str]]:
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines:
        return []
    between = next((sign for sign in _BETWEEN if all(sign in line for line in lines)), None)
    if between is None:
        given = next(line for line in lines if not any(sign in line for sign in _BETWEEN[:1]))
        need = "a name and a value in every line, with the same sign between them"
        cure = "Write `name,value`, a line a setting."
        raise BadInput(Fault(place, need, repr(given)[:80], cure))
    if between in "=:":
        cells = [line.split(between, 1) for line in lines]
    else:
        cells = list(csv.reader(lines, delimiter=between, skipinitialspace=True))
    if cells[0][0].strip().casefold() in _HEADS:
        cells = cells[1:]
    faults = [
        Fault(
            f"{place}, {cell[0].strip()[:40]!r}",
            "two cells",
            f"{len(cell)}",
            "Put a value with a comma in quotes, or a semicolon between name and value.",
        )
        for cell in cells
        if len(cell) != 2
    ]
    if faults:
        raise BadInput(*faults[:20])
    return [(name.strip(), value.strip()) for name, value in cells]


def _from_json(text: str, place: str) -> list[tuple[str, str]]:
    try:
        raw = json.loads(text)
    except (ValueError, RecursionError) as error:
        cure = "Check the file, or write `name,value`, a line a setting."
        raise BadInput(Fault(place, "JSON that can be read", str(error)[:80], cure)) from None
    if isinstance(raw, dict) and isinstance(raw.get("settings"), dict | list):
        raw = raw["settings"]
    items = list(raw.items()) if isinstance(raw, dict) else [_pair(one) for one in raw]
    wrong = [name for name, value in items if _text(value) is None or not isinstance(name, str)]
    if wrong:
        cure = 'Write {"name": value, ...} with a text or a number for each.'
        need = "a text, a number, true or false for every name"
        raise BadInput(Fault(f"{place}, {str(wrong[0])[:40]}", need, "something else", cure))
    return [(name.strip(), _text(value) or "") for name, value in items]


def _pair(one: Any) -> tuple[Any, Any]:
    if isinstance(one, dict):
        return one.get("name"), one.get("value")
    return (one[0], one[1]) if isinstance(one, list) and len(one) == 2 else (None, None)


def _text(value: Any) -> str | None:
    if isinstance(value, bool):
        return "on" if value else "off"
    if isinstance(value, int | float):
        return f"{value:.12g}"
    return value.strip() if isinstance(value, str) else None


def _faults(pairs: list[tuple[str, str]], place: str) -> Iterable[Fault]:
    if not pairs:
        yield Fault(place, "at least one setting", "none", "Write `name,value`, a line a setting.")
    if len(pairs) > MOST:
        cure = "Give only the settings of one machine."
        yield Fault(place, f"at most {MOST:,} settings", f"{len(pairs):,}", cure)
    for name, value in pairs:
        if not name or not value:
            need = "a name and a value"
            given = repr(name or value)[:60]
            yield Fault(place, need, given, "Fill it in, or leave the line out.")
        elif max(len(name), len(value)) > LENGTH or not (name + value).isprintable():
            need = f"at most {LENGTH} plain characters"
            yield Fault(f"{place}, {name[:40]!r}", need, "more or others", "Write it shorter.")
    for name, times in Counter(name.casefold() for name, _ in pairs).items():
        if times > 1 and name:
            cure = "Leave one of them."
            yield Fault(f"{place}, {name[:40]!r}", "each name once", f"{times} times", cure)
