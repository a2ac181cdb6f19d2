"""Answers on a command line: yes, no, nobody can tell, or a number."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import TYPE_CHECKING

from balewright.quantities.errors import BadInput, Fault

if TYPE_CHECKING:
    from balewright.cause.evidence_value import Seen


def answers_given(options: argparse.Namespace) -> Mapping[str, Seen]:
    """Answers by key. Raises BadInput for two to one question."""
    from balewright.cause.evidence_value import NO, UNKNOWN, YES, read

    said = ((options.yes, YES), (options.no, NO), (options.unknown, UNKNOWN))
    pairs = [(key, seen) for keys, seen in said for key in keys]
    pairs += [(key, read(value)) for key, value in numbers_given("--read", options.read).items()]
    found: dict[str, Seen] = {}
    for key, seen in pairs:
        if key in found:
            cure = "Give the answer that counts."
            raise BadInput(Fault(f"answer {key}", "one answer", "two", cure))
        found[key] = seen
    return found


def numbers_given(option: str, given: list[str], usual: float | None = None) -> dict[str, float]:
    """NAME=NUMBER pairs; usual: the number of a name without one. Raises BadInput for others."""
    found = {}
    for one in given:
        name, mark, number = one.partition("=")
        try:
            found[name] = usual if usual is not None and not mark else float(number)
        except ValueError:
            name = ""
        if not name or (usual is None and not mark):
            cure = "Write it as name=12.5, without a unit."
            raise BadInput(Fault(option, "a name, =, and a number", repr(one), cure))
    return found
