"""Takes values out of one entry of a fault network and keeps every fault it meets."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Any, Final, TypeVar

from balewright.cause.network import Text
from balewright.plan.profile.forms import Form, Key, choice, number, text
from balewright.plan.profile.reading import Reading

E = TypeVar("E", bound=StrEnum)
T = TypeVar("T")

LANGUAGES: Final = ("en", "de", "fr", "pl")
"""Languages every text must be there in, English first."""
LONGEST: Final = 600


class Entry:
    """One table of the file, with its place. Faults go to `reading`."""

    def __init__(self, reading: Reading, raw: Any, where: str) -> None:
        self.reading, self.where = reading, where
        self.raw: Mapping[str, Any] = reading.table(raw, where) or {}

    def only(self, *known: str) -> None:
        """A fault for every key that is not one of these."""
        self.reading.unknown(self.raw, self.where, list(known))

    def fault(self, name: str, need: str, given: object, cure: str) -> None:
        """Keep a fault of one key."""
        self.reading.fault(f"{self.where}.{name}", need, repr(given)[:60], cure)

    def take(self, name: str, form: Form[T], meaning: str) -> T:
        """A value that must be there."""
        return self.reading.take(self.raw, self.where, Key(name, form, meaning))

    def maybe(self, name: str, form: Form[T], otherwise: T) -> T:
        """A value that may be left out."""
        taken = self.reading.take_if_given(self.raw, self.where, Key(name, form, name))
        return otherwise if taken is None else taken

    def word(self, name: str, words: type[E], meaning: str) -> E:
        """One word of an enumeration."""
        return self.take(name, choice(words), meaning)

    def amount(self, name: str, low: float, high: float, meaning: str) -> float:
        """A number in a range."""
        return self.take(name, number(low, high), meaning)

    def line(self, name: str, meaning: str) -> str:
        """One line of text."""
        return self.take(name, text(LONGEST), meaning)

    def keys(self, name: str) -> tuple[str, ...]:
        """A list of keys, which may be empty or left out."""
        given = self.raw.get(name, [])
        if not isinstance(given, list) or not all(isinstance(one, str) for one in given):
            self.fault(name, "a list of texts", given, "Write it in square brackets, in quotes.")
            return ()
        return tuple(given)

    def tables(self, name: str) -> list[Entry]:
        """Every table of a repeated one, which may be left out."""
        given = self.raw.get(name, [])
        if not isinstance(given, list):
            self.fault(name, f"tables [[{self.where}.{name}]]", given, "Use double brackets.")
            return []
        places = (f"{self.where}.{name}[{n}]" for n in range(1, len(given) + 1))
        return [Entry(self.reading, *one) for one in zip(given, places, strict=True)]

    def table(self, name: str) -> Entry:
        """A table that must be there."""
        if name not in self.raw:
            self.fault(name, f"a table [{self.where}.{name}]", None, "Add it.")
        return Entry(self.reading, self.raw.get(name, {}), f"{self.where}.{name}")

    def words(self, name: str) -> Text:
        """A text in every language."""
        said = self.table(name)
        said.only(*LANGUAGES)
        return Text(tuple((code, said.line(code, f"the words in {code}")) for code in LANGUAGES))

    def ways_of_saying(self, name: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """At least one other way to say it in every language."""
        said = self.table(name)
        said.only(*LANGUAGES)
        found = tuple((code, said.keys(code)) for code in LANGUAGES)
        for code, ways in found:
            if not ways or not all(one.strip() for one in ways):
                said.fault(code, "one other way to say it or more", ways, "Add how people say it.")
        return found
