"""Task data as frozen values: who, where, which machine, which task, which log."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.records.intake import Doubt, Refusal


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
class Presentation:
    """How a device shows a value: (raw + offset) x scale, in its own unit's name."""

    offset: float
    scale: float
    decimals: int
    unit: str


@dataclass(frozen=True)
class ProcessData:
    """A value a device can log: its identifier, designator and presentation, if it gives one."""

    number: int
    designator: str
    presentation: Presentation | None


@dataclass(frozen=True)
class DeviceElement:
    """A part of a device. kind: 1 device, 2 function, 3 bin, 4 section, 5 unit, 6 connector, 7
    navigation; parent: the element number it hangs under; process: what it can log."""

    key: str
    kind: int | None
    number: int | None
    parent: int | None
    designator: str
    process: tuple[ProcessData, ...]


@dataclass(frozen=True)
class Device:
    """A machine as it describes itself. name64: its network name, 16 hex digits."""

    key: str
    name: str
    serial: str
    software: str
    name64: str
    elements: tuple[DeviceElement, ...]

    @property
    def machine(self) -> str:
        """What bales of this device are filed under: the serial, else the network name, else
        the identifier in the file. Never invented; "" only when the file says nothing."""
        return self.serial or self.name64 or self.key

    @property
    def device_class(self) -> int | None:
        """The class in the network name (ISO 11783-5: bits 49 to 55); None when unreadable."""
        try:
            return int(self.name64, 16) >> 49 & 0x7F
        except ValueError:
            return None


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


@dataclass(frozen=True)
class LoggedValue:
    """A column of a time log: identifier and device element; fixed: a value in the header."""

    number: int
    element: str
    fixed: int | None = None


@dataclass(frozen=True, eq=False)
class TimeLog:
    """A decoded time log, column by column. name: as the task names it; file: its binary part.

    at_us: (n,) microseconds since 1970 as the log's own clock says; lat, lon: (n,) degrees, NaN
    where unknown; offsets: (n,) byte of each record. Values stand as they were written, only
    where they changed: value_row (m,), value_index (m,) into `columns`, value_raw (m,).
    """

    name: str
    file: str
    columns: tuple[LoggedValue, ...]
    at_us: NDArray[np.int64]
    lat: NDArray[np.float64]
    lon: NDArray[np.float64]
    offsets: NDArray[np.int64]
    value_row: NDArray[np.int32]
    value_index: NDArray[np.uint8]
    value_raw: NDArray[np.int32]
    refusals: tuple[Refusal, ...] = ()
    doubts: tuple[Doubt, ...] = ()

    @property
    def rows(self) -> int:
        """How many records were kept."""
        return len(self.at_us)

    def written(self, column: int) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
        """Rows and raw values where a column was written, in order."""
        picked = self.value_index == column
        return self.value_row[picked], self.value_raw[picked]
