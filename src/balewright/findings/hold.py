"""Density as it is set, and whether the pressure is held.

Where the dial's position is recorded, the pressure is held against what the profile says that
position gives; where it is not, against the sheet, and then a dial set otherwise explains it too.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import supported_runs
from balewright.findings.sure import lasting_noise, level_interval
from balewright.findings.watched import Bools, Floats, Found, Watched
from balewright.quantities.reason import because

PRESSURE_ROOM_SHARE: Final = 0.15
"""How far pressure at full may be from the one set: the step of a dial is 8 to 15 % of it, and
crop that springs moves it by some more: `assumed`."""
NOISE_TIMES: Final = 3.0
PRESSURE_ERROR_BAR: Final = 3.0
DIAL_ROOM: Final = 0.45
"""Less than half a position is a dial between two marks."""


def find_hold(watched: Watched) -> Iterator[Found]:
    """Runs of bales made at another pressure than was set, or with another setting."""
    dial = watched.bales.has("density_dial")
    if not (dial or watched.bales.has("chamber_bar")):
        return
    for plan, rows in watched.by_plan():
        judged = rows & watched.whole
        set_bar = _set_bar(watched, plan)
        yield from _pressure(watched, judged, set_bar)
        if dial:
            yield from _dial(watched, plan, judged)


def _positions(plan: PlannedBale) -> list[tuple[float, float]]:
    """The dial's positions that are numbers, with the pressure each gives, bar."""
    dial = plan.machine.dial("chamber_bar")
    if dial is None:
        return []
    pairs = zip(dial.positions, dial.values, strict=True)
    return [(float(word), bar) for word, bar in pairs if _is_number(word)]


def _is_number(word: str) -> bool:
    return word.replace(".", "", 1).lstrip("-").isdigit()


def _set_bar(watched: Watched, plan: PlannedBale) -> Floats:
    """The pressure that was set at each bale; NaN where the dial stands on no known position."""
    planned = plan.sheet.number("chamber_bar")
    bar = np.full(watched.bales.rows, np.nan if planned is None else planned)
    if not watched.bales.has("density_dial"):
        return bar
    dial = watched.floats("density_dial")
    known = np.full(watched.bales.rows, np.nan)
    for position, value in _positions(plan):
        known[np.abs(dial - position) <= DIAL_ROOM] = value
    return np.where(np.isfinite(dial), known, bar)


def _pressure(watched: Watched, judged: Bools, set_bar: Floats) -> Iterator[Found]:
    gap = watched.floats("chamber_bar") / set_bar - 1.0
    judged = judged & np.isfinite(gap)
    limit = max(PRESSURE_ROOM_SHARE, NOISE_TIMES * lasting_noise(gap[judged]))
    by_dial = np.isfinite(watched.floats("density_dial"))
    for sign, key, weight in ((-1.0, "less", Weight.COST), (1.0, "more", Weight.NOTE)):
        for run in supported_runs(sign * gap > limit, judged):
            seen = level_interval(watched.floats("chamber_bar")[run.rows], PRESSURE_ERROR_BAR)
            asked = float(np.median(set_bar[run.rows]))
            is_set = bool(by_dial[run.rows].all())
            words = because(
                f"findings.hold.{key}" if is_set else f"findings.hold.{key}_than_sheet",
                chamber_bar=round(seen.best, 1),
                set_bar=round(asked, 1),
                **watched.facts(run),
            )
            evidence = ("chamber_bar", *(["density_dial"] if is_set else []))
            yield Found(
                FindingKind.PRESSURE_MOVED, weight, run, asked, seen, "bar", evidence, words,
                "density pressure",
            )  # fmt: skip


def _dial(watched: Watched, plan: PlannedBale, judged: Bools) -> Iterator[Found]:
    line = plan.sheet.line("chamber_bar")
    if line is None or line.position is None or not _is_number(line.position):
        return
    planned, dial = float(line.position), watched.floats("density_dial")
    judged = judged & np.isfinite(dial)
    for key, out in (("less", dial < planned - DIAL_ROOM), ("more", dial > planned + DIAL_ROOM)):
        for run in supported_runs(out, judged):
            seen = level_interval(dial[run.rows])
            words = because(
                f"findings.dial.{key}",
                density_dial=round(seen.best, 2),
                planned_dial=planned,
                **watched.facts(run),
            )
            yield Found(
                FindingKind.SETTING_MOVED, Weight.NOTE, run, planned, seen, "position",
                ("density_dial",), words, "density dial",
            )  # fmt: skip
