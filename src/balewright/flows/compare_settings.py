"""Two lists of a machine's settings: which values moved, and which to enter again."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from balewright.plan.machine import Machine
from balewright.quantities.reason import Reason
from balewright.words.say import catalogue, say

_NUMBER: Final = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*(.*)", re.DOTALL)
_SWITCHES: Final = {"yes": "on", "true": "on", "no": "off", "false": "off"}

Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Moved:
    """A setting that has another value now. name: as the later list writes it."""

    name: str
    before: str
    now: str


@dataclass(frozen=True)
class Compared:
    """moved: another value; gone: name and value of the earlier list only; fresh: of the later
    only; same: names that kept their value.
    """

    moved: tuple[Moved, ...]
    gone: Pairs
    fresh: Pairs
    same: tuple[str, ...]

    @property
    def enter_again(self) -> Pairs:
        """What has to be entered to have the earlier settings back: names and values."""
        return (*((one.name, one.before) for one in self.moved), *self.gone)


def compare_settings(before: Pairs, now: Pairs, machine: Machine | None = None) -> Compared:
    """Compare two lists as `readers/settings_list` gives them.

    Upper and lower case and spaces do not matter; numbers are compared as numbers, so that 2,50
    is 2.5 and a unit must be the same. machine: its own words, labels and sheet keys are one name.
    """
    keys = _known_names(machine)
    later = {_same_name(name, keys): (name, value) for name, value in now}
    moved, gone, same = [], [], []
    for name, value in before:
        found = later.pop(_same_name(name, keys), None)
        if found is None:
            gone.append((name, value))
        elif _same_value(value) == _same_value(found[1]):
            same.append(found[0])
        else:
            moved.append(Moved(found[0], value, found[1]))
    return Compared(tuple(moved), tuple(gone), tuple(later.values()), tuple(same))


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _known_names(machine: Machine | None) -> dict[str, str]:
    """Each name that people use for a line of a sheet -> the line's key."""
    labels = {
        _plain(say(Reason(key))): key.removeprefix("line.")
        for key in catalogue()
        if key.startswith("line.")
    }
    own = {} if machine is None else {_plain(word): key for key, word in machine.own_words}
    return labels | own


def _same_name(name: str, keys: dict[str, str]) -> str:
    plain = _plain(name)
    bare = plain.removesuffix(" position")
    key = keys.get(bare, bare)
    return key if bare == plain else f"{key} position"


def _same_value(text: str) -> tuple[float | None, str]:
    plain = _plain(text)
    found = _NUMBER.fullmatch(plain)
    if found is None:
        return None, _SWITCHES.get(plain, plain)
    return float(found[1].replace(",", ".")), found[2]
