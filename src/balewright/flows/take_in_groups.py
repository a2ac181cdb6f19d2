"""Refusals and doubts in groups: how many are alike, and the first places of each.

A file with one wrong column has one reason, not a hundred thousand.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from balewright.records.intake import Doubt, Refusal
from balewright.store.noted import NotedGroup, Spot

MAX_GROUPS: Final = 100
"""Groups of one file; what is alike to none of them is counted together."""

FIRST_SPOTS: Final = 5
"""Places shown of each group."""

_KEYS_HELD: Final = 10_000
_ALSO: Final = " Also wrong in this line: "
_COLUMN: Final = re.compile(r", column (\w+)$")
_VARIES: Final = re.compile(r"\d+(?:\.\d+)?|0x[0-9A-F]+|“[^”]*”|`[^`]*`|'[^']*'")


@dataclass
class Groups:
    """Groups that fill as a file is read; memory stays bounded."""

    _first: dict[tuple[str, str], tuple[str, list[Spot]]] = field(default_factory=dict)
    _counts: dict[tuple[str, str], int] = field(default_factory=dict)
    _keys: dict[str, str] = field(default_factory=dict)

    def add_refusals(self, refusals: Iterable[Refusal]) -> None:
        """Count refusals: alike are those of one column whose reasons differ in numbers only."""
        for one in refusals:
            found = _COLUMN.search(one.place)
            column = found[1] if found else ""
            spot = (one.file, one.place, one.text)
            self._add((self._key_of(one.reason), column), one.reason, spot)

    def add_doubts(self, doubts: Iterable[Doubt]) -> None:
        """Count doubts: alike are those with one mark."""
        for one in doubts:
            self._add((str(one.kind), ""), str(one.kind), (one.file, one.place, one.text))

    def largest_first(self) -> tuple[NotedGroup, ...]:
        """The groups; what found none comes last."""
        groups = [
            NotedGroup(reason.partition(_ALSO)[0], key[1], self._counts[key], tuple(spots))
            for key, (reason, spots) in self._first.items()
        ]
        return tuple(sorted(groups, key=lambda group: (group.reason == "", -group.count)))

    def _add(self, key: tuple[str, str], reason: str, spot: tuple[str, str, str]) -> None:
        if key not in self._first and len(self._first) >= MAX_GROUPS:
            key, reason = ("", ""), ""
        spots = self._first.setdefault(key, (reason, []))[1]
        self._counts[key] = self._counts.get(key, 0) + 1
        if len(spots) < FIRST_SPOTS:
            spots.append(Spot(*spot))

    def _key_of(self, reason: str) -> str:
        known = self._keys.get(reason)
        if known is None:
            known = _VARIES.sub("#", reason.partition(_ALSO)[0])
            if len(self._keys) < _KEYS_HELD:
                self._keys[reason] = known
        return known
