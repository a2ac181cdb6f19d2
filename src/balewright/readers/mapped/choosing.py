"""One meaning for each column of a table, and one column for each target."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from balewright.readers.mapped.evidence import Evidence, Holds
from balewright.readers.mapped.heading_guess import Meaning, Sure


def choose_meanings(
    possible: Sequence[list[Meaning]], looked: Sequence[Evidence] = ()
) -> list[Meaning | None]:
    """The meaning each column gets, None where it is left out. possible: the surest first; looked:
    what the columns hold.

    Where no heading tells a time and the cells of one column alone are moments, these are a guess.
    """
    chosen = _settle_dates(_choose(possible))
    moments = [at for at, one in enumerate(looked) if one.holds is Holds.MOMENTS]
    if len(moments) == 1 and not any(one and one.target.endswith("_at") for one in chosen):
        chosen[moments[0]] = Meaning("tipped_at", "", Sure.OPEN, "alone", "cells")
    return chosen


def _choose(possible: Sequence[list[Meaning]]) -> list[Meaning | None]:
    """One meaning a column, one column a target: the surest first, then the left one."""
    chosen: list[Meaning | None] = [None] * len(possible)
    taken: Counter[tuple[str, str]] = Counter()
    order = sorted(
        ((one, at) for at, ones in enumerate(possible) for one in ones),
        key=lambda pair: (-pair[0].sure, -pair[0].length, pair[1]),
    )
    for one, at in order:
        part = one.unit if one.unit in ("date", "clock") else ""
        whole_taken = taken[one.target, ""] or (
            not part and (taken[one.target, "date"] or taken[one.target, "clock"])
        )
        if chosen[at] is None and not whole_taken and not taken[one.target, part]:
            chosen[at] = one
            taken[one.target, part] += 1
    return chosen


def _settle_dates(chosen: list[Meaning | None]) -> list[Meaning | None]:
    """A date goes with the first time of day; one without the other is no time."""
    dates = [at for at, one in enumerate(chosen) if one is not None and one.unit == "date"]
    clocks = [at for at, one in enumerate(chosen) if one is not None and one.unit == "clock"]
    for at in dates[1:] if clocks else dates:
        chosen[at] = None
    if not dates:
        for at in clocks:
            chosen[at] = None
        return chosen
    date, first = chosen[dates[0]], chosen[clocks[0]] if clocks else None
    if date is not None and first is not None:
        last = chosen[clocks[-1]] or first
        own = first if first.target != "tipped_at" and len(clocks) == 1 else last
        chosen[dates[0]] = replace(date, target=own.target)
    return chosen
