"""Was the chamber full: how far the gate stood open, how dense the bale is, how moist."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.balance import (
    MASS_ERROR_SHARE,
    dry_kg_m3,
    fresh_kg_m3,
    is_possible,
)
from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import supported_runs
from balewright.findings.sure import level_interval
from balewright.findings.watched import Found, Watched
from balewright.quantities.reason import because

GATE_ROOM_MM: Final = 5.0
"""How far a bale may be from the planned opening where the sheet allows no range of its own."""
GATE_ERROR_MM: Final = 1.0
MOISTURE_ERROR_FRAC: Final = 0.02
"""How far a moisture sensor in a bale chamber is out, one standard deviation: common practice."""
TOO_WET_FRAC: Final = 0.70
"""Above this clostridia are almost certain: University of Kentucky, as quoted by Ohio State."""


def find_gate(watched: Watched) -> Iterator[Found]:
    """Runs of bales whose full chamber stood open less, or more, than the sheet allows."""
    opening = watched.floats("gate_opening_mm")
    for plan, rows in watched.by_plan():
        line, planned = plan.sheet.line("gate_opening_mm"), plan.sheet.number("gate_opening_mm")
        if line is None or planned is None:
            continue
        low = max(planned - GATE_ROOM_MM, -np.inf if line.low is None else line.low)
        high = min(planned + GATE_ROOM_MM, np.inf if line.high is None else line.high)
        low, high = min(low, planned - 3.0), max(high, planned + 3.0)
        judged = rows & watched.whole & np.isfinite(opening)
        for key, out in (("less", opening < low), ("more", opening > high)):
            for run in supported_runs(judged & out, judged):
                seen = level_interval(opening[run.rows], GATE_ERROR_MM)
                words = because(
                    f"findings.gate.{key}",
                    gate_opening_mm=seen.best,
                    planned_gate_opening_mm=planned,
                    **watched.facts(run),
                )
                yield Found(
                    FindingKind.GATE_OPENING_OFF, Weight.COST, run, planned, seen, "mm",
                    ("gate_opening_mm",), words,
                )  # fmt: skip


def find_density(watched: Watched) -> Iterator[Found]:
    """Runs of bales softer than the lowest the sheet believes, as dry matter where known."""
    for plan, rows in watched.by_plan():
        if not plan.crop.is_wrapped and plan.sheet.expected.dry_matter_kg.low <= 0:
            continue
        dry, fresh = dry_kg_m3(watched, plan), fresh_kg_m3(watched, plan)
        low, best = plan.dry_kg_m3
        fresh_plan = plan.sheet.expected.density_kg_m3
        by_dry = np.isfinite(dry)
        share = np.where(by_dry, dry / low, fresh / fresh_plan.low)
        judged = rows & watched.whole & np.isfinite(share) & is_possible(watched, plan)
        for run in supported_runs(judged & (share < 1.0), judged):
            is_dry = bool(by_dry[run.rows].mean() > 0.5)
            values, planned = (dry, best) if is_dry else (fresh, fresh_plan.best)
            known = values[run.rows][np.isfinite(values[run.rows])]
            seen = level_interval(known, MASS_ERROR_SHARE * planned)
            words = because(
                "findings.density.dry" if is_dry else "findings.density.fresh",
                density_kg_m3=round(seen.best, 1),
                planned_density_kg_m3=round(planned, 1),
                lowest_density_kg_m3=round(low if is_dry else fresh_plan.low, 1),
                **watched.facts(run),
            )
            evidence = ("mass_kg", *(["moisture_frac"] if is_dry else []))
            yield Found(
                FindingKind.DENSITY_LOW, Weight.COST, run, planned, seen, "kg/m3", evidence, words
            )


def find_moisture(watched: Watched) -> Iterator[Found]:
    """Runs of bales outside every moisture window the sources give for the sheet's crop."""
    moisture = watched.floats("moisture_frac")
    nominal = watched.says("moisture_how", "nominal")
    for plan, rows in watched.by_plan():
        low, high = plan.moisture_frac
        judged = rows & watched.whole & np.isfinite(moisture) & ~nominal
        for key, out, limit in (("wet", moisture > high, high), ("dry", moisture < low, low)):
            for run in supported_runs(judged & out, judged):
                seen = level_interval(moisture[run.rows], MOISTURE_ERROR_FRAC)
                if seen.holds(limit):  # as far out as the sensor may err is not outside
                    continue
                spoils = key == "wet" and seen.best > TOO_WET_FRAC and plan.crop.is_wrapped
                words = because(
                    f"findings.moisture.{key}",
                    moisture_frac=round(seen.best, 3),
                    limit_moisture_frac=round(limit, 3),
                    planned_moisture_frac=plan.sheet.conditions.moisture_frac,
                    **watched.facts(run),
                )
                yield Found(
                    FindingKind.MOISTURE_OUTSIDE, Weight.HARM if spoils else Weight.COST, run,
                    limit, seen, "fraction", ("moisture_frac",), words,
                )  # fmt: skip
