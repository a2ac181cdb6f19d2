"""Who and which machine, product or comment was on a task, and when (WAN, DAN, PAN, CAN)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from balewright.readers.task_data.attributes import Reading
from balewright.readers.task_data.values import Allocation, Place, Stamp
from balewright.readers.task_data.xml import name_of

_KINDS: Final = {
    "WAN": ("worker", "A"),
    "DAN": ("device", "C"),
    "PAN": ("product", "A"),
    "CAN": ("comment", "A"),
}
"""Element: what it allocates, and which attribute names it."""


def read_allocations(task: Reading) -> Iterator[Allocation]:
    """The allocations of a task, in the order of the file."""
    for child in task.children(*_KINDS):
        kind, letter = _KINDS[name_of(child.element)]
        stamp = next((_stamp(each) for each in child.children("ASP")), None)
        key = child.text(letter)
        if kind == "product":
            yield Allocation(
                kind=kind,
                key=key,
                stamp=stamp,
                number=child.whole("B", 16),
                raw=child.whole("C"),
                mode=child.whole("D"),
                element=child.text("E"),
            )
        elif kind == "comment":
            yield Allocation(kind, key or child.text("B"), stamp, child.text("C"))
        else:
            yield Allocation(kind, key, stamp)


def read_span(reading: Reading) -> tuple[int | None, int | None, bool]:
    """Begin and end of an element with A (start), B (stop) and C (seconds), and whether one of
    them names its zone."""
    begin_us, begin_zoned = reading.time_us("A")
    end_us, end_zoned = reading.time_us("B")
    lasted_s = reading.whole("C")
    if end_us is None and begin_us is not None and lasted_s is not None:
        end_us, end_zoned = begin_us + lasted_s * 1_000_000, begin_zoned
    return begin_us, end_us, begin_zoned or end_zoned


def _stamp(reading: Reading) -> Stamp:
    begin_us, end_us, zoned = read_span(reading)
    planned = {1: True, 4: False}.get(reading.whole("D") or 0)
    places = tuple(
        Place(child.number("A"), child.number("B"), child.whole("D"))
        for child in reading.children("PTN")
    )
    return Stamp(begin_us, end_us, zoned, planned, places)
