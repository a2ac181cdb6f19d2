"""Options that are numbers: their ranges in one table, all faults told at once."""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from balewright.quantities.errors import BadInput, Fault


@dataclass(frozen=True)
class Number:
    """An option: its range, what it means, its default (None: none), whether it must be given.

    cure: what is said to a wrong one, where its meaning does not tell it; share: 0.70 or 70%;
    whole: no fractions.
    """

    low: float
    high: float
    means: str
    default: float | None = None
    required: bool = False
    cure: str = ""
    share: bool = False
    whole: bool = False


def fraction(text: str) -> float:
    """A share as people write it: 0.70 or 70%. Raises ValueError where it is neither."""
    bare = text.strip()
    value = float(bare.removesuffix("%"))
    return value / 100.0 if bare.endswith("%") else value


def add_numbers(parser: argparse._ActionsContainer, table: Mapping[str, Number]) -> None:
    """One option for each row, in a parser or a group of it; the range stands in its help."""
    for option, number in table.items():
        default = "" if number.default is None else f"; default {number.default:.10g}"
        parser.add_argument(
            option,
            type=_kind(number),
            metavar="SHARE" if number.share else "N",
            required=number.required,
            default=int(number.default) if number.whole and number.default else number.default,
            help=f"{number.means} ({number.low:.10g} to {number.high:.10g}{default})".replace(
                "%", "%%"
            ),
        )


def _kind(number: Number) -> Callable[[str], float]:
    if number.whole:
        return int
    return fraction if number.share else float


def faults_of(options: argparse.Namespace, table: Mapping[str, Number]) -> list[Fault]:
    """A fault for every number that is out of its range, NaN and infinities included."""
    faults = []
    for option, number in table.items():
        value = value_of(options, option)
        if value is None or (math.isfinite(value) and number.low <= value <= number.high):
            continue
        kind = "whole number" if number.whole else "number"
        need = f"a {kind} from {number.low:.10g} to {number.high:.10g}"
        cure = number.cure or f"It is {number.means}."
        faults.append(Fault(option, need, f"{value:g}", cure))
    return faults


def check_numbers(options: argparse.Namespace, table: Mapping[str, Number]) -> None:
    """Raise BadInput with every number that is out of its range."""
    if faults := faults_of(options, table):
        raise BadInput(*faults)


def value_of(options: argparse.Namespace, option: str) -> float | None:
    """What an option such as --film-width-mm was given, or its default."""
    value: float | None = getattr(options, option[2:].replace("-", "_"))
    return value


def as_options(error: BadInput, names: Mapping[str, str]) -> BadInput:
    """The same faults with their places as they were typed: field of the model -> option."""
    return BadInput(
        *(
            Fault(names.get(fault.place, fault.place), fault.need, fault.given, fault.cure)
            for fault in error.faults
        )
    )
