"""Checks of single numbers at a function's door."""

from __future__ import annotations

import math

from balewright.quantities.errors import BadInput, Fault


def require_between(name: str, value: float, low: float, high: float) -> float:
    """Give `value` back when it is finite and low <= value <= high.

    name: the argument's name with its unit suffix, as the caller knows it.
    Raises BadInput otherwise (NaN and infinities included).
    """
    if not low <= value <= high or not math.isfinite(value):
        raise BadInput(
            Fault(
                place=name,
                need=f"a number from {low:g} to {high:g}",
                given=f"{value!r}",
                cure="Check the unit: the name ends in it.",
            )
        )
    return value


def require_count(name: str, value: int, low: int, high: int) -> int:
    """Give `value` back when it is a whole number, low <= value <= high; else raise BadInput."""
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise BadInput(
            Fault(
                place=name,
                need=f"a whole number from {low} to {high}",
                given=f"{value!r}",
                cure="Give a whole number in that range.",
            )
        )
    return value
