"""What an entry carries, frozen: the shapes of JSON and nothing else."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from balewright.quantities.errors import BadInput, Fault

DEEPEST: Final = 8
"""Levels one inside another: what people enter has three."""
_WHOLE_BELOW: Final = 2.0**53


@dataclass(frozen=True)
class Fields:
    """Named values in the order of their names. pairs: (name, value)."""

    pairs: tuple[tuple[str, Any], ...] = ()

    @cached_property
    def _by_name(self) -> Mapping[str, Any]:
        return dict(self.pairs)

    def get(self, name: str) -> Any:
        """The value of that name, None where there is none."""
        return self._by_name.get(name)

    def text(self, name: str) -> str:
        """The text of that name, "" where there is none."""
        found = self.get(name)
        return found if isinstance(found, str) else ""

    def number(self, name: str) -> float | None:
        """The number of that name, None where there is none or it is too large to reckon with."""
        found = self.get(name)
        if isinstance(found, bool) or not isinstance(found, int | float):
            return None
        try:
            return float(found)
        except OverflowError:
            return None

    def whole(self, name: str) -> int | None:
        """The whole number of that name, None where there is none."""
        found = self.get(name)
        return found if isinstance(found, int) and not isinstance(found, bool) else None

    def texts(self, name: str) -> tuple[str, ...]:
        """The texts of a list of that name; what is no text is left out."""
        found = self.get(name)
        return tuple(one for one in found if isinstance(one, str)) if _is_list(found) else ()

    def parts(self, name: str) -> tuple[Fields, ...]:
        """The named values of a list of that name."""
        found = self.get(name)
        return tuple(one for one in found if isinstance(one, Fields)) if _is_list(found) else ()


def _is_list(value: Any) -> bool:
    return isinstance(value, tuple)


def freeze(value: Any, depth: int = 0) -> Any:
    """A value as JSON reads it, frozen; a whole float is a whole number, so that 5 and 5.0 are
    one content.

    Raises BadInput for what JSON does not have, and more than `DEEPEST` levels.
    """
    if depth > DEEPEST:
        raise _bad(f"at most {DEEPEST} levels", "more")
    if value is None or isinstance(value, str | bool):
        return value
    if isinstance(value, int):
        return value
    if isinstance(value, float):
        if not math.isfinite(value):
            raise _bad("a finite number", repr(value))
        return int(value) if value.is_integer() and abs(value) < _WHOLE_BELOW else value
    if isinstance(value, Mapping):
        if not all(isinstance(name, str) for name in value):
            raise _bad("names that are text", "others")
        return Fields(tuple((name, freeze(value[name], depth + 1)) for name in sorted(value)))
    if isinstance(value, Sequence):
        return tuple(freeze(one, depth + 1) for one in value)
    raise _bad("text, numbers, true, false, null, lists and named values", type(value).__name__)


def thaw(value: Any) -> Any:
    """The value as JSON writes it; `freeze` gives the frozen one back."""
    if isinstance(value, Fields):
        return {name: thaw(one) for name, one in value.pairs}
    if isinstance(value, tuple):
        return [thaw(one) for one in value]
    return value


def fields_of(**named: Any) -> Fields:
    """Frozen fields; what is None is left out."""
    frozen = freeze({name: one for name, one in named.items() if one is not None})
    assert isinstance(frozen, Fields)
    return frozen


def spelled(value: Any) -> str:
    """The value spelled out so that two are spelled alike only if they are one content."""
    if isinstance(value, Fields):
        return "{" + ",".join(f"{name!r}:{spelled(one)}" for name, one in value.pairs) + "}"
    if isinstance(value, tuple):
        return "[" + ",".join(spelled(one) for one in value) + "]"
    return repr(value)


def _bad(need: str, given: str) -> BadInput:
    cure = "Send the entry again from the phone, or leave it out."
    return BadInput(Fault("payload", need, given, cure))
