"""Mass against volume and moisture: a dry density that no crop has is a reading that is wrong.

Dry matter density is mass times the dry share over volume. Sources give 90 to 231 kg/m3 for round
bales of any crop. Far outside, one of the three readings is not what it says: the one that is
farthest from what the sheet expects is named.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import Run, supported_runs
from balewright.findings.sure import level_interval
from balewright.findings.watched import Bools, Floats, Found, Watched
from balewright.plan.crop import dry_matter_densities, widest
from balewright.quantities.reason import because

DENSER_RATIO: Final = 1.5
LIGHTER_RATIO: Final = 2.0
"""So many times what the densest source has, or that part of the lightest, is no bale. More room
below: soft bales there are, and they are told as soft: `assumed`."""
MASS_ERROR_SHARE: Final = 0.03
"""A scale on the machine is good to about 3 %: `assumed`."""


def dry_kg_m3(watched: Watched, plan: PlannedBale) -> Floats:
    """Dry matter density of each bale, NaN where mass or moisture was not measured."""
    moisture = watched.floats("moisture_frac")
    entered = watched.says("moisture_how", "nominal", "entered")
    dry = fresh_kg_m3(watched, plan) * (1.0 - moisture)
    return np.where(entered, np.nan, dry) if entered.any() else dry


def fresh_kg_m3(watched: Watched, plan: PlannedBale) -> Floats:
    """Density of each bale as it lies, NaN where mass was not measured. The planned diameter
    stands in for one that was not."""
    return watched.keep("fresh", plan.key, lambda: _fresh_kg_m3(watched, plan))


def _fresh_kg_m3(watched: Watched, plan: PlannedBale) -> Floats:
    diameter = watched.floats("diameter_m")
    diameter = np.where(np.isfinite(diameter), diameter, plan.bale.diameter_m)
    volume = np.pi / 4.0 * diameter**2 * plan.bale.length_m
    mass = watched.floats("mass_kg")
    return np.where(watched.says("mass_how", "nominal"), np.nan, mass) / volume


def possible_kg_m3(plan: PlannedBale) -> tuple[float, float]:
    """Dry densities between which there are bales of the sheet's crop."""
    low, high = widest(dry_matter_densities(plan.crop))
    low, best = min(low, plan.dry_kg_m3[0]), plan.dry_kg_m3[1]
    return low / LIGHTER_RATIO, max(high, best) * DENSER_RATIO


def find_balance(watched: Watched) -> Iterator[Found]:
    """Runs of bales whose mass, size and moisture cannot all be right."""
    if not watched.bales.has("mass_kg"):
        return
    for plan, rows in watched.by_plan():
        low, high = possible_kg_m3(plan)
        dry, fresh = dry_kg_m3(watched, plan), fresh_kg_m3(watched, plan)
        known = np.isfinite(dry)
        # without moisture: lighter than its driest, or heavier than sap
        density = np.where(known, dry, fresh)
        high_here = np.where(known, high, _SAP_KG_M3)
        judged = rows & watched.whole & np.isfinite(density)
        for key, out in (("light", density < low), ("heavy", density > high_here)):
            for run in supported_runs(out, judged):
                limit = low if key == "light" else float(np.median(high_here[run.rows]))
                yield _tell(watched, plan, run, density, (key, limit))


_SAP_KG_M3: Final = 1050.0
"""Grass pressed until no air is left is little heavier than water."""


def _tell(
    watched: Watched, plan: PlannedBale, run: Run, density: Floats, over: tuple[str, float]
) -> Found:
    key, limit = over
    seen = level_interval(density[run.rows], MASS_ERROR_SHARE * abs(limit))
    reading = _farthest(watched, plan, run)
    is_dry = bool(np.isfinite(dry_kg_m3(watched, plan)[run.rows]).mean() > 0.5)
    words = because(
        f"findings.balance.{key}_{'dry' if is_dry else 'fresh'}_{_PARTS[reading][0]}",
        density_kg_m3=round(seen.best, 1),
        limit_density_kg_m3=round(limit, 1),
        **watched.facts(run),
    )
    names = ("mass_kg", "moisture_frac", "diameter_m")
    evidence = tuple(name for name in names if watched.bales.mask(name)[run.rows].any())
    return Found(
        FindingKind.SENSOR_MOVED, Weight.NOTE, run, limit, seen, "kg/m3", evidence, words,
        _PARTS[reading][1],
    )  # fmt: skip


_PARTS: Final = {
    "mass_kg": ("scale", "scale"),
    "moisture_frac": ("moisture", "moisture sensor"),
    "diameter_m": ("diameter", "diameter sensor"),
}


def _farthest(watched: Watched, plan: PlannedBale, run: Run) -> str:
    """The reading that differs most from the sheet, as a ratio of what it does to the density."""
    expected = plan.sheet.expected
    off = {
        "mass_kg": watched.floats("mass_kg")[run.rows] / expected.mass_kg.best,
        "moisture_frac": (1.0 - watched.floats("moisture_frac")[run.rows])
        / (1.0 - plan.sheet.conditions.moisture_frac),
        "diameter_m": (watched.floats("diameter_m")[run.rows] / plan.bale.diameter_m) ** 2,
    }
    return max(off, key=lambda name: _size(off[name]))


def _size(ratios: Floats) -> float:
    known = ratios[np.isfinite(ratios) & (ratios > 0)]
    return float(abs(np.log(np.median(known)))) if len(known) else 0.0


def is_possible(watched: Watched, plan: PlannedBale) -> Bools:
    """Bales whose density may be believed; those of unknown density too."""
    low, high = possible_kg_m3(plan)
    dry, fresh = dry_kg_m3(watched, plan), fresh_kg_m3(watched, plan)
    wrong = (dry < low) | (dry > high) | (fresh < low) | (fresh > _SAP_KG_M3)
    return np.asarray(~wrong)
