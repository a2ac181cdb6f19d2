"""The filter of a level in plain NumPy, written again from what its module says."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from balewright.findings.watch.level import Usual

EARLY, LONG, LONG_GROUPS, UNSURE = 40, 2000, 60, 3.0


@dataclass
class PlainGroup:
    """A job or a roll: what it adds, and what groups before it taught."""

    square: float
    like: float
    weight: float
    lent: float
    seen: float = 0.0
    raw: float = 0.0
    before: tuple[float, int] | None = None
    bales: int = 0
    total: float = 0.0
    shown: float = 0.0
    held: float = 0.0
    odd: bool = False


@dataclass
class PlainFilter:
    """mean, covariance: level, slopes, job, roll."""

    mean: np.ndarray
    covariance: np.ndarray
    spread2: float
    groups: list[PlainGroup]
    least2: float
    bale_like: float = 0.0
    like_bales: float = 60.0
    last: float | None = None
    judged: int = 0
    rolls: int = 0
    said: list[tuple[float, float]] = field(default_factory=list)

    def begin(self, which: int, other_batch: bool) -> None:
        """A group ends and the next begins."""
        group, place = self.groups[which], len(self.mean) - 2 + which
        if group.bales and self.judged >= EARLY:
            self.learn(which)
        if group.bales:
            self.covariance[0, 0] += 0.0004 * self.spread2
        if other_batch:
            self.covariance[0, 0] += 0.2 * self.spread2
            group.before = None
        like = 0.0 if group.odd or other_batch else group.like
        keep = np.eye(len(self.mean))
        keep[place, place] = like
        self.mean = keep @ self.mean
        self.covariance = keep @ self.covariance @ keep
        fresh = group.square * (1 + UNSURE / (group.seen + group.weight))
        self.covariance[place, place] += (1 - like**2) * fresh
        group.bales, group.total, group.held, group.odd = 0, 0.0, 0.0, False
        group.shown *= like
        self.last = None

    def learn(self, which: int) -> None:
        """From the group that ends, held against the one before it."""
        group = self.groups[which]
        before, group.before = group.before, (group.total / group.bales, group.bales)
        if before is None:
            return
        (one, bales), (other, others) = group.before, before
        like = self.bale_like
        chance = self.spread2 * (1 + like) / (1 - like) * (1 / bales + 1 / others)
        if which == 0 and self.rolls:
            rolls2 = self.groups[1].square
            chance += rolls2 * (1 / max(1.0, bales / 30) + 1 / max(1.0, others / 30))
        most = 9 * (2 * group.square + chance)
        square = (min((one - other) ** 2, most) / 0.995007 - chance) / 2
        fewer = min(bales, others)
        weight = 0.7 * fewer / (fewer + 8)
        group.seen = min(group.seen + weight, LONG_GROUPS)
        group.raw += weight * (square - group.raw) / group.seen
        lent = group.weight * group.lent * self.spread2
        both = (group.seen * group.raw + lent) / (group.seen + group.weight)
        group.square = max(both, 0.0025 * self.spread2)

    def take(self, value: float, explaining: np.ndarray) -> tuple[float, float]:
        """One bale; gives its surprise and the share of a lasting change in it."""
        row = np.array([1.0, *explaining, 1.0, 1.0])
        expected = float(row @ self.mean)
        gain = self.covariance @ row
        variance = float(row @ gain) + self.spread2
        held = float(np.clip((value - expected) / np.sqrt(variance), -3, 3))
        self.mean = self.mean + gain / np.sqrt(variance) * held
        self.covariance = self.covariance - np.outer(gain, gain) / variance
        residual = held * np.sqrt(variance) + expected - float(row[:-2] @ self.mean[:-2])
        shown = 1.0 - sum(group.shown for group in self.groups)
        for which, group in enumerate(self.groups):
            group.total += residual + self.mean[0] - (self.mean[-2] if which else 0.0)
            group.shown += gain[len(gain) - 2 + which] / variance * shown
            if which == 0 or self.rolls:
                self.look(which, held)
        share = shown * np.sqrt(self.spread2 / variance)
        fresh = held
        if self.last is not None:
            rest = 1 / np.sqrt(1 - self.bale_like**2)
            fresh = (held - self.bale_like * self.last) * rest
            share *= rest * (1 - self.bale_like)
            self.like_bales = min(self.like_bales + 1, LONG)
            step = (held * self.last - self.bale_like) / self.like_bales
            self.bale_like = float(np.clip(self.bale_like + step, 0, 0.9))
        self.last = held
        self.learn_spread(held)
        self.judged += 1
        return fresh, share

    def look(self, which: int, held: float) -> None:
        """Leave room for an odd group."""
        group, place = self.groups[which], len(self.mean) - 2 + which
        group.bales += 1
        group.held += held
        off = abs(group.held) > 3 * np.sqrt(group.bales)
        if group.bales in {2, 4, 8, 14} and off and not group.odd:
            group.odd = True
            self.covariance[place, place] += 9 * self.spread2

    def learn_spread(self, held: float) -> None:
        """By halves early on, then by squares."""
        if self.judged < EARLY:
            factor = np.exp((6 if abs(held) > 0.67449 else -6) / (self.judged + 4))
            self.spread2 *= factor
            for group in self.groups:
                group.square *= factor
        else:
            bales = min(max(self.judged, EARLY) + 1, LONG)
            self.spread2 *= 1 + (held**2 / 0.995007 - 1) / bales
        self.spread2 = max(self.spread2, self.least2)


def plain_filter(usual: Usual, first: float, lent: float) -> PlainFilter:
    """A filter that has seen no bale. lent: groups that the usual ones weigh."""
    spread2 = usual.spread**2
    jobs2 = max(usual.group_spread**2, 0.0025 * spread2)
    jobs = PlainGroup(jobs2, usual.group_like_frac, lent, jobs2 / spread2)
    rolls2 = max(usual.roll_spread**2, 0.0025 * spread2) if usual.roll_spread else 0.0
    rolls = PlainGroup(rolls2, usual.roll_like_frac, lent, rolls2 / spread2)
    mean = np.array([first, *usual.slopes, 0.0, 0.0])
    slopes2 = [one**2 for one in usual.slope_spreads]
    covariance = np.diag([100 * spread2, *slopes2, jobs.square, 0.0])
    return PlainFilter(mean, covariance, spread2, [jobs, rolls], usual.least_spread**2)
