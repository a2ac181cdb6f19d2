"""Entries that stand for one of each dispenser: written once, with {number} where it differs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

DISPENSERS: Final = {"1": "wrapper", "2": "two dispensers"}
"""The number of a dispenser and the fact that a machine has it."""
SHARED: Final = ("cause", "report", "finding", "check")


def spread_out(raw: Mapping[str, Any]) -> dict[str, Any]:
    """The tables of all files with every `each = "dispenser"` entry made two, `key_1` and `key_2`.

    What such an entry shows in another of its kind it shows in that of the same dispenser; what
    any other shows in one, it shows in both. Texts and matches have their `{number}` filled in.
    """
    doubled = {
        key
        for table in SHARED
        for key, entry in _entries(raw, table)
        if isinstance(entry, Mapping) and entry.get("each") == "dispenser"
    }
    spread = dict(raw)
    for table in SHARED:
        if not isinstance(raw.get(table), Mapping):
            continue  # left out, or no table: whoever takes it says so
        entries: dict[str, Any] = {}
        for key, entry in _entries(raw, table):
            if key not in doubled:
                entries[key] = _shown_in(entry, doubled, tuple(DISPENSERS))
                continue
            for number, fact in DISPENSERS.items():
                one = _filled(entry, number)
                del one["each"]
                if isinstance(one.get("exists_if", []), list):
                    one["exists_if"] = [*one.get("exists_if", []), fact]
                entries[f"{key}_{number}"] = _shown_in(one, doubled, (number,))
        spread[table] = entries
    return spread


def _entries(raw: Mapping[str, Any], table: str) -> Iterable[tuple[str, Any]]:
    """The entries of a table; none of what is no table."""
    given = raw.get(table)
    return given.items() if isinstance(given, Mapping) else ()


def _filled(given: Any, number: str) -> Any:
    """The same with {number} replaced in every text; what it holds is copied."""
    if isinstance(given, str):
        return given.replace("{number}", number)
    if isinstance(given, Mapping):
        return {key: _filled(one, number) for key, one in given.items()}
    if isinstance(given, list):
        return [_filled(one, number) for one in given]
    return given


def _shown_in(entry: Any, doubled: set[str], numbers: tuple[str, ...]) -> Any:
    """The same with links to doubled observations led to those of these dispensers."""
    if not isinstance(entry, Mapping) or not isinstance(entry.get("shows"), list):
        return entry
    links = []
    for link in entry["shows"]:
        on = link.get("on") if isinstance(link, Mapping) else None
        if isinstance(on, str) and on in doubled:
            links += [{**link, "on": f"{on}_{number}"} for number in numbers]
        else:
            links.append(link)
    return {**entry, "shows": links}
