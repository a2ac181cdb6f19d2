"""What the machine's sensors and its recorder make of a day: samples, each with its message."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.signals import Signal, Signals
from balewright.rehearsal.signals.habits import Habits
from balewright.rehearsal.signals.story import Story, row_times

Floats = NDArray[np.float64]
START_US: Final = 1_750_050_000_000_000
"""When the invented day begins."""
_QUANTUM: Final[Mapping[str, float]] = MappingProxyType(
    {"binding_m": 0.1, "binding_turns": 0.05, "film1_m": 0.05, "film2_m": 0.05}
)


@dataclass(frozen=True, eq=False)
class Truth:
    """What truly happened, a row for each bale and each further pass.

    shown_us: (rows, 9), boundaries as the recorder's clock showed them, -1 where there was none;
    numbers: -1 for a further pass; fates, mass_kg as in the story.
    """

    shown_us: NDArray[np.int64]
    numbers: NDArray[np.int64]
    fates: tuple[str, ...]
    mass_kg: Floats


@dataclass(frozen=True, eq=False)
class Heard:
    """One signal before it is recorded: true seconds, values, and which samples are known."""

    at_s: Floats
    values: Floats
    known: NDArray[np.bool_]

    def pick(self, keep: NDArray[np.bool_]) -> Heard:
        """Some of the samples."""
        return Heard(self.at_s[keep], self.values[keep], self.known[keep])


def sense(story: Story, habits: Habits, chance: np.random.Generator) -> dict[str, Heard]:
    """Every signal of the machine, sampled at its own rate, while the control is on."""
    heard = {}
    for name, rate in habits.rates.items():
        period = 1.0 / rate
        at_s = np.arange(chance.uniform(0.0, period), story.ends_s, period)
        at_s = at_s + chance.uniform(0.0, 0.15 * period, len(at_s))
        values = _values(name, story, habits, at_s, chance)
        known = np.ones(len(at_s), dtype=np.bool_)
        for low, high in story.dark:
            known &= ~((at_s >= low) & (at_s < high))
        heard[name] = Heard(at_s, values, known).pick(known)
    return heard


def _values(
    name: str, story: Story, habits: Habits, at_s: Floats, chance: np.random.Generator
) -> Floats:
    if name in ("film1_there", "film2_there"):
        return 1.0 - _switch(story.spans.get(name.replace("there", "gone"), []), at_s)
    if name in story.spans:
        return _switch(story.spans[name], at_s)
    if name in ("bale_no", "mass_kg", "speed_m_s"):
        points = sorted([(0.0, 0.0), *story.steps.get(name, [])])
        begins = np.array([at for at, _ in points])
        held = np.array([value for _, value in points])
        values = held[np.searchsorted(begins, at_s, side="right") - 1]
        if name == "speed_m_s":
            return np.maximum(values + chance.normal(0.0, 0.05, len(at_s)) * (values > 0), 0.0)
        return values
    if name in story.ramps:
        return _ramp(name, story, habits, at_s, chance)
    slow = np.sin(at_s / 600.0)
    plain = {"pto_rpm": 900.0 + 30.0 * slow, "supply_v": 13.2 + 0.4 * slow,
             "moisture_frac": 0.45 + 0.1 * slow, "lat": 10.0 + at_s * 1e-6,
             "lon": 20.0 + at_s * 1e-6}  # fmt: skip
    return plain.get(name, np.zeros(len(at_s)))


def _switch(spans: list[tuple[float, float]], at_s: Floats) -> Floats:
    values = np.zeros(len(at_s))
    for low, high in spans:
        values[np.searchsorted(at_s, low) : np.searchsorted(at_s, high)] = 1.0
    return values


def _ramp(
    name: str, story: Story, habits: Habits, at_s: Floats, chance: np.random.Generator
) -> Floats:
    points = sorted(story.ramps[name], key=lambda point: point[0])
    if name in ("gate_opening_mm", "chamber_fill_frac", "chamber_bar", "wrap_rpm"):
        values = np.interp(at_s, [at for at, _ in points], [value for _, value in points])
        rough = {"gate_opening_mm": 1.5, "chamber_fill_frac": 0.004, "chamber_bar": 0.8}
        values = values + chance.normal(0.0, rough.get(name, 0.1), len(at_s))
        return np.maximum(values, 0.0)
    points = _returning(points, story.dark)
    values = np.interp(at_s, [at for at, _ in points], [value for _, value in points])
    quantum = habits.least_turn if name == "wrap_turns" else _QUANTUM.get(name, 0.01)
    return np.floor(values / quantum + 1e-9) * quantum


def _returning(
    points: list[tuple[float, float]], dark: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    """A counter holds what it has, returns to 0 at the next start and when the control is dark."""
    found: list[tuple[float, float]] = [(-1.0, 0.0)]
    for at, value in points:
        held_at, held = found[-1]
        for low, _ in dark:
            if held_at <= low < at:
                found += [(low, held), (low + 0.001, 0.0)]
                held = 0.0
        if value < held:
            found += [(at - 0.001, held)]
        found.append((at, value))
    return found


def record(
    heard: Mapping[str, Heard], clock: list[tuple[float, float]], late_s: float
) -> tuple[Signals, NDArray[np.int64]]:
    """Signals as recorded, and nothing else. clock: (true second, step) at which the recorder's
    clock was set; late_s: how late a sample is stamped."""
    names = list(heard)
    every = np.concatenate([heard[name].at_s for name in names])
    order = np.argsort(every, kind="stable")
    place = np.empty(len(every), dtype=np.int64)
    place[order] = np.arange(1, len(every) + 1)
    by_name, start = {}, 0
    for name in names:
        one = heard[name]
        behind = start + len(one.at_s)
        if behind > start:
            shown = shown_us(one.at_s + late_s, clock)
            by_name[name] = Signal(
                shown, np.where(one.known, one.values, 0.0), one.known,
                np.zeros(behind - start, dtype=np.bool_), place[start:behind],
            )  # fmt: skip
        start = behind
    times = [signal.at_us for signal in by_name.values()]
    first = min((int(each[0]) for each in times), default=None)
    last = max((int(each[-1]) for each in times), default=None)
    return Signals("rehearsed", "R-0001", MappingProxyType(by_name), first, last), place


def shown_us(at_s: Floats, clock: list[tuple[float, float]]) -> NDArray[np.int64]:
    """What the recorder's clock shows at true seconds."""
    off = np.zeros(at_s.shape)
    for when, step in clock:
        off = off + np.where(at_s >= when, step, 0.0)
    return START_US + np.round((at_s + off) * 1e6).astype(np.int64)


def truth_of(story: Story, clock: list[tuple[float, float]]) -> Truth:
    """The day's truth, boundaries as the recorder's clock showed them."""
    times = row_times(story)
    shown = np.where(np.isfinite(times), shown_us(np.nan_to_num(times), clock), -1)
    order = np.argsort(np.where(np.isfinite(times), times, np.inf).min(axis=1), kind="stable")
    return Truth(
        shown[order],
        np.array(story.numbers, dtype=np.int64)[order],
        tuple(story.fates[place] for place in order.tolist()),
        np.array(story.mass_kg)[order],
    )


def silenced(one: Heard, low_s: float, high_s: float) -> Heard:
    """Without the samples of a stretch."""
    return one.pick((one.at_s < low_s) | (one.at_s >= high_s))


def frozen(one: Heard, low_s: float, high_s: float) -> Heard:
    """Stuck at what it said when the stretch began."""
    first = max(int(np.searchsorted(one.at_s, low_s)) - 1, 0)
    stuck = (one.at_s >= low_s) & (one.at_s < high_s)
    return replace(one, values=np.where(stuck, one.values[first], one.values))
