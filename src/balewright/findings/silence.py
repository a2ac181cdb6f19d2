"""Sensors that fell silent: what is no longer watched, since which bale."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import Run
from balewright.findings.watched import Found, Watched
from balewright.quantities.reason import because

SILENT: Final = 15
"""So many bales in a row without a value, at the end of the records, are no chance."""
SPOKE: Final = 20
"""Bales before that must show that the sensor once spoke, on nine of ten of them."""
WATCHED_COLUMNS: Final = (
    "closed_at", "full_at", "bind_start_at", "bind_end_at", "gate_open_at", "on_wrapper_at",
    "wrap_start_at", "wrap_end_at", "tipped_at", "binding_turns", "binding_m", "gate_opening_mm",
    "chamber_bar", "density_dial", "knife_bar", "wrap_turns", "wrap_bale_turns", "wrap_rpm",
    "film1_m", "film2_m", "film_m", "diameter_m", "diameter_left_m", "diameter_right_m", "mass_kg",
    "moisture_frac", "speed_m_s", "pto_rpm", "pto_torque_nm", "supply_min_v", "oil_c", "air_c",
)  # fmt: skip
"""Columns that a finding rests on and that a machine fills on every bale."""


def find_silence(watched: Watched) -> Iterator[Found]:
    """Columns that were filled and are empty to the last bale; those that stopped together are
    told together.
    """
    stopped: dict[int, list[str]] = {}
    for name in WATCHED_COLUMNS:
        mask = watched.bales.mask(name)
        spoken = np.flatnonzero(mask)
        if not len(spoken):
            continue
        since = int(spoken[-1]) + 1
        if watched.bales.rows - since < SILENT or since < SPOKE:
            continue
        if mask[since - SPOKE : since].mean() >= 0.9:
            stopped.setdefault(since, []).append(name)
    for since, names in sorted(stopped.items()):
        rows = np.arange(since, watched.bales.rows)
        run = Run(rows, len(rows))
        words = because("findings.silence", columns=", ".join(names), **watched.facts(run))
        yield Found(
            FindingKind.NOT_WATCHED, Weight.NOTE, run, None, None, "",
            tuple(names), words,
        )  # fmt: skip
