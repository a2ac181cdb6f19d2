"""How bales come out of the chamber: field, crop, driver and chamber. Before any sensor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.rehearsal import sizes
from balewright.rehearsal.faults import ConfuserKind, FaultKind
from balewright.rehearsal.streams import lasting
from balewright.rehearsal.task import Task
from balewright.rehearsal.weather import Weather

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Crop:
    """The bale before binding, shape (bales,) each.

    feed_ratio: feed over what was told; left_m: left less right; along_frac, across_frac: slope;
    driver: number of the driver from 0; hands: how much longer that one's hands take, 1 as usual.
    """

    moisture_frac: Floats
    windrow_kg_m: Floats
    speed_m_s: Floats
    feed_ratio: Floats
    diameter_m: Floats
    left_m: Floats
    gate_opening_mm: Floats
    pressure_bar: Floats
    dry_kg_m3: Floats
    mass_kg: Floats
    along_frac: Floats
    across_frac: Floats
    driver: NDArray[np.int64]
    hands_ratio: Floats


@dataclass(frozen=True)
class _Driving:
    windrow_kg_m: Floats
    taken_kg_m: Floats
    speed_m_s: Floats
    driver: NDArray[np.int64]
    hands_ratio: Floats


def make_crop(task: Task, weather: Weather) -> Crop:
    """Fields differ, days dry out, bales scatter; soft bales come with a gate that opens less."""
    targets = task.targets
    heavy = task.confused(ConfuserKind.FAT_BALES)
    drive = _drive(task, heavy)
    feed = drive.taken_kg_m * drive.speed_m_s / (targets.windrow_kg_m * targets.speed_m_s)
    moisture = _moisture(task, weather)
    pressure, shift = _pressure(task, moisture)
    diameter = targets.diameter_m + heavy + task.by_bale("diameter", sizes.DIAMETER_BALE_M)
    opened = task.level(FaultKind.GATE_WIDE) - task.level(FaultKind.GATE)
    nominal = targets.chamber_bar or sizes.PRESSURE_USUAL_BAR
    dry = (
        targets.dry_kg_m3
        * np.exp(sizes.SOFT_PER_MM * opened)
        * np.exp(task.by_job("density job", sizes.DENSITY_JOB_SHARE))
        * np.exp(task.by_bale("density", sizes.DENSITY_BALE_SHARE))
        * np.maximum(1.0 + shift / nominal, 0.1) ** sizes.DENSITY_PER_PRESSURE
        * feed**sizes.DENSITY_PER_FEED
        * (1.0 + task.confused(ConfuserKind.OTHER_CROP))
        * np.maximum(1.0 - task.level(FaultKind.DENSITY_LOST), 0.1)
    )
    mass = dry * np.pi / 4.0 * diameter**2 * targets.length_m / (1.0 - moisture)
    across = _slope(task, "across")
    left = (
        task.by_job("sides job", sizes.SIDES_JOB_M)
        + task.by_bale("sides", sizes.SIDES_BALE_M)
        + 0.1 * task.confused(ConfuserKind.NEW_FIELD)  # crop slides to the lower side
        + task.level(FaultKind.LOPSIDED)
    )
    return Crop(
        moisture, drive.windrow_kg_m, drive.speed_m_s, feed, diameter, left,
        _gate(task, opened), pressure, dry, mass, _slope(task, "along"), across,
        drive.driver, drive.hands_ratio,
    )  # fmt: skip


def fill_s(task: Task, crop: Crop) -> Floats:
    """Seconds in which the chamber is fed, shape (bales,), without turns and stops."""
    fed_kg_s = crop.feed_ratio * task.targets.windrow_kg_m * task.targets.speed_m_s
    return crop.mass_kg / fed_kg_s


def _drive(task: Task, heavy: Floats) -> _Driving:
    targets, streams = task.targets, task.streams
    windrow = targets.windrow_kg_m * np.exp(
        task.by_job("windrow job", sizes.WINDROW_JOB_SHARE)
        + task.by_bale("windrow", sizes.WINDROW_BALE_SHARE)
        + sizes.FAT_WINDROW_PER_M * heavy
    )
    turns = streams.of("driver").integers(0, 2**31, int(task.schedule.day[-1]) + 1)
    driver = (turns % max(task.drivers, 1))[task.schedule.day]
    haste = streams.normal("driver speed", max(task.drivers, 1), sizes.DRIVER_SPEED_SHARE)
    hands = streams.normal("driver hands", max(task.drivers, 1), sizes.DRIVER_HAND_SHARE)
    other = task.confused(ConfuserKind.OTHER_DRIVER)
    slope = np.abs(task.confused(ConfuserKind.NEW_FIELD))
    speed = (
        targets.speed_m_s
        * (windrow / targets.windrow_kg_m) ** sizes.SPEED_PER_WINDROW
        * np.exp(haste[driver] + task.by_bale("speed", sizes.SPEED_BALE_SHARE))
        * (1.0 + other)
        * (1.0 - slope)
        / np.maximum(1.0 - task.level(FaultKind.TOO_FAST), 0.2)
        / (1.0 + task.level(FaultKind.SLOW_FEEDING))
    )
    taken = windrow / (1.0 + task.level(FaultKind.CROP_LEFT))
    return _Driving(windrow, taken, speed, driver, np.exp(hands[driver]) * (1.0 + 0.5 * other))


def _moisture(task: Task, weather: Weather) -> Floats:
    fading = np.clip(1.0 - weather.worked_h / 2.0, 0.0, 1.0)
    moisture = (
        task.targets.moisture_frac
        + task.by_job("moisture job", sizes.MOISTURE_JOB_FRAC)
        - sizes.DRYING_FRAC_PER_H * (weather.worked_h - 3.0)
        + weather.dew_frac
        + task.confused(ConfuserKind.WET_MORNING) * fading
        + lasting(task.by_bale("moisture", sizes.MOISTURE_BALE_FRAC), sizes.MOISTURE_LASTS)
    )
    return np.clip(moisture, 0.08, 0.85)


def _pressure(task: Task, moisture: Floats) -> tuple[Floats, Floats]:
    """Chamber pressure at full, and how much of it is not as was told at the season's start."""
    told = task.targets.chamber_bar or sizes.PRESSURE_USUAL_BAR
    shift = (
        task.since(ConfuserKind.SETTING_CHANGED)
        - task.level(FaultKind.PRESSURE_SINKS)
        - task.level(FaultKind.RELIEF_LOW)
        - task.level(FaultKind.DENSITY_DIAL)
    )
    shift = np.maximum(shift, -0.8 * told)
    of_crop = sizes.PRESSURE_PER_WET_BAR * (task.targets.moisture_frac - moisture)
    of_crop += sizes.PRESSURE_PER_DENSITY_BAR * task.confused(ConfuserKind.OTHER_CROP)
    scatter = task.by_job("pressure job", sizes.PRESSURE_JOB_BAR) + task.by_bale(
        "pressure", sizes.PRESSURE_BALE_BAR
    )
    return told + shift + of_crop + scatter, shift


def _gate(task: Task, opened_mm: Floats) -> Floats:
    told = task.targets.gate_opening_mm
    opening = (
        (sizes.GATE_USUAL_MM if told is None else told)
        + task.by_job("gate job", sizes.GATE_JOB_MM)
        + task.by_bale("gate", sizes.GATE_BALE_MM)
        + opened_mm
    )
    return np.maximum(opening, 0.0)


def _slope(task: Task, way: str) -> Floats:
    field = task.by_job(f"slope {way}", sizes.SLOPE_JOB_FRAC)
    return (
        field
        + task.confused(ConfuserKind.NEW_FIELD)
        + task.by_bale(f"slope {way} bale", sizes.SLOPE_BALE_FRAC)
    )
