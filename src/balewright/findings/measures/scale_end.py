"""Sensors that stand at the end of their scale: the true value lies beyond, nobody knows how far.

A reading that is as high as any (or as low) on many bales, to the last digit, while all other
readings hardly ever repeat, is no crop: it is where the scale ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import binom

from balewright.findings.finding import Finding, FindingKind, Start, Weight
from balewright.findings.measures.book import sensors_of
from balewright.findings.measures.frozen import CHANCE, readings
from balewright.findings.measures.telling import unit_end
from balewright.findings.runs import Run
from balewright.findings.sure import share_interval
from balewright.findings.watched import Bools, Floats, Found, Watched, tell
from balewright.quantities.reason import because

FEWEST: Final = 12
"""Bales at the end below which nothing is told: `assumed`."""
OTHERS: Final = 20
"""Readings elsewhere that must show how seldom the sensor repeats itself: `assumed`."""
FINE: Final = 0.5
"""Other readings must differ so often from each other: a coarse scale has its fullest step
anywhere, at its end too: `assumed`."""
SHARE: Final = 0.10
"""And from this share of the bales on it matters: `assumed`."""


def find_scale_ends(watched: Watched, own: Bools | None = None) -> Iterator[Finding]:
    """Columns that stand at the end of their scale, high or low, on many of these bales.

    watched: bales in order, some hundred or more; own: those that must have one of them, all where
    None. A low end at zero is none: nothing was there to be read. Coarse columns repeat everywhere,
    so their highest value says nothing.
    """
    for column in sensors_of(watched.machine):
        values = readings(watched, column)
        known = np.flatnonzero(np.isfinite(values))
        if len(known) < FEWEST + OTHERS:
            continue
        for end, level in (("high", values[known].max()), ("low", values[known].min())):
            rows = known[values[known] == level]
            if len(rows) < max(FEWEST, SHARE * len(known)) or (end == "low" and level == 0.0):
                continue
            chance = _chance(values[known], float(level))
            if chance < CHANCE and (own is None or own[rows].any()):
                yield _tell(watched, column, rows, (end, chance))


def _chance(values: Floats, level: float) -> float:
    """Chance of so many readings at one level, were it as usual as the most usual other one; 1
    where other readings are too few or too coarse to say how usual repeats are."""
    others = np.unique(values[values != level], return_counts=True)[1]
    seen = int(others.sum())
    if seen < OTHERS or len(others) < FINE * seen:
        return 1.0
    usual = (int(others.max()) + 1) / (seen + 1)
    return float(binom.sf(len(values) - seen - 1, len(values), usual))


def _tell(watched: Watched, column: str, rows: NDArray[np.intp], how: tuple[str, float]) -> Finding:
    known = int(np.isfinite(readings(watched, column)).sum())
    run = Run(rows.astype(np.int64), known)
    unit = unit_end(column)
    level = float(readings(watched, column)[rows[0]])
    words = because(
        f"findings.scale_end.{how[0]}.{unit}",
        columns=column,
        **watched.facts(run),
        **{f"reading_{unit}": level},
    )
    found = Found(
        FindingKind.SENSOR_FROZEN, Weight.COST, run, None, share_interval(len(rows), known),
        "share of bales", (column,), words,
    )  # fmt: skip
    finding = tell(watched, found)
    since, at_us = finding.since_bale, finding.since_us
    return replace(
        finding,
        measure=f"scale end {column}",
        part=column,
        start=Start(since, since, at_us, at_us, 1.0),
        chance_frac=how[1],
    )
