"""Task data as frozen values: who, where, which task, from when to when, and what it says."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Party:
    """A customer or a worker: identifier in the file and name as it stands there."""

    key: str
    name: str


@dataclass(frozen=True)
class Farm:
    """A farm and whose it is (identifier of a customer, "" when not said)."""

    key: str
    name: str
    customer: str


@dataclass(frozen=True)
class Field:
    """A field, its area as the file says it, and whose it is."""

    key: str
    name: str
    area_m2: int | None
    customer: str
    farm: str


@dataclass(frozen=True)
class Product:
    """A product or a crop type: identifier and name."""

    key: str
    name: str


@dataclass(frozen=True)
class Total:
    """A value a task holds for a whole period: identifier, raw value, device element."""

    number: int
    raw: int
    element: str


@dataclass(frozen=True)
class Planned:
    """A value a task asks for: identifier, raw value, device element ("" where the file names
    none), how to show it (identifier of a presentation, "" for none) and the treatment zone."""

    number: int
    raw: int
    element: str
    shown_as: str
    zone: int | None


@dataclass(frozen=True)
class Period:
    """A stretch of a task. begin_us and end_us as written (see `zoned`); kind: 1 planned, 2
    preliminary, 4 effective, 5 ineffective, 6 repair, 7 clearing, 8 powered down."""

    begin_us: int | None
    end_us: int | None
    zoned: bool
    kind: int | None
    totals: tuple[Total, ...]


@dataclass(frozen=True)
class Task:
    """A task as the file describes it; names are looked up, "" where the file says nothing.

    planned: what its treatment zones ask for; default_zone: the one that holds where no place on
    the field says another; comments: written by people.
    """

    key: str
    name: str
    status: int | None
    customer: str
    farm: str
    field: str
    worker: str
    periods: tuple[Period, ...]
    logs: tuple[str, ...]
    devices: tuple[str, ...]
    planned: tuple[Planned, ...] = ()
    default_zone: int | None = None
    comments: tuple[str, ...] = ()

    @property
    def job(self) -> str:
        """What its bales are filed under: its name, else its identifier."""
        return self.name or self.key
