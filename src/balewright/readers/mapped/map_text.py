"""A column map as text, so that one workplace's map can be given to another: TOML or JSON."""

from __future__ import annotations

import hashlib
import json
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.mapped.checking import check_map
from balewright.records.column_map import ColumnMap, MappedColumn, Twice

FORM: Final = "balewright column map"
VERSION: Final = 1
MOST_BYTES: Final = 4_000_000
_TEXTS: Final = ("separator", "decimal", "thousands", "encoding", "day_order", "zone")


def map_key(column_map: ColumnMap) -> str:
    """The key of a map by what it says: the same map has the same key everywhere."""
    body = json.dumps(map_to_json(column_map), sort_keys=True, ensure_ascii=False)
    return "M-" + hashlib.sha256(body.encode()).hexdigest()[:12]


def keyed(column_map: ColumnMap) -> ColumnMap:
    """The same map under its own key."""
    return replace(column_map, key=map_key(column_map))


def headings_sha256(column_map: ColumnMap) -> str:
    """One hash for all maps of the same headings, whatever their order."""
    headings = json.dumps(sorted(column_map.headings), ensure_ascii=False)
    return hashlib.sha256(headings.encode()).hexdigest()


def map_to_json(column_map: ColumnMap) -> dict[str, Any]:
    """A map as plain values, without its key."""
    return {
        "form": FORM,
        "version": VERSION,
        "name": column_map.name,
        **({} if column_map.sheet is None else {"sheet": column_map.sheet}),
        "head_row": column_map.head_row,
        "head_rows": column_map.head_rows,
        **{name: getattr(column_map, name) for name in _TEXTS},
        "twice": column_map.twice.value,
        **({} if column_map.machine is None else {"machine": column_map.machine}),
        "unknown": list(column_map.unknown),
        "columns": [_column_to_json(column) for column in column_map.columns],
    }


def _column_to_json(column: MappedColumn) -> dict[str, Any]:
    said: dict[str, Any] = {"heading": column.heading, "place": column.place}
    if column.target:
        said["target"] = column.target
    if column.unit:
        said["unit"] = column.unit
    if column.words:
        said["words"] = [list(pair) for pair in column.words]
    return said


def map_from_json(given: Any, place: str = "column map") -> ColumnMap:
    """A map from plain values, under its key. Raises BadInput with what is wrong in it."""
    if not isinstance(given, Mapping) or given.get("form") != FORM:
        cure = "Export one with `balewright columns export`."
        raise BadInput(Fault(place, f"`form = {FORM!r}`", "another file", cure))
    if given.get("version") != VERSION:
        cure = "Export it again from this version of Balewright."
        raise BadInput(Fault(place, f"version {VERSION}", repr(given.get("version")), cure))
    try:
        column_map = _built(given)
    except (KeyError, TypeError, ValueError) as error:
        said = f"{type(error).__name__}: {error}"
        cure = "Export it again, or compare it with docs/column-maps.md."
        raise BadInput(Fault(place, "every part of a column map", said[:200], cure)) from error
    check_map(column_map)
    return keyed(column_map)


def _built(given: Mapping[str, Any]) -> ColumnMap:
    extra = set(given) - {
        *("form", "version", "name", "sheet", "head_row", "head_rows", "twice", "machine"),
        *("unknown", "columns", *_TEXTS),
    }
    if extra:
        raise ValueError(f"not a part of it: {', '.join(sorted(map(str, extra))[:5])}")
    return ColumnMap(
        key="",
        name=_text(given["name"]),
        columns=tuple(_column(one) for one in given["columns"]),
        sheet=None if given.get("sheet") is None else _text(given["sheet"]),
        head_row=_count(given["head_row"]),
        head_rows=_count(given.get("head_rows", 1)),
        **{name: _text(given[name]) for name in _TEXTS},
        twice=Twice(given["twice"]),
        machine=None if given.get("machine") is None else _text(given["machine"]),
        unknown=tuple(_text(word) for word in given["unknown"]),
    )


def _column(given: Mapping[str, Any]) -> MappedColumn:
    extra = set(given) - {"heading", "place", "target", "unit", "words"}
    if extra:
        raise ValueError(f"not a part of a column: {', '.join(sorted(map(str, extra))[:5])}")
    return MappedColumn(
        _text(given["heading"]),
        _count(given["place"]),
        _text(given.get("target", "")),
        _text(given.get("unit", "")),
        tuple((_text(theirs), _text(ours)) for theirs, ours in given.get("words", ())),
    )


def _text(given: Any) -> str:
    if not isinstance(given, str) or len(given) > 1000:
        raise TypeError(f"a text is needed, not {given!r:.60}")
    return given


def _count(given: Any) -> int:
    if isinstance(given, bool) or not isinstance(given, int) or not 0 <= given <= 10_000_000:
        raise TypeError(f"a count is needed, not {given!r:.60}")
    return given


def map_to_toml(column_map: ColumnMap) -> str:
    """A map as TOML that a person can read, and that `read_map_file` reads back the same."""
    said = map_to_json(column_map)
    lines = [f"{name} = {_toml(value)}" for name, value in said.items() if name != "columns"]
    for column in said["columns"]:
        lines += [
            "",
            "[[columns]]",
            *(f"{name} = {_toml(value)}" for name, value in column.items()),
        ]
    return "\n".join(lines) + "\n"


def _toml(value: Any) -> str:
    if isinstance(value, int):
        return str(value)
    if isinstance(value, list):
        return "[" + ", ".join(_toml(one) for one in value) + "]"
    return json.dumps(value, ensure_ascii=True) if _is_plain(value) else _escaped(value)


def _is_plain(value: str) -> bool:
    return all(" " <= sign < "\x7f" for sign in value)


def _escaped(value: str) -> str:
    """A TOML text of any signs: every one beyond ASCII as its number."""
    signs = (
        json.dumps(sign)[1:-1]
        if " " <= sign < "\x7f"
        else sign
        if sign.isprintable()
        else f"\\U{ord(sign):08X}"
        for sign in value
    )
    return '"' + "".join(signs) + '"'


def read_map_file(path: Path) -> ColumnMap:
    """A map from a TOML or JSON file, under its key. Raises BadInput with what is wrong."""
    try:
        if path.stat().st_size > MOST_BYTES:
            given, cure = f"{path.stat().st_size:,} bytes", "It is no column map."
            raise BadInput(Fault(path.name, f"at most {MOST_BYTES:,} bytes", given, cure))
        text = path.read_text("utf-8").lstrip("\ufeff")
        body = json.loads(text) if text.lstrip().startswith("{") else tomllib.loads(text)
    except (OSError, ValueError, RecursionError) as error:
        if isinstance(error, BadInput):
            raise
        said = getattr(error, "strerror", None) or str(error)
        need = "a column map in TOML or JSON"
        raise BadInput(Fault(path.name, need, str(said)[:200], "Export it again.")) from error
    return map_from_json(body, path.name)
