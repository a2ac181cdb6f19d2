"""The film of each bale: metres by dispenser, turns, breaks, and which roll was lost when."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from balewright.records.cycles.cycles import Cycles
from balewright.records.cycles.rules import SECOND_US
from balewright.records.cycles.samples import Samples
from balewright.records.cycles.windows import Windows

_EDGE_US: Final = 1 * SECOND_US
"""Film is not yet seen when the ring starts, and gone when it is cut: neither is a break."""
_DWELL_US: Final = 400_000
"""Film that flutters off its sensor is back sooner."""

Cells = dict[str, list[Any]]


def film_cells(read: Mapping[str, Samples], spans: list[Windows], cycles: Cycles) -> Cells:
    """Columns of wrapping, by name; a row that was not wrapped knows none."""
    cells: Cells = {}
    for name in ("wrap_turns", "film1_m", "film2_m"):
        if name in read:
            held = read[name]
            cells[name] = [None if s.film is None else held.risen(*s.film) for s in spans]
    if "film1_m" in cells and "film2_m" in cells:
        pairs = zip(cells["film1_m"], cells["film2_m"], strict=True)
        cells["film_m"] = [None if None in pair else sum(pair) for pair in pairs]
    if "wrap_rpm" in read:
        cells["wrap_rpm"] = [_turning(read["wrap_rpm"], span) for span in spans]
    cells["film_start_tries"] = [int(starts) if starts else None for starts in cycles.starts]
    rolls = [roll for roll in (1, 2) if f"film{roll}_there" in read]
    if rolls:
        _breaks(read, spans, cells, rolls)
    return cells


def _turning(held: Samples, span: Windows) -> float | None:
    if span.wrapping is None:
        return None
    values, _ = held.within(*span.wrapping)
    values = values[values > 0.0]
    return float(values.mean()) if len(values) else None


def _breaks(
    read: Mapping[str, Samples], spans: list[Windows], cells: Cells, rolls: list[int]
) -> None:
    for name in (*(f"film{roll}_breaks" for roll in rolls), "film_breaks", "rolls_on"):
        cells[name] = []
    cells["roll_lost"], cells["roll_lost_turn"] = [], []
    for span in spans:
        falls = {roll: _falls(read[f"film{roll}_there"], span) for roll in rolls}
        known = {roll: each for roll, each in falls.items() if each is not None}
        for roll in rolls:
            broke = known.get(roll)
            cells[f"film{roll}_breaks"].append(None if broke is None else len(broke))
        there = _spoken(read, span, rolls)
        every = bool(there) and all(roll in known for roll in there)
        cells["film_breaks"].append(sum(map(len, known.values())) if every else None)
        cells["rolls_on"].append(_running(read, span, there) if every else None)
        lost = [(at[0], roll) for roll, at in known.items() if at]
        roll_lost = min(lost, default=None)
        cells["roll_lost"].append(None if roll_lost is None else roll_lost[1])
        turn = None
        if roll_lost is not None and "wrap_turns" in read and span.film is not None:
            turn = read["wrap_turns"].risen(span.film[0], roll_lost[0])
        cells["roll_lost_turn"].append(turn)


def _spoken(read: Mapping[str, Samples], span: Windows, rolls: list[int]) -> list[int]:
    """Rolls whose sensor had spoken by the end of wrapping: one that speaks only later cannot be
    waited for."""
    if span.wrapping is None:
        return []
    until_us = span.wrapping[1]
    return [roll for roll in rolls if read[f"film{roll}_there"].spoke_by(until_us)]


def _falls(held: Samples, span: Windows) -> list[int] | None:
    """When film was gone from its sensor while the ring turned; None where nothing was heard."""
    if span.wrapping is None:
        return None
    low, high = span.wrapping[0] + _EDGE_US, span.wrapping[1] - _EDGE_US
    values, _ = held.within(low, high)
    return held.falls(low, high, _DWELL_US) if len(values) > 1 else None


def _running(read: Mapping[str, Samples], span: Windows, rolls: list[int]) -> int | None:
    """How many rolls ran when wrapping began."""
    if span.wrapping is None:
        return None
    begin_us = span.wrapping[0] + 2 * _EDGE_US
    there = [read[f"film{roll}_there"].before(begin_us, 2 * _EDGE_US) for roll in rolls]
    return None if None in there else sum(1 for each in there if each and each > 0.5)
