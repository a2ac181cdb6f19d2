"""Two setup sheets side by side: what one has and the other has not, and what moved."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields, replace
from enum import StrEnum
from typing import Generic, TypeVar

from balewright.plan.machine import Machine
from balewright.plan.sheet.change import Given, asked_of, change_condition
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import (
    Conditions,
    Conflict,
    Expected,
    LostRoll,
    Measure,
    RollChange,
    Sheet,
    SheetLine,
)
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason

T = TypeVar("T")
Amount = Interval | float | int | str | None


class HowMoved(StrEnum):
    """What became of one line from the one sheet to the other.

    SET: to be set otherwise (value or dial); AROUND: set as before, but its allowed range, reason,
    source or sureness is another.
    """

    GONE = "gone"
    NEW = "new"
    SET = "set"
    AROUND = "around"


@dataclass(frozen=True)
class Moved(Generic[T]):
    """name: what differs; one, other: as each sheet has it, None where it has none."""

    name: str
    one: T | None
    other: T | None

    def flipped(self) -> Moved[T]:
        """The same seen from the other sheet."""
        return replace(self, one=self.other, other=self.one)


@dataclass(frozen=True)
class SheetDifference:
    """Everything in which two sheets differ; what is equal in both is left out.

    origin: machine, profile and program; asked: conditions by `sheet_change` names; lines: in the
    order in which sheets have them; same: keys of the lines that are equal in every respect;
    expected: by names of `Expected`; measures by key; cautions, unknown: by message key, a second
    one of the same key as "key 2"; conflicts by line; roll_changes: "film 1, change 2";
    lost_rolls: by the turn of the loss.
    """

    origin: tuple[Moved[str | int], ...]
    asked: tuple[Moved[Given | tuple[object, ...]], ...]
    lines: tuple[Moved[SheetLine], ...]
    same: tuple[str, ...]
    expected: tuple[Moved[Amount], ...]
    measures: tuple[Moved[Measure], ...]
    cautions: tuple[Moved[Reason], ...]
    conflicts: tuple[Moved[Conflict], ...]
    unknown: tuple[Moved[Reason], ...]
    roll_changes: tuple[Moved[RollChange], ...]
    lost_rolls: tuple[Moved[LostRoll], ...]

    @property
    def is_empty(self) -> bool:
        """Whether both sheets say the same."""
        return not any(getattr(self, part.name) for part in fields(self) if part.name != "same")

    @property
    def settings(self) -> tuple[Moved[SheetLine], ...]:
        """Lines that ask somebody to set something otherwise."""
        return tuple(line for line in self.lines if how_moved(line) is not HowMoved.AROUND)

    def flipped(self) -> SheetDifference:
        """The same seen from the other sheet: `compare_sheets(other, one)`."""
        turned = {
            part.name: tuple(moved.flipped() for moved in getattr(self, part.name))
            for part in fields(self)
            if part.name != "same"
        }
        return replace(self, **turned)


def compare_sheets(one: Sheet, other: Sheet) -> SheetDifference:
    """In what two sheets differ, of whatever machines. Nothing is rounded: equal means equal.

    A sheet does not differ from itself, and `compare_sheets(other, one)` is the same difference
    `flipped()`. The order is total and the same from both sides.
    """
    lines = _moved(_lines, one, other)
    moved = {line.name for line in lines}
    return SheetDifference(
        origin=_moved(_origin, one, other),
        asked=_moved(_asked, one, other),
        lines=lines,
        same=tuple(key for key in _names(_lines(one), _lines(other)) if key not in moved),
        expected=_moved(_expected, one, other),
        measures=_moved(_measures, one, other),
        cautions=_moved(lambda sheet: _numbered((r.key, r) for r in sheet.cautions), one, other),
        conflicts=_moved(lambda sheet: _numbered((c.line, c) for c in sheet.conflicts), one, other),
        unknown=_moved(lambda sheet: _numbered((r.key, r) for r in sheet.unknown), one, other),
        roll_changes=_moved(_rolls, one, other),
        lost_rolls=_moved(_lost, one, other),
    )


def what_if(
    machine: Machine, conditions: Conditions, changes: Iterable[tuple[str, Given]]
) -> SheetDifference:
    """What a changed condition does to a machine's sheet: (name, value) pairs as
    `change_condition` takes them, made one after the other.

    Both sheets are made by the rules of today, without a serial. Raises BadInput for conditions
    that cannot be used, before or after the change.
    """
    changed = conditions
    for name, value in changes:
        changed = change_condition(changed, name, value)
    one, other = (plan_bale(machine, given, None, "") for given in (conditions, changed))
    return compare_sheets(one, other)


def how_moved(line: Moved[SheetLine]) -> HowMoved:
    """Whether a line is gone, new, set otherwise, or only differs in what stands around it."""
    if line.one is None:
        return HowMoved.NEW
    if line.other is None:
        return HowMoved.GONE
    before, after = line.one, line.other
    same = (before.value, before.position) == (after.value, after.position)
    return HowMoved.AROUND if same else HowMoved.SET


def _moved(read: Callable[[Sheet], dict[str, T]], one: Sheet, other: Sheet) -> tuple[Moved[T], ...]:
    """What differs under each name."""
    left, right = read(one), read(other)
    pairs = (Moved(name, left.get(name), right.get(name)) for name in _names(left, right))
    return tuple(pair for pair in pairs if pair.one != pair.other)


def _names(left: Iterable[str], right: Iterable[str]) -> list[str]:
    """Of both, by the place they have in either and, where that ties, by name."""
    places: dict[str, int] = {}
    for found in (left, right):
        for place, name in enumerate(found):
            places[name] = min(place, places.get(name, place))
    return sorted(places, key=lambda name: (places[name], name))


def _origin(sheet: Sheet) -> dict[str, str | int]:
    found: dict[str, str | int | None] = {
        "machine_serial": sheet.machine_serial,
        "profile_key": sheet.profile_key,
        "profile_title": sheet.profile_title,
        "profile_version": sheet.profile_version,
        "code_version": sheet.code_version,
    }
    return {name: value for name, value in found.items() if value is not None}


def _asked(sheet: Sheet) -> dict[str, Given | tuple[object, ...]]:
    return asked_of(sheet.conditions)


def _lines(sheet: Sheet) -> dict[str, SheetLine]:
    return {line.key: line for line in sheet.lines}


def _expected(sheet: Sheet) -> dict[str, Amount]:
    return {part.name: getattr(sheet.expected, part.name) for part in fields(Expected)}


def _measures(sheet: Sheet) -> dict[str, Measure]:
    return {measure.key: measure for measure in sheet.measures}


def _rolls(sheet: Sheet) -> dict[str, RollChange]:
    seen: dict[str, int] = {}
    found = {}
    for change in sheet.roll_changes:
        seen[change.roll] = seen.get(change.roll, 0) + 1
        found[f"{change.roll}, change {seen[change.roll]}"] = change
    return found


def _lost(sheet: Sheet) -> dict[str, LostRoll]:
    return {f"turn {lost.at_turn}": lost for lost in sheet.lost_rolls}


def _numbered(pairs: Iterable[tuple[str, T]]) -> dict[str, T]:
    """By key; the second of a key under "key 2"."""
    seen: dict[str, int] = {}
    found: dict[str, T] = {}
    for key, value in pairs:
        seen[key] = seen.get(key, 0) + 1
        found[key if seen[key] == 1 else f"{key} {seen[key]}"] = value
    return found
