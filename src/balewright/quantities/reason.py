"""A reason is a key and the numbers that belong to it; `words` turns it into a sentence."""

from __future__ import annotations

from dataclasses import dataclass

ReasonValue = float | int | str


@dataclass(frozen=True)
class Reason:
    """Why a value is what it is, or what a finding says, before any language.

    key: dotted name of a message in the catalogues of `words` (e.g. `sheet.layers.crop`).
    values: (name, value) pairs; a float's name ends in its unit, so that `words` can print it.
    """

    key: str
    values: tuple[tuple[str, ReasonValue], ...] = ()

    def value(self, name: str) -> ReasonValue:
        """The value stored under `name`; KeyError when there is none."""
        return dict(self.values)[name]


def because(key: str, **values: ReasonValue) -> Reason:
    """Short form: `because("sheet.layers.crop", layers=6)`."""
    return Reason(key, tuple(values.items()))
