"""Over which times of a bale each of its values is taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.cycles.cycles import NEVER_US, Cycles
from balewright.records.cycles.phases import (
    BIND_END,
    BIND_START,
    CLOSED,
    FULL,
    GATE_OPEN,
    ON_WRAPPER,
    TIPPED,
    WRAP_END,
    WRAP_START,
)
from balewright.records.cycles.rules import SECOND_US

Span = tuple[int, int]
_BESIDE_US: Final = 2 * SECOND_US
"""Counters of metres may lag the switch by so much."""
_LATER_US: Final = 5 * SECOND_US
LONG_FILL_US: Final = 600 * SECOND_US
"""Where the closing was not seen, filling is since the last bale left, unless that was a pause."""
_ARRIVES_US: Final = 25 * SECOND_US
_WEIGHED_US: Final = 300 * SECOND_US


@dataclass(frozen=True)
class Windows:
    """Working times and windows of one bale; None where they are not known.

    followed: another bale came behind it; again: a further pass over the wrapper.
    """

    filling: Span | None
    full_us: int | None
    binding: Span | None
    opened_us: int | None
    arrival: Span | None
    on_wrapper: Span | None
    wrapping: Span | None
    film: Span | None
    tip_us: int | None
    weighing: Span | None
    whole: Span | None
    followed: bool
    again: bool


def windows_of(cycles: Cycles) -> list[Windows]:
    """The windows of each row, in order."""
    rows = zip(
        _told(cycles.work_us), _told(cycles.since_us), _told(cycles.until_us),
        cycles.again.tolist(), strict=True,
    )  # fmt: skip
    return [_windows(*row) for row in rows]


def _told(times: NDArray[np.int64]) -> list[Any]:
    """Times as plain values, None where unknown."""
    plain = times.astype(object)
    plain[times == NEVER_US] = None
    told: list[Any] = plain.tolist()
    return told


def _windows(marks: list[int | None], since: int | None, until: int | None, again: bool) -> Windows:
    told = [each for each in marks if each is not None]
    left = marks[TIPPED] or marks[WRAP_END] or marks[GATE_OPEN] or marks[BIND_END]
    wrapping, film = _wrapping(marks)
    opened = marks[GATE_OPEN]
    return Windows(
        filling=_filling(marks, since),
        full_us=marks[FULL] or marks[BIND_START],
        binding=_binding(marks),
        opened_us=opened,
        arrival=None if opened is None else (opened, opened + _ARRIVES_US),
        on_wrapper=_pair(marks[ON_WRAPPER] or opened, marks[TIPPED]),
        wrapping=wrapping,
        film=film,
        tip_us=left,
        weighing=_weighing(marks, until),
        whole=(min(told), max(told)) if len(told) > 1 else None,
        followed=until is not None,
        again=again,
    )


def _wrapping(marks: list[int | None]) -> tuple[Span | None, Span | None]:
    """While the ring turns, and while its counters may still move."""
    begin, end = marks[WRAP_START], marks[WRAP_END]
    if begin is None or end is None:
        return None, None
    left = marks[TIPPED]
    until = end + _LATER_US
    if left is not None:
        until = min(until, max(left, end))
    return (begin, end), (begin - _BESIDE_US, until)


def _pair(low: int | None, high: int | None) -> Span | None:
    return None if low is None or high is None or high < low else (low, high)


def _filling(marks: list[int | None], since: int | None) -> Span | None:
    end, begin = marks[FULL] or marks[BIND_START], marks[CLOSED]
    if end is None:
        return None
    if begin is None and since is not None and end - since <= LONG_FILL_US:
        begin = since
    return _pair(begin, end)


def _binding(marks: list[int | None]) -> Span | None:
    begin, end = marks[BIND_START], marks[BIND_END]
    if begin is None or end is None:
        return None
    return begin - _BESIDE_US, end + _BESIDE_US


def _weighing(marks: list[int | None], until: int | None) -> Span | None:
    """From its arrival on the wrapper, or its leaving, until the next bale's."""
    begin = marks[ON_WRAPPER] or marks[WRAP_START] or marks[GATE_OPEN] or marks[BIND_END]
    if begin is None:
        return None
    latest = begin + _WEIGHED_US
    return _pair(begin, latest if until is None else min(until, latest))
