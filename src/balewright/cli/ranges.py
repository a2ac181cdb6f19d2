"""Options that are numbers: their ranges in one table, all faults told at once."""

from __future__ import annotations

import argparse
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from balewright.quantities.errors import BadInput, Fault


@dataclass(frozen=True)
class Number:
    """An option: its range, what it means, its default (None: none), whether it must be given."""

    low: float
    high: float
    means: str
    default: float | None = None
    required: bool = False


def add_numbers(parser: argparse._ActionsContainer, table: Mapping[str, Number]) -> None:
    """One option for each row, in a parser or a group of it; the range stands in its help."""
    for option, number in table.items():
        default = "" if number.default is None else f"; default {number.default:g}"
        parser.add_argument(
            option,
            type=float,
            metavar="N",
            required=number.required,
            default=number.default,
            help=f"{number.means} ({number.low:g} to {number.high:g}{default})",
        )


def check_numbers(options: argparse.Namespace, table: Mapping[str, Number]) -> None:
    """Raise BadInput with every number that is out of its range, NaN and infinities included."""
    faults = []
    for option, number in table.items():
        value = vars(options)[option[2:].replace("-", "_")]
        if value is None or (math.isfinite(value) and number.low <= value <= number.high):
            continue
        need = f"a number from {number.low:g} to {number.high:g}"
        faults.append(Fault(option, need, f"{value:g}", f"It is {number.means}."))
    if faults:
        raise BadInput(*faults)


def write_drawing(file: Path, drawing: str) -> None:
    """Write an SVG; BadInput where the file cannot be written."""
    try:
        file.write_text(drawing, encoding="utf-8")
    except OSError as error:
        cure = "Name a file in a folder that exists and that you may write to."
        given = f"{file} ({error.strerror})"
        raise BadInput(Fault("--svg", "a file that can be written", given, cure)) from error
