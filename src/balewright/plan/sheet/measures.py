"""What to measure in the first five bales, with what is expected and the limits for each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from balewright.plan.film.strip import NECK_IN_SPREAD, strip_width_m
from balewright.plan.machine import FullSign
from balewright.plan.sheet.film_plan import FilmPlan
from balewright.plan.sheet.gate import target_opening_mm
from balewright.plan.sheet.setting import Job, Why, name_word
from balewright.plan.sheet.sheet import HowSure, Measure, SheetLine
from balewright.quantities.reason import because
from balewright.quantities.si import M_PER_MM

MOISTURE_FRAC: Final = 0.05
"""A crop that is further off wants another sheet (assumed)."""
STRETCH_FRAC: Final = 0.05
"""How far the two-mark stretch may be off: half the width of EN 14932's range."""
CONE_M: Final = 0.03
"""From here on left and right differ too much (common practice, no source)."""
TAPE_FRAC: Final = 0.02
"""How well an overlap is read with a tape on a bale (assumed)."""
_MARKS_MM: Final = 100.0


def measures_for(
    job: Job, plan: FilmPlan | None, lines: Mapping[str, SheetLine]
) -> Iterator[Measure]:
    """In the order in which a bale shows them. lines: the sheet's, by key."""
    chamber = job.machine.chamber
    if chamber.full_sign is FullSign.GATE_OPENING:
        yield Measure(
            "gate_opening_mm",
            target_opening_mm(job),
            chamber.full_at.low,
            chamber.full_at.high,
            because("measure.why.gate"),
            "profile",
        )
    for side in ("left", "right"):
        diameter = job.diameter_m
        reason = because("measure.why.diameter", cone_m=CONE_M)
        ends = (diameter.best, diameter.low, diameter.high)
        yield Measure(f"diameter_{side}_m", *ends, reason, "practice")
    if plan is not None:
        yield _overlap(plan)
        yield _stretch(plan, lines)
    mass = job.mass_kg
    low_kg, best_kg, high_kg = (round(end, -1) for end in (mass.low, mass.best, mass.high))
    reason = because("measure.why.mass")
    yield Measure("mass_kg", best_kg, low_kg, high_kg, reason, _mass_source(job))
    moisture_frac = job.conditions.moisture_frac
    yield Measure(
        "moisture_frac",
        moisture_frac,
        max(0.0, moisture_frac - MOISTURE_FRAC),
        moisture_frac + MOISTURE_FRAC,
        because("measure.why.moisture"),
        "assumed",
    )


def weighing_line(job: Job) -> SheetLine:
    """Every bale where a scale stands ready, else the first five."""
    if job.machine.senses("mass_kg"):
        why = Why(because("sheet.weighing.machine"), "profile", HowSure.SETTLED)
        return name_word("weighing", "every bale", why)
    if job.conditions.weighed:
        why = Why(because("sheet.weighing.scale"), "given", HowSure.SETTLED)
        return name_word("weighing", "every bale", why)
    return name_word(
        "weighing", "first five", Why(because("sheet.weighing.few"), "wisconsin-bale-guess")
    )


def _mass_source(job: Job) -> str:
    return "missouri-g1250" if not job.conditions.crop.is_wrapped else "fas-bales-2021"


def _overlap(plan: FilmPlan) -> Measure:
    film, wrapper = plan.film, plan.wrapper

    def overlap(strip_m: float) -> float:
        return 1.0 - wrapper.advance_m / (wrapper.dispensers * strip_m)

    narrow, wide = (
        strip_width_m(film.width_m, film.pre_stretch_frac, exponent)
        for exponent in (NECK_IN_SPREAD.high, NECK_IN_SPREAD.low)
    )
    best = overlap(plan.wrapping.strip_m)
    low, high = overlap(narrow) - TAPE_FRAC, overlap(wide) + TAPE_FRAC
    strip_mm = plan.wrapping.strip_m / M_PER_MM
    reason = because("measure.why.overlap", strip_mm=strip_mm)
    return Measure(
        "overlap_frac", round(best, 2), round(low, 2), round(high, 2), reason, "geometry"
    )


def _stretch(plan: FilmPlan, lines: Mapping[str, SheetLine]) -> Measure:
    ratio = plan.film.pre_stretch_frac
    stretch = lines.get("pre_stretch_frac")
    if stretch is not None and isinstance(stretch.value, float):
        ratio = stretch.value
    marks_mm = {"apart_mm": _MARKS_MM, "stretched_mm": round(_MARKS_MM * (1.0 + ratio))}
    ends = (ratio, ratio - STRETCH_FRAC, ratio + STRETCH_FRAC)
    return Measure(
        "pre_stretch_frac", *ends, because("measure.why.stretch", **marks_mm), "en-14932"
    )
