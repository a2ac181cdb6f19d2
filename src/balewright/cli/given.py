"""What may stand after an option: shares, pairs and numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence

from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval


def share(option: str, given: str) -> float:
    """A share written 31% or 0.31; a bare number above 1 could be either and is not guessed."""
    text = given.strip()
    try:
        value = float(text.removesuffix("%"))
    except ValueError:
        value = math.nan
    value = value / 100.0 if text.endswith("%") else value
    if not 0.0 <= value <= 1.0:
        need = "a share from 0% to 100%, or from 0 to 1"
        raise BadInput(Fault(option, need, repr(given), "Write 31% or 0.31."))
    return value


def pair(option: str, given: str, example: str) -> tuple[str, str]:
    """Two parts with a colon between them, as in `example`."""
    left, colon, right = given.partition(":")
    if not colon or not left.strip() or not right.strip():
        raise BadInput(Fault(option, "two parts and a colon", repr(given), f"Write {example}."))
    return left.strip(), right.strip()


def number(option: str, given: str, example: str) -> float:
    """One finite number of a pair, as in `example`."""
    try:
        value = float(given)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise BadInput(Fault(option, "a number", repr(given), f"Write {example}."))
    return value


def ends(interval: Interval | None) -> dict[str, float | None] | None:
    """An interval as JSON shows it; None for what is unknown."""
    if interval is None:
        return None
    said: dict[str, float | None] = {"low": interval.low, "best": interval.best}
    return {**said, "high": interval.high, "confidence": interval.confidence}


def three_ends(interval: Interval) -> dict[str, float]:
    """An interval that is a spread of sources, not of a confidence, as JSON shows it."""
    return {"low": interval.low, "best": interval.best, "high": interval.high}


def print_lines(lines: Sequence[str]) -> None:
    """Sentences, one a line."""
    for line in lines:
        print(line)
