"""Phases of the cycle out of order, for each station by itself and from bale to bale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import episodes
from balewright.findings.watched import Bools, Found, Watched
from balewright.quantities.reason import because
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES

ROUNDING_S: Final = 1.0
"""Times are often whole seconds: less than this out of order is rounding."""


def find_phases(watched: Watched) -> Iterator[Found]:
    """Bales whose times do not stand in the order of their station."""
    for station, names in (("chamber", CHAMBER_PHASES), ("wrapper", WRAPPER_PHASES)):
        out, judged = _disordered(watched, names)
        for run in episodes(out, judged):
            words = because(f"findings.phases.{station}", **watched.facts(run))
            evidence = tuple(name for name in names if watched.bales.mask(name)[run.rows].any())
            yield Found(
                FindingKind.PHASES_DISORDERED, Weight.NOTE, run, None, None, "", evidence, words
            )


def _disordered(watched: Watched, names: tuple[str, ...]) -> tuple[Bools, Bools]:
    """Where a known phase is earlier than one before it, and where two or more are known."""
    latest = np.full(watched.bales.rows, -np.inf)
    out = np.zeros(watched.bales.rows, dtype=np.bool_)
    known = np.zeros(watched.bales.rows, dtype=np.int64)
    for name in names:
        time = watched.floats(name)
        with np.errstate(invalid="ignore"):
            out |= time < latest - ROUNDING_S * MICROSECONDS_PER_S
        latest = np.fmax(latest, time)
        known += np.isfinite(time)
    return out, known >= 2
