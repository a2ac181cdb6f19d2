"""What may stand after an option: shares, pairs, numbers in a range, and a file for a drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

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


def in_ranges(given: dict[str, object], ranges: dict[str, tuple[float, float, str]]) -> list[Fault]:
    """A fault for each option whose number lies outside its range (lowest, highest, cure)."""
    faults = []
    for option, (low, high, cure) in ranges.items():
        value = given[option[2:].replace("-", "_")]
        if isinstance(value, int | float) and not (math.isfinite(value) and low <= value <= high):
            faults.append(Fault(option, f"a number from {low:g} to {high:g}", f"{value:g}", cure))
    return faults


def ends(interval: Interval | None) -> dict[str, float | None] | None:
    """An interval as JSON shows it; None for what is unknown."""
    if interval is None:
        return None
    said: dict[str, float | None] = {"low": interval.low, "best": interval.best}
    return {**said, "high": interval.high, "confidence": interval.confidence}


def write_drawing(file: Path, drawing: str) -> None:
    """Write an SVG into `file` (--svg). Raises BadInput where it cannot be written."""
    try:
        file.write_text(drawing, encoding="utf-8")
    except OSError as error:
        raise BadInput(
            Fault(
                "--svg",
                "a file that can be written",
                f"{file} ({error.strerror})",
                "Name a file in a folder that exists and that you may write to.",
            )
        ) from error


def print_lines(lines: Sequence[str]) -> None:
    """Sentences, one a line."""
    for line in lines:
        print(line)
