"""Bale numbers as runs, so that 34 of them read as `812 to 845`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class NumberRun:
    """Numbers from first to last, both included."""

    first: int
    last: int

    @property
    def count(self) -> int:
        """How many."""
        return self.last - self.first + 1


def number_runs(numbers: Iterable[int]) -> tuple[NumberRun, ...]:
    """Distinct numbers as rising runs without gaps."""
    runs: list[NumberRun] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1].last + 1:
            runs[-1] = NumberRun(runs[-1].first, number)
        else:
            runs.append(NumberRun(number, number))
    return tuple(runs)
