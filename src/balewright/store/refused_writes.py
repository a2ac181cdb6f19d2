"""A register that cannot be written or reached: told as bad input, it is no fault of ours."""

from __future__ import annotations

import functools
from collections.abc import Callable
from inspect import isfunction
from typing import Any, Final, TypeVar

from django.db import DatabaseError, DataError, IntegrityError, ProgrammingError

from balewright.quantities.errors import BadInput, Fault

Shelves = TypeVar("Shelves", bound=type)

_SURE: Final = ("SQLITE_FULL", "SQLITE_BUSY", "SQLITE_READONLY")
"""Errors of an embedded register after which nothing of the transaction can come to count: it was
refused before its last page was written. After any other only the register itself can say."""

_OURS: Final = (IntegrityError, DataError, ProgrammingError)


class NothingKept(BadInput):
    """The register refused, and nothing of what it was given counts or ever will."""


def cannot_keep(error: DatabaseError) -> BadInput:
    """The error for a register that is full, locked, read-only or gone."""
    cure = "Free space or give write permission, then do it again: nothing is half done."
    fault = Fault("register", "a register that can be written", str(error), cure)
    name = str(getattr(error.__cause__, "sqlite_errorname", ""))
    return NothingKept(fault) if name.startswith(_SURE) else BadInput(fault)


def telling(shelves: Shelves) -> Shelves:
    """Let every public method of a class of shelves tell it so. A decorator."""
    for base in reversed(shelves.__mro__[:-1]):
        for name, method in vars(base).items():
            if isfunction(method) and not name.startswith("_"):
                setattr(shelves, name, _telling(method))
    return shelves


def _telling(method: Callable[..., Any]) -> Callable[..., Any]:
    @functools.wraps(method)
    def told(*given: Any, **named: Any) -> Any:
        try:
            return method(*given, **named)
        except DatabaseError as error:
            if isinstance(error, _OURS):
                raise
            raise cannot_keep(error) from error

    return told
