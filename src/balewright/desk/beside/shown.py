"""Two sheets beside each other as a page shows them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.flows.set_beside import Beside
from balewright.flows.tell_effects import Effect
from balewright.words.sheet_difference import (
    MovedRow,
    Passage,
    asked_moved,
    expected_moved,
    labels_around,
    passages_of,
    settings_moved,
)

_FIRST: Final = "cautions"


@dataclass(frozen=True)
class Shown:
    """beside: what was compared; rows: settings; around: settings that stay for another reason;
    unchanged: how many stay; warned: cautions that only the second sheet has.
    """

    beside: Beside
    asked: tuple[MovedRow, ...]
    rows: tuple[MovedRow, ...]
    expected: tuple[MovedRow, ...]
    around: tuple[str, ...]
    unchanged: int
    warned: Passage | None
    passages: tuple[Passage, ...]

    @property
    def effects(self) -> tuple[Effect, ...]:
        """Those that moved first, each group in its own order."""
        return tuple(sorted(self.beside.effects, key=lambda effect: not effect.moved))

    @property
    def is_empty(self) -> bool:
        """Whether nothing differs."""
        return self.beside.difference.is_empty


def show(beside: Beside) -> Shown:
    """The rows and passages of a comparison."""
    difference = beside.difference
    passages = passages_of(beside.one, beside.other, difference)
    around = labels_around(difference)
    return Shown(
        beside=beside,
        asked=asked_moved(difference),
        rows=settings_moved(difference),
        expected=expected_moved(difference),
        around=around,
        unchanged=len(difference.same) + len(around),
        warned=next((part for part in passages if part.key == _FIRST), None),
        passages=tuple(part for part in passages if part.key != _FIRST),
    )
