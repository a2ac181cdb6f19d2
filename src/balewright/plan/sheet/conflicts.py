"""What cannot both be had: each side with its reason, and which one wins. Safety first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from balewright.plan.crop import Crop
from balewright.plan.machine import ChamberKind, TipSide
from balewright.plan.sheet.bale import HEATING_FRAC, SPEED_M_S, crop_density_share, dense_speed_m_s
from balewright.plan.sheet.chamber import DENSE
from balewright.plan.sheet.setting import Job
from balewright.plan.sheet.sheet import Conflict, Ground, SheetLine
from balewright.quantities.reason import because

_HEAVY_KG: Final = 700.0
"""From here on a bale is turned with care (common practice, no source)."""


def conflicts_for(
    job: Job, turning_m_s: float | None, lines: Mapping[str, SheetLine]
) -> Iterator[Conflict]:
    """Those of this job, the gravest first. turning_m_s: the speed from which on the wrapper holds
    back; lines: the sheet's, by key.
    """
    yield from _of_the_slope(job, lines)
    yield from _of_the_crop(job, lines)
    yield from _of_the_pace(job, turning_m_s, lines)


def _of_the_slope(job: Job, lines: Mapping[str, SheetLine]) -> Iterator[Conflict]:
    conditions, machine = job.conditions, job.machine
    if conditions.ground is Ground.FLAT:
        return
    slope = because("conflict.slope.roll", slope_frac=conditions.slope_frac)
    if TipSide.END not in machine.tip.sides:
        only = because("conflict.tip.only")
        settled = because("conflict.tip.settled")
        yield Conflict("tip_side", (slope, only), settled, "hse-round-bales")
    light = because("conflict.slope.light", slope_frac=conditions.slope_frac)
    if crop_density_share(conditions) >= DENSE and "chamber_bar" in lines:
        dense = because("conflict.crop.dense", crop=str(conditions.crop))
        settled = because("conflict.density.settled")
        yield Conflict("chamber_bar", (dense, light), settled, "practice")
    if conditions.ground is Ground.STEEP and machine.chamber.kind is ChamberKind.VARIABLE:
        usual = because("conflict.size.usual")
        settled = because("conflict.size.settled", diameter_m=job.bale.diameter_m)
        yield Conflict("diameter_m", (usual, light), settled, "practice")
    if conditions.dusty and machine.tip.roll_after_s is not None:
        dust, still = because("conflict.dust.roll"), because("conflict.slope.still")
        yield Conflict("roll_after_s", (dust, still), because("conflict.roll.settled"), "practice")


def _of_the_crop(job: Job, lines: Mapping[str, SheetLine]) -> Iterator[Conflict]:
    conditions = job.conditions
    damp = conditions.crop is Crop.HAY and conditions.moisture_frac > HEATING_FRAC
    if damp and "chamber_bar" in lines:
        dense = because("conflict.hay.dense")
        loose = because("conflict.hay.loose", moisture_frac=conditions.moisture_frac)
        settled = because("conflict.hay.settled")
        yield Conflict("chamber_bar", (dense, loose), settled, "mississippi-hay-fire")
    if conditions.stony and conditions.crop.is_wrapped and job.machine.knives is not None:
        chop, stones = because("conflict.chop.dense"), because("conflict.stones.out")
        knives = lines["knives_in"].value
        settled = because("conflict.knives.none")
        if knives:
            settled = because("conflict.knives.settled", knives_in=knives)
        yield Conflict("knives_in", (chop, stones), settled, "chopping-spread")
    film, stretch = conditions.film, lines.get("pre_stretch_frac")
    if film is None or stretch is None or not isinstance(stretch.value, float):
        return
    if stretch.value > film.pre_stretch_frac + 1e-9:
        label = because("conflict.stretch.label", label_frac=film.pre_stretch_frac)
        least = because("conflict.stretch.machine", least_frac=stretch.value)
        settled = because("conflict.stretch.settled")
        yield Conflict("pre_stretch_frac", (label, least), settled, "label")


def _of_the_pace(
    job: Job, turning_m_s: float | None, lines: Mapping[str, SheetLine]
) -> Iterator[Conflict]:
    asked_m_s = SPEED_M_S.clamp(job.conditions.speed_m_s)
    faster = because("conflict.speed.asked", asked_m_s=asked_m_s)
    dense_m_s = dense_speed_m_s(job.conditions)
    if dense_m_s < min(asked_m_s, turning_m_s or asked_m_s):
        loose = because("conflict.speed.loose", windrow_kg_m=job.conditions.windrow_kg_m)
        settled = because("conflict.speed.slower", speed_m_s=job.speed_m_s)
        yield Conflict("speed_m_s", (faster, loose), settled, "hancock-row-density")
        return
    if turning_m_s is None or job.conditions.speed_m_s <= turning_m_s:
        return
    wrapper = because("conflict.speed.wrapper", turning_m_s=turning_m_s)
    settled = because("conflict.speed.settled", speed_m_s=job.speed_m_s)
    yield Conflict("speed_m_s", (faster, wrapper), settled, "grisso-2020")
    rpm = lines.get("wrap_rpm")
    slow = job.mass_kg.best >= _HEAVY_KG or job.conditions.ground is not Ground.FLAT
    if rpm is not None and rpm.high is not None and slow and _below(rpm):
        pace = because("conflict.rpm.pace")
        heavy = because("conflict.rpm.heavy", mass_kg=round(job.mass_kg.best, -1))
        settled = because("conflict.rpm.settled")
        yield Conflict("wrap_rpm", (pace, heavy), settled, "practice")


def _below(line: SheetLine) -> bool:
    """Whether a number could be set higher."""
    value, high = line.value, line.high
    return isinstance(value, float | int) and high is not None and value < high
