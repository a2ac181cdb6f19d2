"""Frozen values to JSON and back, exactly: the types say how to read."""

from __future__ import annotations

import math
import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import StrEnum
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from balewright.quantities.errors import BadInput, Fault

T = TypeVar("T")


def to_json(value: object) -> Any:
    """Dataclasses as objects, tuples as lists, enumerations as their word; the rest as it is."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_json(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [to_json(entry) for entry in value]
    return str(value) if isinstance(value, StrEnum) else value


def from_json(kind: type[T], raw: object, place: str) -> T:
    """A value of dataclass `kind` from what `to_json` gave.

    place: what it is, for messages. Raises BadInput with the dotted place of the first fault;
    a key that the type does not have is a fault, a key that is missing takes the type's default.
    """
    found: T = _read(kind, raw, place)
    return found


def _read(kind: Any, raw: object, place: str) -> Any:
    if is_dataclass(kind):
        return _read_dataclass(kind, raw, place)
    if get_origin(kind) in (Union, types.UnionType):
        return _read_union(get_args(kind), raw, place)
    if get_origin(kind) is tuple:
        return _read_tuple(get_args(kind), raw, place)
    return _read_plain(kind, raw, place)


def _read_plain(kind: Any, raw: object, place: str) -> Any:
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        if isinstance(raw, str) and raw in {option.value for option in kind}:
            return kind(raw)
        raise _bad(place, "one of " + ", ".join(kind), raw)
    is_whole = kind is float and isinstance(raw, int) and not isinstance(raw, bool)
    if type(raw) is not kind and not is_whole:  # a whole number stays one: the trip is exact
        raise _bad(place, kind.__name__, raw)
    if isinstance(raw, float) and not math.isfinite(raw):
        raise _bad(place, "a finite number, or null where unknown", raw)
    return raw


def _read_dataclass(kind: Any, raw: object, place: str) -> Any:
    if not isinstance(raw, Mapping):
        raise _bad(place, "an object", raw)
    hints = get_type_hints(kind)
    unknown = sorted(raw.keys() - hints.keys())
    if unknown:
        raise _bad(f"{place}.{unknown[0]}", "a known key", raw[unknown[0]])
    given = {
        name: _read(hint, raw[name], f"{place}.{name}")
        for name, hint in hints.items()
        if name in raw
    }
    try:
        return kind(**given)
    except TypeError:
        missing = ", ".join(sorted(hints.keys() - given.keys()))
        raise _bad(place, "every key", f"nothing for {missing}") from None


def _read_union(options: tuple[Any, ...], raw: object, place: str) -> Any:
    for option in options:
        try:
            return _read(option, raw, place)
        except BadInput as error:
            deeper = error
            if raw is not None and is_dataclass(option):
                raise
    raise deeper


def _read_tuple(options: tuple[Any, ...], raw: object, place: str) -> Any:
    if not isinstance(raw, list):
        raise _bad(place, "a list", raw)
    if len(options) == 2 and options[1] is Ellipsis:
        entries = enumerate(raw)
        return tuple(_read(options[0], entry, f"{place}[{number}]") for number, entry in entries)
    if len(raw) != len(options):
        raise _bad(place, f"a list of {len(options)}", raw)
    pairs = zip(options, raw, strict=True)
    return tuple(_read(kind, entry, place) for kind, entry in pairs)


def _bad(place: str, need: str, given: object) -> BadInput:
    cure = "Read it with the program that wrote it, or make the sheet again."
    return BadInput(Fault(place, need, repr(given)[:80], cure))
