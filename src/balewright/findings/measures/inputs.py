"""What measures are worked out from: columns read once, bales that count, times between phases.

Every value of a bale is made of that bale and at most of `LOOKS_BACK` bales before it, so that
bales that come in later change nothing that was read before.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property, lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.planned import PlannedBale
from balewright.findings.watched import Bools, Floats, Watched
from balewright.quantities.si import MICROSECONDS_PER_S, S_PER_H

LOOKS_BACK: Final = 64
"""Bales before the first new one that must be at hand for the same values as in one go."""

REST_S: Final = 3.0 * S_PER_H
"""A machine that stood so long has cooled: `assumed`."""
_WARM_S: Final = 6.0 * S_PER_H


class Inputs:
    """One machine's bales, each column and each mask worked out once. Arrays are (bales,)."""

    def __init__(self, watched: Watched) -> None:
        self.bales = watched.bales
        self.machine = watched.machine
        self._watched = watched
        self._columns: dict[str, Floats] = {}
        self._said: dict[tuple[str, str], Bools] = {}

    def floats(self, name: str) -> Floats:
        """A numeric column, NaN where unknown."""
        if name not in self._columns:
            self._columns[name] = self.bales.floats(name)
        return self._columns[name]

    def says(self, name: str, *words: str) -> Bools:
        """Where a text column holds one of `words`; where it is unknown it holds none."""
        found = self._says(name, words[0])
        for word in words[1:]:
            found = found | self._says(name, word)
        return found

    def _says(self, name: str, word: str) -> Bools:
        if (name, word) not in self._said:
            said = np.asarray(self.bales.column(name) == word, dtype=np.bool_)
            self._said[name, word] = said & self.bales.mask(name)
        return self._said[name, word]

    def planned(self, value: Callable[[PlannedBale], float | None]) -> Floats:
        """A number of the sheet in force, NaN where none gives one."""
        if not self._watched.plans:
            return np.full(self.bales.rows, np.nan)
        return self._watched.planned(value)

    def believed(self, name: str) -> Floats:
        """A column of which `<name>_how` may say that nobody sensed it: those are unknown."""
        how = f"{name.rsplit('_', 1)[0]}_how"
        return np.where(self.says(how, "nominal", "entered"), np.nan, self.floats(name))

    @cached_property
    def plain(self) -> Bools:
        """Bales that went the usual way: no burst, no test, no second pass over the wrapper."""
        return ~self.says("status", "burst", "test", "re-wrapped")

    @cached_property
    def undisturbed(self) -> Bools:
        """Plain bales whose film ran from the first turn to the last, on its own."""
        wrapper = self.machine.wrapper
        dispensers = 1 if wrapper is None else wrapper.dispensers
        rolls_on, turns = self.floats("rolls_on"), self.floats("wrap_turns")
        with np.errstate(invalid="ignore"):
            out = (rolls_on < dispensers) | (self.floats("film_start_tries") > 1)
            for name in ("film_breaks", "film1_breaks", "film2_breaks"):
                out |= self.floats(name) > 0
            out |= self.bales.mask("roll_lost") | ~(turns >= 1)
        by_hand: Bools = self.says("mode", "by hand", "wrapper off")
        return self.plain & ~out & ~by_hand

    @cached_property
    def bound_at_once(self) -> Bools:
        """Plain bales whose binding took at the first try, without an overload trip."""
        with np.errstate(invalid="ignore"):
            again = (self.floats("binding_tries") > 1) | (self.floats("overloads") > 0)
        return self.plain & ~again & ~self.says("binding", "none")

    @cached_property
    def follows(self) -> Bools:
        """Where the bale in the row before is the one made just before, as far as numbers tell."""
        number, epoch = self.floats("bale_no"), self.floats("counter_epoch")
        follows = np.zeros(self.bales.rows, dtype=np.bool_)
        with np.errstate(invalid="ignore"):
            gap = (np.diff(number) != 1) & np.isfinite(np.diff(number))
            swapped = (np.diff(epoch) != 0) & np.isfinite(np.diff(epoch))
        follows[1:] = ~gap & ~swapped
        return follows

    @cached_property
    def diameter_m(self) -> Floats:
        """Each bale's own diameter, else the planned one, else the only one the chamber makes."""
        own = self.believed("diameter_m")
        planned = self.planned(lambda plan: plan.bale.diameter_m)
        span = self.machine.chamber.diameter_m
        made = span.low if span.high - span.low < 0.02 else np.nan
        return np.where(np.isfinite(own), own, np.where(np.isfinite(planned), planned, made))

    @cached_property
    def volume_m3(self) -> Floats:
        """Of a cylinder as long as the chamber is wide."""
        return np.pi / 4.0 * self.diameter_m**2 * self.machine.chamber.width_m

    @cached_property
    def wrapped_way_m(self) -> Floats:
        """Way of one strip round the bale in all its wrap turns: 2 (D + L) each."""
        round_m = 2.0 * (self.diameter_m + self.machine.chamber.width_m)
        return np.where(self.undisturbed, self.floats("wrap_turns") * round_m, np.nan)

    @cached_property
    def fill_s(self) -> Floats:
        """Chamber closed to full, trips and stops longer than half an hour left out."""
        with np.errstate(invalid="ignore"):
            tripped = self.floats("overloads") > 0
        seconds = self.seconds("closed_at", "full_at", 5.0, 1800.0)
        return np.where(tripped | ~self.plain, np.nan, seconds)

    @cached_property
    def made_us(self) -> NDArray[np.int64]:
        """When each bale was made; `timed` tells where that is known."""
        return self._watched.made_us

    @cached_property
    def timed(self) -> Bools:
        """Where it is known when a bale was made."""
        return self._watched.timed

    def seconds(self, first: str, then: str, least_s: float, most_s: float) -> Floats:
        """From one time of a bale to another; unknown where it is outside least_s..most_s, as
        where a clock ran back or work stood still."""
        taken = (self.floats(then) - self.floats(first)) / MICROSECONDS_PER_S
        return inside(taken, least_s, most_s)

    @cached_property
    def worked_s(self) -> Floats:
        """Seconds since the first bale after the last rest of `REST_S`, as far back as is at hand:
        after `LOOKS_BACK` bales a machine is warm anyway.
        """
        at_s = np.maximum.accumulate(np.where(self.timed, self.made_us, 0)) / MICROSECONDS_PER_S
        rested = np.ones(len(at_s), dtype=np.bool_)
        rested[1:] = np.diff(at_s) > REST_S
        rows = np.arange(len(at_s))
        last = np.maximum.accumulate(np.where(rested, rows, 0))
        far = rows - last >= LOOKS_BACK
        return np.where(far, _WARM_S, at_s - at_s[last])

    @cached_property
    def pace_bales_h(self) -> Floats:
        """Bales made in the hour before each bale, itself left out, `LOOKS_BACK` at most."""
        timed = self.timed
        at = np.where(timed, self.made_us, 0)
        standing = np.maximum.accumulate(at)  # bales are in order of time but for those without
        first = np.searchsorted(standing, standing - int(S_PER_H) * MICROSECONDS_PER_S, "left")
        count = np.minimum(np.arange(len(at)) - first, LOOKS_BACK).astype(np.float64)
        return np.where(timed, count, np.nan)


_AT_ONCE: Final = 4
"""Machines of which inputs are kept: as many as are usually looked at side by side."""


@lru_cache(maxsize=_AT_ONCE)
def inputs_of(watched: Watched) -> Inputs:
    """The inputs of these bales, worked out once for all measures."""
    return Inputs(watched)


def inside(values: Floats, low: float, high: float) -> Floats:
    """Values outside low..high are unknown."""
    with np.errstate(invalid="ignore"):
        return np.where((values >= low) & (values <= high), values, np.nan)


def ratio(over: Floats, under: Floats) -> Floats:
    """over / under, unknown where under is not above zero."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(under > 0, over / under, np.nan)
