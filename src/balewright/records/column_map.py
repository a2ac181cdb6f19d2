"""How another program's table is read as bales: which of its columns is which of ours."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

ZONE: Final = "zone"
"""Target of a column that says each row's zone: an IANA name or an offset such as +02:00."""

MACHINES_OWN: Final = "machine"
"""As a map's zone: the clock stands in the zone that the register has for the row's machine."""


class Twice(StrEnum):
    """What a clock time means that comes twice in the night the clock goes back."""

    REFUSE = "refuse"
    BY_ORDER = "by order"
    FIRST = "first"
    SECOND = "second"


@dataclass(frozen=True)
class MappedColumn:
    """One column of the other table.

    heading: as it stands there; place: its position, from 0; target: a column of the bale table
    ("" leaves it out) or ZONE; unit: what its numbers are in, a key of the readers' units ("" for
    the target's own), of a time one of the readers' clock forms; words: what its words mean, as
    (theirs, ours) pairs.
    """

    heading: str
    place: int
    target: str
    unit: str = ""
    words: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class ColumnMap:
    """A saved reading of one kind of table. Everything that was decided stands in it.

    key: of this version; name: what people call it; columns: in file order; sheet: name of the
    spreadsheet's sheet, None for text; head_row: first row of the headings, from 0; head_rows:
    how many rows they take; separator, encoding: of text; decimal, thousands: of numbers written
    as text; day_order: "ymd", "dmy" or "mdy" for dates that are not ISO; zone: IANA zone of clock
    times without one, MACHINES_OWN for each machine's own; twice: see `Twice`; machine: serial
    when no column says it; unknown: words that mean "not known".
    """

    key: str
    name: str
    columns: tuple[MappedColumn, ...]
    sheet: str | None = None
    head_row: int = 0
    head_rows: int = 1
    separator: str = ","
    decimal: str = "."
    thousands: str = ""
    encoding: str = "utf-8"
    day_order: str = "ymd"
    zone: str = "UTC"
    twice: Twice = Twice.REFUSE
    machine: str | None = None
    unknown: tuple[str, ...] = ("",)

    @property
    def headings(self) -> tuple[str, ...]:
        """What a table must have as its headings to be read by this map."""
        return tuple(column.heading for column in self.columns)
