"""Phases of the cycle out of order, for each station by itself and from bale to bale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.clock import resolution_s
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
    for station, begins, frees in _STATIONS:
        if not (watched.bales.has(begins) and watched.bales.has(frees)):
            continue
        out, judged = _overlapping(watched, begins, frees)
        for run in episodes(out, judged):
            words = because(f"findings.phases.{station}_taken", **watched.facts(run))
            yield Found(
                FindingKind.PHASES_DISORDERED, Weight.NOTE, run, None, None, "", (begins, frees),
                words, station,
            )  # fmt: skip


_STATIONS: Final = (
    ("chamber", "closed_at", "gate_open_at"),
    ("wrapper", "on_wrapper_at", "wrap_end_at"),
)
"""A station holds one bale: when the next one comes into it, and when the one before is out."""


def _overlapping(watched: Watched, begins: str, frees: str) -> tuple[Bools, Bools]:
    """Bales that came into a station which by its times still held the one before.

    One that was set aside and came in later than the next is none.
    """
    begun, freed = watched.floats(begins), watched.floats(frees)
    before = np.concatenate([[np.nan], freed[:-1]])
    in_row = np.concatenate([[False], np.diff(watched.bales.column("bale_no")) == 1])
    judged = np.isfinite(begun) & np.isfinite(before) & in_row & watched.bales.mask("bale_no")
    room_us = (resolution_s(watched, begins) + resolution_s(watched, frees)) * MICROSECONDS_PER_S
    earlier = np.concatenate([[np.nan], begun[:-1]])
    judged &= np.isfinite(earlier)
    return judged & (begun > earlier) & (begun < before - room_us), judged


def _disordered(watched: Watched, names: tuple[str, ...]) -> tuple[Bools, Bools]:
    """Where a known phase is earlier than one before it, and where two or more are known."""
    latest = np.full(watched.bales.rows, -np.inf)
    out = np.zeros(watched.bales.rows, dtype=np.bool_)
    known = np.zeros(watched.bales.rows, dtype=np.int64)
    for name in names:
        if not watched.bales.has(name):
            continue
        time = watched.floats(name)
        out |= time < latest - ROUNDING_S * MICROSECONDS_PER_S
        latest = np.fmax(latest, time)
        known += watched.bales.mask(name)
    return out, known >= 2
