"""A dial: a machine's own positions, each mapped to a physical value."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from balewright.quantities.errors import BadInput, Fault


@dataclass(frozen=True)
class Dial:
    """Positions of one setting on a machine's own scale.

    setting: key of the sheet line it sets (`chamber_bar`, `knife_bar`, ...). positions: the
    words or numbers on the machine, in rising order of their physical value; values: the
    physical value of each, in the unit of the setting's name, strictly rising. A machine with
    a falling scale lists its positions in reverse. Only listed positions can be set, so the
    inverse is exact.
    """

    setting: str
    positions: tuple[str, ...]
    values: tuple[float, ...]

    def __post_init__(self) -> None:
        rising = all(a < b for a, b in zip(self.values, self.values[1:], strict=False))
        unique = len(set(self.positions)) == len(self.positions)
        if len(self.positions) != len(self.values) or not self.values or not (rising and unique):
            raise BadInput(
                Fault(
                    place=f"dial {self.setting}",
                    need="as many positions as values, no position twice, values strictly rising",
                    given=f"{self.positions} -> {self.values}",
                    cure="List the positions in rising order of their physical value.",
                )
            )

    def value_at(self, position: str) -> float:
        """The physical value of a position; BadInput when the machine has no such position."""
        if position not in self.positions:
            raise BadInput(
                Fault(
                    place=f"dial {self.setting}",
                    need=f"one of {', '.join(self.positions)}",
                    given=repr(position),
                    cure="Use a position that stands on the machine.",
                )
            )
        return self.values[self.positions.index(position)]

    def position_for(self, value: float) -> str:
        """The position whose physical value is nearest to `value` (the lower one on a tie)."""
        right = bisect_left(self.values, value)
        if right == 0:
            return self.positions[0]
        if right == len(self.values):
            return self.positions[-1]
        left = right - 1
        nearer_left = value - self.values[left] <= self.values[right] - value
        return self.positions[left if nearer_left else right]
