"""Small recordings made by hand: switches and counters by the second, one message each tenth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

import numpy as np

from balewright.records.signals import Signal, Signals

SECOND = 1_000_000
START_US = 1_750_000_000 * SECOND


def spoken(at_s: np.ndarray, values: np.ndarray, start: int = 0) -> Signal:
    """A signal from seconds and values; every tenth of a second is a message."""
    known = np.isfinite(values)
    return Signal(
        START_US + np.round(at_s * 1e6).astype(np.int64),
        np.where(known, values, 0.0),
        known,
        np.zeros(len(values), dtype=np.bool_),
        np.round(at_s * 10).astype(np.int64) + 1 + start,
    )


def switch(on_s: Sequence[tuple[float, float]], until_s: float) -> Signal:
    """On from and to the seconds given, at 10 Hz."""
    at_s = np.arange(0, round(until_s * 10)) / 10.0
    values = np.zeros(len(at_s))
    for low, high in on_s:
        values[(at_s >= low) & (at_s < high)] = 1.0
    return spoken(at_s, values)


def level(points: Sequence[tuple[float, float]], until_s: float) -> Signal:
    """A level through points (second, value), at 10 Hz."""
    at_s = np.arange(0, round(until_s * 10)) / 10.0
    return spoken(at_s, np.interp(at_s, *zip(*points, strict=True)))


def steps(points: Sequence[tuple[float, float]], until_s: float) -> Signal:
    """A value that holds from each second given, at 10 Hz."""
    at_s = np.arange(0, round(until_s * 10)) / 10.0
    begins = [second for second, _ in points]
    values = np.array([value for _, value in points])
    return spoken(at_s, values[np.searchsorted(begins, at_s, side="right") - 1])


def recording(by_name: Mapping[str, Signal]) -> Signals:
    """Signals of one machine."""
    first = min(int(signal.at_us[0]) for signal in by_name.values())
    last = max(int(signal.at_us[-1]) for signal in by_name.values())
    return Signals("day.mf4", "M2-0001", MappingProxyType(dict(by_name)), first, last)


def two_bales() -> dict[str, Signal]:
    """Two bales, 200 s: closed at 5 and 62, full 45 and 101, bound 47-52 and 103-108, gate opens
    at 54 and 110, on the wrapper 57 and 113, wrapped 60-85 and 116-140, off at 88 and 144."""
    until = 200.0
    return {
        "chamber_closed": switch([(5, 54), (62, 110), (118, 200)], until),
        "chamber_full": switch([(45, 54.5), (101, 110.5)], until),
        "binding_on": switch([(47, 52), (103, 108)], until),
        "binding_m": level([(47, 0), (52, 15), (61, 15), (61.05, 0), (103, 0), (108, 14)], until),
        "bale_on_wrapper": switch([(57, 88), (113, 144)], until),
        "wrapper_on": switch([(60, 85), (116, 140)], until),
        "wrap_turns": level(
            [(60, 0), (85, 16), (114, 16), (114.05, 0), (116, 0), (140, 15)], until
        ),
        "tip_on": switch([(86, 90), (142, 146)], until),
        "bale_no": steps([(0, 700), (54.4, 701), (110.4, 702)], until),
        "speed_m_s": steps([(0, 2.0), (54, 0.0), (62, 3.0), (110, 0.0)], until),
    }
