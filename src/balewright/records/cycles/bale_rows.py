"""From cycles and signals to the bale table: every column that the signals give."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, bale_table
from balewright.records.columns import BY_NAME, Kind
from balewright.records.cycles.bale_doubts import judge_rows
from balewright.records.cycles.cycles import NEVER_US, Cycles
from balewright.records.cycles.film_rows import film_cells
from balewright.records.cycles.phases import PHASES, Sureness
from balewright.records.cycles.rules import SECOND_US
from balewright.records.cycles.samples import Samples, nothing, on_clock
from balewright.records.cycles.windows import Windows, windows_of
from balewright.records.intake import Doubt
from balewright.records.signals import Signals

_AT_FULL: Final = (
    "gate_opening_mm", "chamber_bar", "density_dial", "knife_bar", "knives_in",
    "diameter_m", "diameter_left_m", "diameter_right_m",
)  # fmt: skip
_MEANS: Final = (
    "speed_m_s", "pto_rpm", "pto_torque_nm", "pitch_frac", "roll_frac", "oil_c", "air_c",
    "moisture_frac",
)  # fmt: skip
_OLD_US: Final = 20 * SECOND_US
"""A value at full or at the tip may be so old: some come every ten seconds."""
_SILENT_US: Final = 5 * SECOND_US
"""A sensor silent for longer has not seen what happened meanwhile."""

Cells = dict[str, list[Any]]


def to_bales(
    cycles: Cycles, signals: Signals
) -> tuple[BaleTable, tuple[Doubt, ...], NDArray[np.int64]]:
    """The bale table of cycles, doubts about them, and the message that tells each row.

    signals: those that were cut, or of `cut_pieces` those given with the cycles. A column that no
    signal gives is unknown; so is a time of the cycle that nothing tells, while one inferred from
    another signal stands (how sure each is stays with the cycles). Times are as the recorder's
    clock showed them.
    """
    read = {name: on_clock(signal, cycles.clock) for name, signal in signals.by_name.items()}
    spans = windows_of(cycles)
    cells: Cells = {}
    if cycles.machine is not None:
        cells["machine"] = [cycles.machine] * cycles.rows
    cells["bale_no"] = [
        int(number) if known else None
        for number, known in zip(cycles.bale_no, cycles.numbered, strict=True)
    ]
    _times(cycles, cells)
    _chamber(read, spans, cells, cycles)
    cells.update(film_cells(read, spans, cycles))
    _places(read, spans, cells)
    _fates(read, spans, cells, cycles)
    _keep_believable(cells)
    doubts = (*cycles.doubts, *judge_rows(cycles, signals))
    return bale_table(cycles.rows, cells), doubts, cycles.at


def _times(cycles: Cycles, cells: Cells) -> None:
    shown = cycles.at_us
    told = (cycles.sure != Sureness.NOT_SEEN) & (shown != NEVER_US)
    for phase, name in enumerate(PHASES):
        pairs = zip(shown[:, phase].tolist(), told[:, phase].tolist(), strict=True)
        cells[name] = [each if known else None for each, known in pairs]


def _chamber(
    read: Mapping[str, Samples], spans: list[Windows], cells: Cells, cycles: Cycles
) -> None:
    def each(get: Callable[[Windows], float | None]) -> list[float | None]:
        return [get(span) for span in spans]

    for name in _AT_FULL:
        if name in read:
            cells[name] = each(lambda span, held=read[name]: _at(held, span.full_us))  # type: ignore[misc]
    for name in _MEANS:
        if name in read:
            cells[name] = each(lambda span, held=read[name]: _mean(held, span.filling))  # type: ignore[misc]
    if "moisture_frac" in read:
        held = read["moisture_frac"]
        cells["moisture_max_frac"] = each(lambda span: _extreme(held, span.filling, np.max))
        cells["moisture_how"] = [None if x is None else "sensed" for x in cells["moisture_frac"]]
    if "diameter_m" in cells:
        cells["diameter_how"] = [None if x is None else "sensed" for x in cells["diameter_m"]]
    if "supply_v" in read:
        supply = read["supply_v"]
        cells["supply_min_v"] = each(lambda span: _extreme(supply, span.whole, np.min))
    for name in ("binding_m", "binding_turns"):
        if name in read:
            fed = read[name]
            cells[name] = each(lambda span, held=fed: _risen(held, span.binding))  # type: ignore[misc]
    cells["binding_tries"] = [int(tries) if tries else None for tries in cycles.tries]


def _at(held: Samples, at_us: int | None) -> float | None:
    return None if at_us is None else held.before(at_us, _OLD_US)


def _mean(held: Samples, span: tuple[int, int] | None) -> float | None:
    if span is None:
        return None
    values, _ = held.within(*span)
    return float(values.mean()) if len(values) else None


def _extreme(
    held: Samples, span: tuple[int, int] | None, of: Callable[[NDArray[np.float64]], Any]
) -> float | None:
    if span is None:
        return None
    values, _ = held.within(*span)
    return float(of(values)) if len(values) else None


def _risen(held: Samples, span: tuple[int, int] | None) -> float | None:
    return None if span is None else held.risen(*span)


def _places(read: Mapping[str, Samples], spans: list[Windows], cells: Cells) -> None:
    lat, lon = read.get("lat", nothing()), read.get("lon", nothing())
    found = [(_at(lat, span.tip_us), _at(lon, span.tip_us)) for span in spans]
    found = [(None, None) if None in pair else pair for pair in found]
    cells["lat"], cells["lon"] = [pair[0] for pair in found], [pair[1] for pair in found]
    if "mass_kg" in read:
        mass = read["mass_kg"]
        masses = [None if s.weighing is None else mass.changed(*s.weighing) for s in spans]
        again = [span.again for span in spans]
        cells["mass_kg"] = [None if a else m for m, a in zip(masses, again, strict=True)]
        cells["mass_how"] = [None if m is None else "sensed" for m in cells["mass_kg"]]


def _fates(read: Mapping[str, Samples], spans: list[Windows], cells: Cells, cycles: Cycles) -> None:
    """What became of each bale, where the wrapper's own signals were there to see it."""
    status: list[str | None] = []
    modes: list[str | None] = []
    there = read.get("bale_on_wrapper", nothing())
    switch, turns = read.get("wrapper_on", nothing()), read.get("wrap_turns", nothing())
    for row, span in enumerate(spans):
        alone = not cycles.came[row] and not cycles.counted[row] and span.opened_us is not None
        burst = alone and _heard(there, span.arrival) and span.followed
        ring = switch if _spoken(switch, span.on_wrapper) else turns
        off = cycles.came[row] and not cycles.wrapped[row] and _heard(ring, span.on_wrapper)
        status.append("re-wrapped" if cycles.again[row] else "burst" if burst else None)
        modes.append("wrapper off" if off else None)
    cells["status"], cells["mode"] = status, modes


def _spoken(held: Samples, span: tuple[int, int] | None) -> bool:
    """Whether a signal had said anything by the end of a window."""
    return span is not None and held.spoke_by(span[1])


def _heard(held: Samples, span: tuple[int, int] | None) -> bool:
    """Whether a signal spoke over a window without a long silence."""
    if span is None:
        return False
    _, times = held.within(*span)
    if not len(times):
        return False
    gaps = np.diff(np.concatenate([[span[0]], times, [span[1]]]))
    return bool(gaps.max() <= _SILENT_US)


def _keep_believable(cells: Cells) -> None:
    """A number outside the column's range is no reading of a bale: unknown."""
    for name, given in cells.items():
        column = BY_NAME[name]
        if column.low is None or column.high is None:
            continue
        low, high = column.low, column.high
        cells[name] = [x if x is not None and low <= x <= high else None for x in given]
        if column.kind is Kind.INT:
            cells[name] = [None if x is None else round(x) for x in cells[name]]
