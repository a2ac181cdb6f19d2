"""How many faults were found, how soon, and how many findings were false."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from bench.findings.facts import Season, Told
from bench.findings.judging import Book, Whose, is_physics, judge, own_findings
from scipy.stats import binomtest, chi2


@dataclass(frozen=True)
class Spread:
    """Median and 90th percentile of some numbers; None where there are none."""

    count: int
    median: float | None
    ninetieth: float | None


def spread_of(values: Sequence[float]) -> Spread:
    """Median and 90th percentile, each the smallest value that so many are not above.

    No value is made up between two seen ones: with ten values the 90th percentile is the ninth.
    """
    if not values:
        return Spread(0, None, None)
    ordered = sorted(values)

    def at(share: float) -> float:
        return float(ordered[max(int(np.ceil(share * len(ordered) - 1e-9)) - 1, 0)])

    return Spread(len(values), at(0.5), at(0.9))


@dataclass(frozen=True)
class Found:
    """How one lot of faulty seasons went.

    precision: share of all that was told in these seasons (notes and what the truth bears out left
    aside) that is the fault's own; with_sides: the same with its side effects. alarm, review: bales
    from the fault's start until the finding first stood, and until the daily review told it, over
    all seasons of the lot: a fault never found is later than any found one. start_error:
    said start less true start, as last said; covered: (stated intervals that hold the true start,
    how many were stated).
    """

    seasons: int
    found: int
    own: int
    side: int
    false: int
    alarm: Spread
    review: Spread
    start_error: Spread
    start_off: Spread
    covered: tuple[int, int]

    @property
    def recall(self) -> float:
        """Share of the faults that were found."""
        return self.found / self.seasons if self.seasons else 0.0

    @property
    def precision(self) -> float | None:
        """Share of what was told that is the fault's own."""
        told = self.own + self.side + self.false
        return self.own / told if told else None

    @property
    def with_sides(self) -> float | None:
        """Share of what was told that is the fault's own or its side effect."""
        told = self.own + self.side + self.false
        return (self.own + self.side) / told if told else None


def count_found(seasons: Sequence[Season], book: Book) -> Found:
    """Count one lot of faulty seasons.

    Raises ValueError where a season has no fault.
    """
    whose: Counter[Whose] = Counter()
    alarms: list[float] = []
    reviews: list[float] = []
    errors: list[float] = []
    inside = stated = 0
    for season in seasons:
        fault = season.fault
        if fault is None:
            raise ValueError(f"{season.key}: nothing is planted in it")
        whose.update(judge(told, fault, book) for told in season.told)
        own = own_findings(season, book)
        alarms.append(own[0].alarm - fault.start if own else np.inf)
        reviews.append(min((t.first_said.made for t in own), default=np.inf) - fault.start)
        if own:
            said = own[0].last_said
            errors.append(said.since - fault.start)
            if said.first is not None and said.last is not None:
                stated += 1
                inside += said.first <= fault.start <= said.last
    return Found(
        len(seasons), int(np.isfinite(alarms).sum()), whose[Whose.OWN], whose[Whose.SIDE],
        whose[Whose.FALSE], spread_of(alarms), spread_of(reviews), spread_of(errors),
        spread_of([abs(error) for error in errors]), (inside, stated),
    )  # fmt: skip


def split_by(
    seasons: Iterable[Season], label: Callable[[Season], tuple[str, ...]]
) -> dict[tuple[str, ...], list[Season]]:
    """Seasons in lots by label, lots in order of label."""
    lots: dict[tuple[str, ...], list[Season]] = {}
    for season in seasons:
        lots.setdefault(label(season), []).append(season)
    return dict(sorted(lots.items()))


@dataclass(frozen=True)
class Wolf:
    """What was told of machines in order.

    weeks: machine-weeks; false: findings nothing bears out, of which `physics` came without a
    stated chance and `light` neither harm nor cost; true: borne out though not planted; notes;
    worst: (what, how many), most first.
    """

    weeks: int
    false: int
    physics: int
    light: int
    true: int
    notes: int
    worst: tuple[tuple[str, int], ...]

    @property
    def per_thousand(self) -> float:
        """False findings per 1,000 machine-weeks."""
        return 1000.0 * self.false / self.weeks

    @property
    def highest(self) -> float:
        """The rate per 1,000 machine-weeks that is not exceeded with 95 % confidence.

        One-sided, exact for findings that come independently: chi2(0.95; 2 n + 2) / 2 over weeks.
        """
        return 1000.0 * float(chi2.ppf(0.95, 2 * self.false + 2)) / 2.0 / self.weeks


def count_false(seasons: Sequence[Season], book: Book) -> Wolf:
    """Count what was told in seasons without a fault."""
    false: list[Told] = []
    whose: Counter[Whose] = Counter()
    for season in seasons:
        if season.fault is not None:
            raise ValueError(f"{season.key}: something is planted in it")
        for told in season.told:
            mine = judge(told, None, book)
            whose[mine] += 1
            if mine is Whose.FALSE:
                false.append(told)
    kinds = Counter(f"{told.kind} ({told.measure or told.words})" for told in false)
    return Wolf(
        sum(season.weeks for season in seasons), len(false), sum(map(is_physics, false)),
        sum(told.weight == "note" for told in false),
        whose[Whose.TRUE], whose[Whose.NOTE], tuple(kinds.most_common()),
    )  # fmt: skip


def wilson(successes: int, trials: int) -> tuple[float, float]:
    """95 % interval of a share; (0, 1) where nothing was tried."""
    if not trials:
        return 0.0, 1.0
    interval = binomtest(successes, trials).proportion_ci(0.95, method="wilson")
    return float(interval.low), float(interval.high)
