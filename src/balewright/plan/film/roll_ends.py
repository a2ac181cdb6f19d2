"""On which bale each roll will end, for every roll of a day, and how surely."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from balewright.plan.film.error_budget import quantile
from balewright.plan.film.roll_stock import Stock, UseSpread
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

_CONFIDENCE: Final = 0.95
_SPOT: Final = 1e-9


@dataclass(frozen=True)
class RollEnd:
    """One roll runs out.

    bale_no: during which bale, counted from 1; roll: dispenser 1 or 2; done_frac: how much of its
    film for that bale it had laid; replaced: whether a new roll takes over; earliest, latest: the
    bales between which it ends with 95 %, None once a roll works alone.
    """

    bale_no: int
    roll: int
    done_frac: float
    replaced: bool
    earliest: int | None
    latest: int | None


@dataclass(frozen=True)
class RollDay:
    """ends: every roll that runs out, in order; new_rolls: how many are put on; stopped_at: the
    bale at which no roll is left, None where film lasts; left_m: usable metres on each dispenser
    after the last bale.
    """

    ends: tuple[RollEnd, ...]
    new_rolls: int
    stopped_at: int | None
    left_m: tuple[float, ...]


@dataclass(frozen=True)
class Day:
    """bales: 1 to 100,000; spare_rolls: new rolls at hand, None for as many as are needed;
    alone_m: metres a bale of a roll that works alone, None where the machine does not go on with
    one roll.
    """

    bales: int
    spare_rolls: int | None = None
    alone_m: float | None = None

    def __post_init__(self) -> None:
        require_count("bales", self.bales, 1, 100_000)
        if self.spare_rolls is not None:
            require_count("spare_rolls", self.spare_rolls, 0, 100_000)
        if self.alone_m is not None:
            require_between("alone_m", self.alone_m, 1e-3, 1e5)


def roll_ends(uses: tuple[UseSpread, ...], stock: Stock, day: Day) -> RollDay:
    """Walk the day bale by bale on the mean use, and put an interval on every end.

    uses: one for each dispenser. A roll that ends within a bale is replaced there while spares
    last, lower dispenser first; after that the other one works alone, if the machine does.
    Breaks are counted as mean waste. Raises BadInput where uses and rolls do not match.
    Source keys: `geometry`, `label`, `given`.
    """
    if len(uses) != len(stock.left_m):
        raise BadInput(
            Fault(
                "left_m",
                f"what is left for each of {len(uses)} dispensers",
                repr(stock.left_m),
                "Give one number for each dispenser; 0 for an empty one.",
            )
        )
    walk = _Walk(uses, stock, day)
    for bale_no in range(1, day.bales + 1):
        if not walk.wrap(bale_no):
            return RollDay(tuple(walk.ends), walk.new_rolls, bale_no, tuple(walk.left_m))
    return RollDay(tuple(walk.ends), walk.new_rolls, None, tuple(walk.left_m))


class _Walk:
    """The rolls while the bales go by."""

    def __init__(self, uses: tuple[UseSpread, ...], stock: Stock, day: Day) -> None:
        self.uses, self.stock, self.day = uses, stock, day
        self.mean_m = [use.total(1)[0] for use in uses]
        self.left_m = [stock.usable_m(place) for place in range(len(uses))]
        self.begun = [0] * len(uses)  # new rolls put on each dispenser
        self.out = [False] * len(uses)
        self.new_rolls = 0
        self.ends: list[RollEnd] = []

    def wrap(self, bale_no: int) -> bool:
        """Take one bale's film; False where the bale cannot be finished."""
        running = [place for place, gone in enumerate(self.out) if not gone]
        if len(running) < len(self.out):
            if not running or self.day.alone_m is None:
                return False
            return self._draw(running[0], self.day.alone_m, bale_no) == 0.0
        missing_share = 0.0  # of this bale, once a roll ended in it and stays out
        for place in sorted(running, key=self._bales_left):
            need_m = self.mean_m[place]
            if missing_share:
                if self.day.alone_m is None:
                    return False
                need_m += missing_share * max(0.0, self.day.alone_m - need_m)
            missing_share = max(missing_share, self._draw(place, need_m, bale_no))
        return not all(self.out) and (missing_share == 0.0 or self.day.alone_m is not None)

    def _bales_left(self, place: int) -> float:
        return self.left_m[place] / self.mean_m[place]

    def _draw(self, place: int, need_m: float, bale_no: int) -> float:
        """Draw film for one bale; the share of it that this roll could not lay."""
        drawn_m = 0.0
        while self.left_m[place] < need_m - drawn_m - _SPOT:
            drawn_m += self.left_m[place]
            spare = self.day.spare_rolls is None or self.new_rolls < self.day.spare_rolls
            done_frac = drawn_m / need_m
            self.ends.append(self._end(bale_no, place, done_frac, replaced=spare))
            self.left_m[place] = 0.0
            if not spare:
                self.out[place] = True
                return 1.0 - done_frac
            self.new_rolls += 1
            self.begun[place] += 1
            self.left_m[place] = self.stock.roll.usable_m
        self.left_m[place] -= need_m - drawn_m
        return 0.0

    def _end(self, bale_no: int, place: int, done_frac: float, *, replaced: bool) -> RollEnd:
        earliest = latest = None
        if not any(self.out):
            low, high = (self._bale_at(place, share) for share in (0.025, 0.975))
            earliest, latest = min(low, bale_no), max(high, bale_no)
        return RollEnd(bale_no, place + 1, done_frac, replaced, earliest, latest)

    def _bale_at(self, place: int, share: float) -> int:
        """The first bale by which this roll has ended with that chance."""
        film_m = self.stock.usable_m(place) + self.begun[place] * self.stock.roll.usable_m
        roll_variance = self.begun[place] * self.stock.roll_spread_m**2
        reach = math.copysign(quantile(abs(2.0 * share - 1.0), None), share - 0.5)

        def ended(bales: int) -> bool:
            mean_m, variance = self.uses[place].total(bales)
            return mean_m - film_m > reach * math.sqrt(variance + roll_variance)

        below, above = 0, 1
        while not ended(above):
            below, above = above, 2 * above
        while above - below > 1:
            middle = (below + above) // 2
            below, above = (below, middle) if ended(middle) else (middle, above)
        return above
