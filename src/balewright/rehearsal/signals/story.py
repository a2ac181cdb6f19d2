"""What truly happens on an invented day, second by second, before anything senses it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.rehearsal.signals.habits import Habits, Spread

COLUMNS: Final = (
    "closed_at", "full_at", "bind_start_at", "bind_end_at", "gate_open_at",
    "on_wrapper_at", "wrap_start_at", "wrap_end_at", "tipped_at",
)  # fmt: skip


class Fate(StrEnum):
    """What becomes of a bale."""

    OK = "ok"
    BURST = "burst"
    REWRAPPED = "re-wrapped"
    WRAPPER_OFF = "wrapper off"
    ROLL_END = "roll end"
    ONE_FILM = "one film"
    BY_HAND = "by hand"


@dataclass(frozen=True)
class Wishes:
    """What shall happen to which bales (0-based).

    fates: by bale, `Fate.OK` for the others; dark: bale -> column of the phase before whose end
    the control goes dark; busy: the wrapper is the bottleneck; weighed_after_s: mass is weighed so
    much later than the bale is tipped, 0 on the wrapper.
    """

    bales: int
    fates: Mapping[int, Fate] = field(default_factory=lambda: MappingProxyType({}))
    dark: Mapping[int, str] = field(default_factory=lambda: MappingProxyType({}))
    busy: bool = False
    weighed_after_s: float = 0.0


@dataclass
class Story:
    """The day as lists of moments. times_s: (rows, 9), NaN where it does not happen; numbers and
    fates of the rows; the rest: from and to seconds at which each thing was so."""

    times_s: list[list[float]] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)
    fates: list[str] = field(default_factory=list)
    mass_kg: list[float] = field(default_factory=list)
    spans: dict[str, list[tuple[float, float]]] = field(default_factory=dict)
    ramps: dict[str, list[tuple[float, float]]] = field(default_factory=dict)
    steps: dict[str, list[tuple[float, float]]] = field(default_factory=dict)
    dark: list[tuple[float, float]] = field(default_factory=list)
    ends_s: float = 0.0

    def span(self, name: str, low_s: float, high_s: float) -> None:
        """A switch is on from low_s to high_s."""
        self.spans.setdefault(name, []).append((low_s, high_s))

    def ramp(self, name: str, *points: tuple[float, float]) -> None:
        """A level runs through points (second, value), straight between."""
        self.ramps.setdefault(name, []).extend(points)

    def step(self, name: str, at_s: float, value: float) -> None:
        """A value holds from at_s on."""
        self.steps.setdefault(name, []).append((at_s, value))


class Teller:
    """Tells a day: draws how long things take and writes them down."""

    def __init__(self, habits: Habits, wishes: Wishes, chance: np.random.Generator) -> None:
        self.habits = habits
        self.wishes = wishes
        self.chance = chance
        self.story = Story()
        self.number = habits.life
        self.chamber_s = float(chance.uniform(5.0, 60.0))
        self.wrapper_s = 0.0
        self.story.step("bale_no", 0.0, self.number)
        self.story.step("mass_kg", 0.0, 640.0)

    def draw(self, spread: Spread) -> float:
        """Seconds out of a range."""
        return float(self.chance.uniform(spread.low, spread.high))

    def tell(self) -> Story:
        """The whole day."""
        for bale in range(self.wishes.bales):
            self._bale(bale, self.wishes.fates.get(bale, Fate.OK))
        self.story.ends_s = max(self.chamber_s, self.wrapper_s) + 40.0
        return self.story

    def _bale(self, bale: int, fate: Fate) -> None:
        """One bale through chamber and wrapper; the next one's chamber begins when it has left."""
        story, dark = self.story, self.wishes.dark.get(bale)
        marks = [float("nan")] * 9
        marks[:5] = self._chamber(dark)
        mass_kg = float(self.chance.uniform(350.0, 1100.0))
        if self.habits.wraps and fate is not Fate.BURST:
            self._wrap(marks, fate, dark, mass_kg)
        self._count(marks, fate)
        story.times_s.append(marks)
        story.numbers.append(self.number)
        story.fates.append(str(fate))
        story.mass_kg.append(mass_kg)

    def _chamber(self, dark: str | None) -> tuple[float, ...]:
        """Closed, full, binding from and to, gate open: seconds."""
        habits, closed = self.habits, self.chamber_s
        if self.chance.random() < 0.04 and not self.wishes.busy:
            closed += float(self.chance.uniform(20.0, 400.0))  # the driver does something else
        fill_s = self.draw(Spread(15.0, 25.0) if self.wishes.busy else habits.fill_s)
        full = closed + fill_s
        if dark == "full_at":
            full += self._go_dark(closed + 0.5 * fill_s)
        bind_start = full + self.draw(habits.bind_wait_s)
        if dark == "bind_start_at":
            bind_start += self._go_dark(full + 0.5 * (bind_start - full))
        bind_end = self._bind(bind_start, dark)
        gate = bind_end + self.draw(habits.open_wait_s)
        if habits.wraps:
            gate = max(gate, self.wrapper_s + self.draw(Spread(0.3, 2.0)))
        if dark == "gate_open_at":
            gate += self._go_dark(bind_end + 0.5 * (gate - bind_end))
        self._fill(closed, full, gate)
        return closed, full, bind_start, bind_end, gate

    def _fill(self, closed: float, full: float, gate: float) -> None:
        """What the chamber's sensors see of it, until the gate has closed behind the bale."""
        story, open_s = self.story, self.draw(self.habits.gate_s)
        story.span("chamber_full", full, gate + float(self.chance.uniform(0.0, 0.8)))
        story.span("chamber_closed", closed, gate)
        moves = min(1.8, open_s * 0.4)
        wide = float(self.chance.uniform(700.0, 1400.0))
        story.ramp(
            "gate_opening_mm", (closed, 8.0), (full, 30.0), (gate, 30.0), (gate + moves, wide),
            (gate + open_s - moves * 0.5, wide),
        )  # fmt: skip
        pressed = float(self.chance.uniform(90.0, 150.0))
        story.ramp("chamber_fill_frac", (closed, 0.05), (full, 1.0), (gate, 1.0))
        story.ramp("chamber_fill_frac", (gate + open_s * 0.8, 0.0))
        story.ramp("chamber_bar", (closed, 20.0), (full, pressed), (gate, pressed))
        story.ramp("chamber_bar", (gate + 0.5, 5.0))
        story.step("speed_m_s", closed, float(self.chance.uniform(1.0, 4.0)))
        story.step("speed_m_s", full, 0.0)
        self.chamber_s = gate + open_s

    def _count(self, marks: list[float], fate: Fate) -> None:
        at = marks[COLUMNS.index(self.habits.number_at)]
        if fate is Fate.BURST or not np.isfinite(at):
            at = marks[COLUMNS.index("gate_open_at")]
        self.number += 1
        self.story.step("bale_no", at + self.draw(self.habits.number_lag_s), self.number)

    def _go_dark(self, at_s: float) -> float:
        """The control is off for a while; seconds until work goes on."""
        off_s = self.draw(Spread(8.0, 90.0))
        self.story.dark.append((at_s, at_s + off_s))
        return off_s + self.draw(Spread(2.0, 25.0))

    def _bind(self, start: float, dark: str | None) -> float:
        lasts = self.draw(self.habits.bind_s)
        metres = float(self.chance.uniform(8.0, 40.0))
        if dark != "bind_end_at":
            self._feed(start, start + lasts, 0.0, metres)
            return start + lasts
        half = start + lasts * float(self.chance.uniform(0.3, 0.7))
        self._feed(start, half, 0.0, metres * 0.5)
        again = half + self._go_dark(half)
        self._feed(again, again + lasts, 0.0, metres)
        return again + lasts

    def _feed(self, low: float, high: float, from_m: float, to_m: float) -> None:
        lag = min(float(self.chance.uniform(0.1, 0.9)), 0.3 * (high - low))
        self.story.span("binding_on", low, high)
        self.story.ramp("binding_m", (low - 0.05, from_m), (low + lag, from_m), (high, to_m))
        turns = 2.5 if to_m else 0.0
        self.story.ramp("binding_turns", (low - 0.05, 0.0), (low + lag, 0.0), (high, turns))

    def _wrap(self, marks: list[float], fate: Fate, dark: str | None, mass_kg: float) -> None:
        habits, story = self.habits, self.story
        came = marks[4] + self.draw(habits.pass_s)
        if dark == "on_wrapper_at":
            came += self._go_dark(marks[4] + 0.3)
        start = came + self.draw(habits.wrap_wait_s)
        if dark == "wrap_start_at":
            start += self._go_dark(came + 0.5 * (start - came))
        end = start
        marks[5] = came
        again: list[float] | None = None
        if fate is not Fate.WRAPPER_OFF:
            end = self._cover(start, fate, dark)
            marks[6], marks[7] = start, end
            if fate is Fate.REWRAPPED:
                second = end + self.draw(Spread(15.0, 60.0))
                end = self._cover(second, Fate.OK, None)
                again = [second, end]
        tip = end + self.draw(habits.tip_wait_s)
        if dark == "tipped_at":
            tip += self._go_dark(end + 0.5 * (tip - end))
        lasts = self.draw(habits.tip_s)
        left = tip + lasts * float(self.chance.uniform(0.3, 0.8))
        story.span("tip_on", tip, tip + lasts)
        story.span("bale_on_wrapper", came, left)
        marks[8] = left
        self.wrapper_s = tip + lasts
        later = self.wishes.weighed_after_s
        weighed = left + later if later else left - 0.3 * (left - tip)
        story.step("mass_kg", weighed, round(mass_kg))
        if again is not None:
            story.times_s.append([*[float("nan")] * 6, *again, left])
            story.numbers.append(-1)
            story.fates.append("again")
            story.mass_kg.append(float("nan"))

    def _cover(self, start: float, fate: Fate, dark: str | None) -> float:
        """Wrap once; seconds at which the ring stopped for good."""
        lasts = self.draw(self.habits.wrap_s)
        if self.wishes.busy:
            lasts = self.draw(Spread(50.0, 90.0))
        turns = float(round(lasts / 60.0 * self.chance.uniform(22.0, 34.0)) + 6)
        if fate is Fate.ONE_FILM:
            turns *= 2.0
        films = ("film1_m",) if fate is Fate.ONE_FILM else ("film1_m", "film2_m")
        if fate is Fate.ONE_FILM:
            self.story.span("film2_gone", start - 5.0, start + lasts + 5.0)
        cut = float(self.chance.uniform(0.25, 0.75))
        if dark == "wrap_end_at":
            self._ring((start, start + lasts * cut), (0.0, turns * cut), films)
            again = start + lasts * cut + self._go_dark(start + lasts * cut)
            rest = lasts * (1.0 - cut)
            self._ring((again, again + rest), (0.0, turns * (1.0 - cut)), films)
            return again + rest
        if fate in (Fate.ROLL_END, Fate.BY_HAND):
            half = start + lasts * cut
            self._ring((start, half), (0.0, turns * cut), films)
            again = half + float(self.chance.uniform(25.0, 160.0))
            if fate is Fate.ROLL_END:
                self.story.span("film1_gone", half - 1.6, again - 4.0)
            self._ring((again, again + lasts - lasts * cut), (turns * cut, turns), films)
            return again + lasts - lasts * cut
        self._ring((start, start + lasts), (0.0, turns), films)
        return start + lasts

    def _ring(
        self, when: tuple[float, float], turns: tuple[float, float], films: tuple[str, ...]
    ) -> None:
        """The ring runs: up to speed, its turns counted, its film drawn, and down again."""
        low, high = when
        self.story.span("wrapper_on", low, high)
        lag = min(0.4, 0.1 * (high - low))
        self.story.ramp(
            "wrap_turns", (low - 0.05, turns[0]), (low + lag, turns[0]), (high, turns[1])
        )
        rpm = (turns[1] - turns[0]) / (high - low) * 60.0
        self.story.ramp("wrap_rpm", (low, 0.0), (low + lag, rpm), (high - lag, rpm), (high, 0.0))
        for name in films:
            self.story.ramp(
                name, (low - 0.05, turns[0] * 2.6), (low + lag, turns[0] * 2.6),
                (high, turns[1] * 2.6),
            )  # fmt: skip


def tell_day(habits: Habits, wishes: Wishes, chance: np.random.Generator) -> Story:
    """What truly happens on a day of `wishes.bales` bales, drawn by `chance`."""
    return Teller(habits, wishes, chance).tell()


def row_times(story: Story) -> NDArray[np.float64]:
    """(rows, 9), seconds of every boundary, NaN where it does not happen."""
    return np.array(story.times_s, dtype=np.float64).reshape(-1, len(COLUMNS))
