"""Attributes read leniently: what cannot be read is unknown and named, never a crash or a zero."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Final

from lxml import etree

from balewright.readers.task_data.xml import name_of
from balewright.records.intake import Doubt, Refusal
from balewright.records.quality import Mark

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND: Final = timedelta(microseconds=1)
_SHOWN: Final = 60


@dataclass
class Ledger:
    """What was refused and doubted while a set is read, in order, and which files were read."""

    refusals: list[Refusal] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    files: set[str] = field(default_factory=set)

    def refuse(self, file: str, place: str, text: str, reason: str) -> None:
        """Note something that could not be read."""
        self.refusals.append(Refusal(file, place, text[:_SHOWN], reason))

    def doubt(self, file: str, place: str, kind: Mark, text: str) -> None:
        """Note something odd that was read and kept."""
        self.doubts.append(Doubt(file, place, kind, text))


@dataclass(frozen=True)
class Reading:
    """One element being read: its file, and where odd attributes are noted."""

    element: etree._Element
    file: str
    ledger: Ledger

    @property
    def place(self) -> str:
        """Where it stands, such as `line 12, TSK`."""
        return f"line {self.element.sourceline}, {name_of(self.element)}"

    def children(self, *names: str) -> list[Reading]:
        """The direct children of these names, in order."""
        return [
            Reading(child, self.file, self.ledger)
            for child in self.element
            if name_of(child) in names
        ]

    def text(self, attribute: str) -> str:
        """An attribute as text, "" where it is absent."""
        return (self.element.get(attribute) or "").strip()

    def whole(self, attribute: str, base: int = 10) -> int | None:
        """An attribute as a whole number, None where absent; unreadable is noted and None."""
        text = self.text(attribute)
        if not text:
            return None
        try:
            return int(text, base)
        except ValueError:
            self._odd(attribute, text, "a whole number" if base == 10 else "hexadecimal")
            return None

    def number(self, attribute: str) -> float | None:
        """An attribute as a finite number, None where absent; unreadable is noted and None."""
        text = self.text(attribute)
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if math.isfinite(value):
            return value
        self._odd(attribute, text, "a finite number")
        return None

    def time_us(self, attribute: str) -> tuple[int | None, bool]:
        """A time as microseconds since 1970 by its own clock or UTC, and whether it names a zone.

        A time without a zone is counted as if it were UTC: what its clock showed.
        """
        text = self.text(attribute)
        if not text:
            return None, False
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            self._odd(attribute, text, "an ISO 8601 time")
            return None, False
        zoned = moment.tzinfo is not None
        if not zoned:
            moment = moment.replace(tzinfo=UTC)
        return (moment - _EPOCH) // _MICROSECOND, zoned

    def _odd(self, attribute: str, text: str, need: str) -> None:
        said = f"{name_of(self.element)}/@{attribute} is {text[:_SHOWN]!r}, not {need}: unknown"
        self.ledger.doubt(self.file, self.place, Mark.ELEMENT_UNKNOWN, said)
