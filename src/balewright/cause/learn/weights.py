"""How much what the network says is worth against cases: the strength of each number as a prior."""

from __future__ import annotations

from typing import Final

from scipy.special import betaincinv, gammaincinv

from balewright.cause.network import Cause, Link, Strength
from balewright.quantities.interval import Interval

STRENGTH_CASES: Final = {Strength.GOOD: 40.0, Strength.FAIR: 15.0, Strength.WEAK: 6.0}
"""A link is worth as if it had been asked after in so many cases; a judgement."""
STRENGTH_EVENTS: Final = {Strength.GOOD: 10.0, Strength.FAIR: 4.0, Strength.WEAK: 1.5}
"""A base rate is worth as if so many cases had been seen in the bales they take; a judgement."""
CONFIDENCE: Final = 0.9


def strength_bales(cause: Cause) -> float:
    """Bales that a base rate is worth."""
    return STRENGTH_EVENTS[cause.grounds.strength] * 1000.0 / cause.arises_per_1000


def strength_cases(link: Link) -> float:
    """Cases that a link is worth."""
    return STRENGTH_CASES[link.grounds.strength]


def rate_interval(events: float, run_bales: float) -> Interval:
    """A rate in a thousand bales from so many events in so many bales, prior in both (Gamma)."""
    tail = (1.0 - CONFIDENCE) / 2.0
    low, high = (float(gammaincinv(events, p)) / run_bales * 1000.0 for p in (tail, 1.0 - tail))
    best = events / run_bales * 1000.0
    return Interval(min(low, best), best, max(high, best), CONFIDENCE)


def share_interval(shown_share: float, of_share: float) -> Interval:
    """A share from so much shown of so much, in cases, prior in both (Beta)."""
    tail = (1.0 - CONFIDENCE) / 2.0
    a, b = shown_share, of_share - shown_share
    low, high = (float(betaincinv(a, b, p)) for p in (tail, 1.0 - tail))
    best = a / of_share
    return Interval(min(low, best), best, max(high, best), CONFIDENCE)
