"""One bale with where each of its values comes from: file, line or byte, and what others say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from balewright.records.corrections import Correction

Cell = str | int | float | None


class Why(StrEnum):
    """Why a value counts.

    only: no other row of the bale knows it; same: all that know it agree; more known: its row
    knew more of the bale than those that say otherwise; lower hash: as much, and its file's hash
    is lower; same file: the file gives the bale twice, and this comes first; corrected: a person
    put it right.
    """

    ONLY = "only"
    SAME = "same"
    MORE_KNOWN = "more known"
    LOWER_HASH = "lower hash"
    SAME_FILE = "same file"
    CORRECTED = "corrected"


@dataclass(frozen=True)
class Source:
    """One row of one file that tells of the bale.

    sha256: of the file's content; name: as it was taken in, "" where the ledger does not know;
    row: its place among the rows kept; file, at, unit: inner file ("" for the file itself),
    number and what it counts (`records.intake.PlaceUnit`), None where the reader could not say;
    known_cells: how much the row knew.
    """

    sha256: str
    row: int
    known_cells: int
    name: str = ""
    file: str = ""
    at: int | None = None
    unit: str | None = None


@dataclass(frozen=True)
class Told:
    """What one row says of one column. source: its number in `TracedBale.sources`."""

    value: Cell
    source: int


@dataclass(frozen=True)
class TracedValue:
    """One column of one bale.

    value: what counts, None for `not known`; by: who says it, None where a correction does; why:
    why that counts; others: what the other rows that know the column say, the same or otherwise;
    corrections: of this column, those that count in their order.
    """

    column: str
    value: Cell
    by: Told | None
    why: Why
    others: tuple[Told, ...] = ()
    corrections: tuple[Correction, ...] = ()

    @property
    def differs(self) -> bool:
        """Whether a file says otherwise than what counts."""
        told = (*self.others, *(() if self.by is None else (self.by,)))
        return any(one.value != self.value for one in told)


@dataclass(frozen=True)
class TracedBale:
    """One bale as it counts, and all that was said of it.

    key: its name; answers_to: every key that names it; sources: the rows that tell of it, the one
    that counts first; values: columns that somebody knows, in the table's order; corrections: all
    that name it, withdrawn ones too; counts: whether it is a bale of the book; is_pass: whether
    it is a further pass over the wrapper; repeated: whether one file gives it twice.
    """

    machine: str
    key: str
    answers_to: tuple[str, ...]
    sources: tuple[Source, ...]
    values: tuple[TracedValue, ...]
    corrections: tuple[Correction, ...]
    counts: bool
    is_pass: bool
    repeated: bool

    def named(self, names: Mapping[str, str]) -> TracedBale:
        """The same with its files' names, by hash."""
        told = (replace(one, name=names.get(one.sha256, "")) for one in self.sources)
        return replace(self, sources=tuple(told))

    def value(self, column: str) -> Cell:
        """The value that counts, None where nobody knows it."""
        return next((one.value for one in self.values if one.column == column), None)


@dataclass(frozen=True)
class Conflict:
    """Two rows of one bale that say different things of a column, as text.

    value, source, row: what counts, its file's hash and its row there; other...: the same of
    what does not; why: as in Why.
    """

    key: str
    column: str
    value: str
    source: str
    row: int
    other: str
    other_source: str
    other_row: int
    why: Why
