"""Forms a value in a profile can take: what is needed, how it is read, what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Generic, TypeVar

from balewright.plan.machine import Span

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)


class Unfit(ValueError):
    """A value does not have the form; the text is the cure."""


@dataclass(frozen=True)
class Form(Generic[T]):
    """need: the form in words; read: gives the value or raises Unfit; stand_in: some value of
    the form, with which reading goes on after a fault, so that all faults are found at once.
    """

    need: str
    read: Callable[[object], T]
    stand_in: T


@dataclass(frozen=True)
class Key(Generic[T]):
    """One key of a profile.

    meaning: for people; sets: the sheet lines that people set within it, empty where the machine
    fixes it; optional: may be left out where the machine has no such thing.
    """

    name: str
    form: Form[T]
    meaning: str
    sets: tuple[str, ...] = ()
    optional: bool = False


def _number(given: object, low: float, high: float) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float):
        raise Unfit("Write a bare number, without quotes or a unit.")
    if not low <= given <= high:  # NaN is in no range; a whole number may be too long for a float
        raise Unfit("Check the unit: the key ends in it.")
    return float(given)


def number(low: float, high: float) -> Form[float]:
    """A finite number from low to high."""
    return Form(f"a number from {low:g} to {high:g}", lambda given: _number(given, low, high), low)


def whole(low: int, high: int) -> Form[int]:
    """A whole number from low to high."""

    def read(given: object) -> int:
        if isinstance(given, bool) or not isinstance(given, int) or not low <= given <= high:
            raise Unfit("Write a whole number in that range, without a decimal point.")
        return given

    return Form(f"a whole number from {low} to {high}", read, low)


def _list(given: object) -> list[object]:
    if not isinstance(given, list) or not given:
        raise Unfit("Write a list in square brackets, with at least one entry.")
    return list(given)


def span(low: float, high: float) -> Form[Span]:
    """Two numbers, lowest first, both from low to high."""

    def read(given: object) -> Span:
        ends = [_number(end, low, high) for end in _list(given)]
        if len(ends) != 2 or ends[0] > ends[1]:
            raise Unfit("Write [lowest, highest].")
        return Span(ends[0], ends[1])

    return Form(f"two numbers [lowest, highest] from {low:g} to {high:g}", read, Span(low, high))


def rising(low: float, high: float) -> Form[tuple[float, ...]]:
    """At least one number, each above the one before, all from low to high."""

    def read(given: object) -> tuple[float, ...]:
        steps = tuple(_number(step, low, high) for step in _list(given))
        if any(a >= b for a, b in pairwise(steps)):
            raise Unfit("Write each number once, lowest first.")
        return steps

    return Form(f"rising numbers from {low:g} to {high:g}", read, (low,))


def wholes(low: int, high: int) -> Form[tuple[int, ...]]:
    """At least one whole number, all from low to high, in any order."""
    one = whole(low, high)
    return Form(
        f"whole numbers from {low} to {high}",
        lambda given: tuple(one.read(entry) for entry in _list(given)),
        (low,),
    )


def choice(options: type[E]) -> Form[E]:
    """One word of an enumeration."""
    words = [option.value for option in options]

    def read(given: object) -> E:
        if not isinstance(given, str) or given not in words:
            raise Unfit(_did_you_mean(given, words) or "Use one of these words.")
        return options(given)

    return Form("one of " + ", ".join(words), read, next(iter(options)))


def choices(options: type[E]) -> Form[tuple[E, ...]]:
    """One or more words of an enumeration, none twice."""
    one = choice(options)

    def read(given: object) -> tuple[E, ...]:
        chosen = tuple(one.read(entry) for entry in _list(given))
        if len(set(chosen)) != len(chosen):
            raise Unfit("Write each word once.")
        return chosen

    return Form(f"a list, each {one.need}", read, (one.stand_in,))


def flag() -> Form[bool]:
    """true or false."""

    def read(given: object) -> bool:
        if not isinstance(given, bool):
            raise Unfit("Write true or false, without quotes.")
        return given

    return Form("true or false", read, False)


def text(longest: int) -> Form[str]:
    """Printable text on one line, not blank."""

    def read(given: object) -> str:
        if not isinstance(given, str):
            raise Unfit("Write text in quotes.")
        if not given.strip() or len(given) > longest or not given.isprintable():
            raise Unfit("Write one line of that length at most.")
        return given

    return Form(f"text of 1 to {longest} characters", read, "-")


def name() -> Form[str]:
    """A name for ever: small letters, digits and hyphens."""

    def read(given: object) -> str:
        plain = isinstance(given, str) and given.replace("-", "").isalnum() and given.isascii()
        if not isinstance(given, str) or not plain or given != given.lower() or len(given) > 40:
            raise Unfit("Use small letters, digits and hyphens, 40 at most.")
        return given

    return Form("a name of small letters, digits and hyphens", read, "-")


def word_of(words: tuple[str, ...]) -> Form[str]:
    """One of some words known to the program."""

    def read(given: object) -> str:
        if not isinstance(given, str) or given not in words:
            raise Unfit(_did_you_mean(given, words) or "Use one of these words.")
        return given

    return Form("one of " + ", ".join(words), read, words[0])


def labels() -> Form[tuple[str, ...]]:
    """At least one short text."""
    one = text(20)
    return Form(
        f"a list of texts, each {one.need}",
        lambda given: tuple(one.read(entry) for entry in _list(given)),
        ("-",),
    )


def nearest(given: str, names: Collection[str]) -> str | None:
    """The name that begins so or takes fewest changed letters to reach, None when none is near."""
    longer = [known for known in names if given and known.startswith(given)]
    if longer:
        return longer[0]
    ranked = sorted((_changes(given, known), known) for known in names)
    return ranked[0][1] if ranked and ranked[0][0] <= max(2, len(given) // 3) else None


def _did_you_mean(given: object, words: Collection[str]) -> str | None:
    near = nearest(given, words) if isinstance(given, str) else None
    return None if near is None else f"Did you mean {near!r}?"


def _changes(one: str, other: str) -> int:
    """Letters to insert, drop or change between two words (Levenshtein's distance)."""
    row = list(range(len(other) + 1))
    for place, letter in enumerate(one, start=1):
        last, row[0] = row[0], place
        for column, known in enumerate(other, start=1):
            kept = last + (letter != known)
            last, row[column] = row[column], min(kept, row[column] + 1, row[column - 1] + 1)
    return row[-1]
