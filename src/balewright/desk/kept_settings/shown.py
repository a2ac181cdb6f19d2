"""Kept settings in words: a sheet's line by its label, anything else as it was written."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.desk.wording import words
from balewright.flows.compare_settings import Compared
from balewright.flows.keep_settings import Pairs
from balewright.quantities.reason import Reason
from balewright.store.entries import SnapshotEntry
from balewright.words.say import catalogue, say


@dataclass(frozen=True)
class MovedShown:
    """One setting to enter again; now: None where it is not there any more."""

    name: str
    before: str
    now: str | None


@dataclass(frozen=True)
class ComparedShown:
    """again: what to enter, in order; same: how many kept their value; fresh: new ones."""

    again: tuple[MovedShown, ...]
    same: int
    fresh: Pairs


def show_compared(compared: Compared) -> ComparedShown:
    """What moved, then what is gone."""
    moved = (MovedShown(name_of(one.name), one.before, one.now) for one in compared.moved)
    gone = (MovedShown(name_of(name), value, None) for name, value in compared.gone)
    return ComparedShown((*moved, *gone), len(compared.same), named(compared.fresh))


def show_kept(kept: tuple[SnapshotEntry, ...]) -> list[tuple[SnapshotEntry, Pairs]]:
    """Each entry with its settings in words."""
    return [(one, named(one.settings)) for one in kept]


def named(settings: Pairs) -> Pairs:
    """The same values under the names that people read."""
    return tuple((name_of(name), value) for name, value in settings)


def name_of(name: str) -> str:
    """The words of a sheet's line where it is one, else the name as it was written."""
    bare = name.removesuffix(" position")
    if f"line.{bare}" not in catalogue():
        return name
    label = say(Reason(f"line.{bare}"))
    return label if bare == name else words("settings.position", name=label)
