"""The errors of the house, as a tree.

BalewrightError
├── BadInput          what a person or a file gave cannot be used
│   └── BadProfile    a machine profile with one or more faults
├── NotAnswerable     the question is fair, but the answer is not known here
└── Stopped           somebody asked long work to stop; nothing of it was kept

Every error says where, what was needed, what was given and the cure; only the edges
(`cli`, `desk`) turn them into exit codes or pages.
"""

from __future__ import annotations

from dataclasses import dataclass


class BalewrightError(Exception):
    """Base of every error this package raises on purpose."""


@dataclass(frozen=True)
class Fault:
    """One thing wrong with an input.

    place: where (file, line, key, argument); need: what was needed; given: what stood there;
    cure: what to do about it.
    """

    place: str
    need: str
    given: str
    cure: str

    def __str__(self) -> str:
        return f"{self.place}: needs {self.need}, was given {self.given}. {self.cure}"


class BadInput(BalewrightError, ValueError):
    """An input that cannot be used; carries every fault that was found, not just the first."""

    def __init__(self, *faults: Fault) -> None:
        if not faults:
            raise TypeError("BadInput needs at least one Fault")
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class BadProfile(BadInput):
    """A machine profile with one or more faults."""


class NotAnswerable(BalewrightError):
    """A fair question whose answer is unknown here; the text says what is missing."""


class Stopped(BalewrightError):
    """Long work was asked to stop. Raised out of a `Progress`; nothing is half kept."""
