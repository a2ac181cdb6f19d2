"""A machine as it describes itself: its parts, what each can log, how it shows that."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Presentation:
    """How a device shows a value: (raw + offset) x scale, in its own unit's name."""

    offset: float
    scale: float
    decimals: int
    unit: str


@dataclass(frozen=True)
class ProcessData:
    """A value a device can log: its identifier, designator and presentation, if it gives one.

    properties and triggers: bits as the device gives them, None where it gives none; `traits` and
    `logs_when` say them in words.
    """

    number: int
    designator: str
    presentation: Presentation | None
    properties: int | None = None
    triggers: int | None = None

    @property
    def traits(self) -> tuple[str, ...]:
        """Whether it belongs to the usual set, can be set, is a source for control."""
        return _named(self.properties, _TRAITS)

    @property
    def logs_when(self) -> tuple[str, ...]:
        """On which events it can be logged."""
        return _named(self.triggers, _TRIGGERS)


@dataclass(frozen=True)
class Property:
    """A value that never changes, such as a width: identifier, raw value, designator and how the
    device shows it."""

    number: int
    raw: int
    designator: str
    presentation: Presentation | None


@dataclass(frozen=True)
class DeviceElement:
    """A part of a device. kind: 1 device, 2 function, 3 bin, 4 section, 5 unit, 6 connector, 7
    navigation; number: its own; object: its number among the device's objects, which `parent`
    names of the part it hangs under (0 the device); process, properties: what it can log and what
    it is; missing: objects it refers to and the device does not describe."""

    key: str
    kind: int | None
    number: int | None
    parent: int | None
    designator: str
    process: tuple[ProcessData, ...]
    object: int | None = None
    properties: tuple[Property, ...] = ()
    missing: tuple[int, ...] = ()


@dataclass(frozen=True)
class Device:
    """A machine as it describes itself. name64: its network name, 16 hex digits; structure,
    localization: labels of its description, as they stand there."""

    key: str
    name: str
    serial: str
    software: str
    name64: str
    elements: tuple[DeviceElement, ...]
    structure: str = ""
    localization: str = ""

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

    def path_of(self, element: DeviceElement) -> Iterator[DeviceElement]:
        """The part itself, then what it hangs under, up to the device; circles end."""
        by_object = {each.object: each for each in self.elements if each.object is not None}
        seen: set[str] = set()
        at: DeviceElement | None = element
        while at is not None and at.key not in seen:
            seen.add(at.key)
            yield at
            at = None if at.parent is None else by_object.get(at.parent)


_TRAITS: Final = ((1, "in the usual set"), (2, "can be set"), (4, "source for control"))
_TRIGGERS: Final = (
    *((1, "every so often"), (2, "every so far"), (4, "beyond limits")),
    *((8, "on change"), (16, "total")),
)
"""Bits of DPD C and D in ISO 11783-10, in our own words."""


def _named(bits: int | None, names: tuple[tuple[int, str], ...]) -> tuple[str, ...]:
    return tuple(name for bit, name in names if bits is not None and bits & bit)
