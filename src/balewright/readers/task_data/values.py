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
    """A field, its area as the file says it, whose it is, and its boundary: rings of (latitude,
    longitude) in degrees, outer ones and holes."""

    key: str
    name: str
    area_m2: int | None
    customer: str
    farm: str
    rings: tuple[tuple[tuple[float, float], ...], ...] = ()


@dataclass(frozen=True)
class Product:
    """A product or a crop type: identifier and name."""

    key: str
    name: str


@dataclass(frozen=True)
class Total:
    """A value a task holds for a whole period: identifier, raw value, device element; pgn: the
    message it is cut from (identifier 57342 only), with its first and last bit."""

    number: int
    raw: int
    element: str
    pgn: int | None = None
    bits: tuple[int | None, int | None] = (None, None)


@dataclass(frozen=True)
class Place:
    """A position in the XML: degrees, None where it says none; status as in a time log."""

    lat: float | None
    lon: float | None
    status: int | None


@dataclass(frozen=True)
class Stamp:
    """When something was allocated. begin_us and end_us as written (see `zoned`), microseconds
    since 1970; planned: True planned, False as it was, None unsaid; places: where it began and
    ended, as far as the file says."""

    begin_us: int | None
    end_us: int | None
    zoned: bool
    planned: bool | None
    places: tuple[Place, ...] = ()


@dataclass(frozen=True)
class Allocation:
    """Who or what was on a task, and when.

    kind: `worker`, `device`, `product` or `comment`; key: identifier of the worker, device,
    product or coded comment, "" for a comment's own text, which is in `text`; stamp: None where
    no time is said; number, raw, mode, element: of a product the amount by identifier, raw, how
    it moved (1 filled in, 2 emptied, 3 left over) and the device element.
    """

    kind: str
    key: str
    stamp: Stamp | None
    text: str = ""
    number: int | None = None
    raw: int | None = None
    mode: int | None = None
    element: str = ""


@dataclass(frozen=True)
class Link:
    """What LINKLIST.XML says of an object: its identifier in the set, its lasting identifier
    (`value`: a UUID, a maker's own, or an address, by `kind`: 1 UUIDs, 2 a maker's own, 3 and 4
    addresses), a designator, and what the set calls the object (element and name, "" unnamed)."""

    key: str
    value: str
    kind: int | None
    group: str
    designator: str
    names: str


@dataclass(frozen=True)
class Attached:
    """A file that came along (AFE): its name as written, whose it is (GLN), its kind as written
    (1 is the link list)."""

    file: str
    maker: str
    kind: int | None


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
    the field says another; comments: written by people; allocations:
    who and what was on it, and when.
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
    allocations: tuple[Allocation, ...] = ()

    @property
    def job(self) -> str:
        """What its bales are filed under: its name, else its identifier."""
        return self.name or self.key
