"""What the machine draws and how it fares: PTO, torque, oil, supply, codes, additive, hands."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.plan.machine import ChamberKind
from balewright.rehearsal import sizes
from balewright.rehearsal.crop import Crop
from balewright.rehearsal.faults import ConfuserKind, FaultKind
from balewright.rehearsal.task import Floats, Task
from balewright.rehearsal.upkeep import TURNED, since_turned
from balewright.rehearsal.weather import Weather

Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Loads:
    """Per bale, shape (bales,); said: for each code that can come, whether it did.

    by_hand, overloads: whether it happened; p_...: the chance of it.
    """

    pto_rpm: Floats
    torque_nm: Floats
    oil_c: Floats
    supply_v: Floats
    knife_bar: Floats
    knives_in: Floats
    additive_l: Floats
    overloads: Bools
    p_overloads: Floats
    by_hand: Bools
    p_by_hand: Floats
    said: dict[str, Bools]
    p_codes: Floats


def carry_loads(task: Task, crop: Crop, weather: Weather) -> Loads:
    """Torque follows feed, density and knives; oil follows air, load and the day's work."""
    rpm = _rpm(task, crop)
    knives = _knives_in(task)
    torque = _torque(task, crop, (rpm, knives))
    oil = _oil(task, torque, weather)
    p_overloads = np.minimum(
        sizes.OVERLOAD_SHARE
        * crop.feed_ratio**sizes.OVERLOAD_PER_FEED
        * task.times(FaultKind.OVERLOADS),
        0.9,
    )
    p_by_hand = np.minimum(sizes.BY_HAND_SHARE * task.times(FaultKind.BY_HAND), 0.9)
    if task.targets.wrap is None:
        p_by_hand = np.zeros(task.bales)
    said, p_codes = _codes(task, crop)
    return Loads(
        rpm, torque, oil, _supply(task, weather), _knife_bar(task), knives,
        _additive(task, crop),
        task.streams.even("overloads", task.bales) < p_overloads, p_overloads,
        task.streams.even("by hand", task.bales) < p_by_hand, p_by_hand,
        said, p_codes,
    )  # fmt: skip


def _rpm(task: Task, crop: Crop) -> Floats:
    dragged = sizes.PTO_PER_FEED_RPM * np.log(crop.feed_ratio)
    scatter = task.by_bale("pto", sizes.PTO_BALE_RPM)
    return np.maximum(sizes.PTO_RPM + dragged + scatter - task.level(FaultKind.PTO_SLOW), 50.0)


def _knives_in(task: Task) -> Floats:
    knives = task.machine.knives
    if knives is None:
        return np.zeros(task.bales)
    told = task.targets.knives_in
    put_in = sum(knives.banks) if told is None else told
    return np.maximum(put_in - np.round(task.level(FaultKind.KNIVES_OUT)), 0.0)


def _torque(task: Task, crop: Crop, drive: tuple[Floats, Floats]) -> Floats:
    rpm, knives = drive
    fixed = task.machine.chamber.kind is ChamberKind.FIXED
    idle_kw, each_kw = sizes.FIXED_KW if fixed else sizes.VARIABLE_KW
    feed_t_h = crop.feed_ratio * task.targets.windrow_kg_m * task.targets.speed_m_s * 3.6
    tight = crop.dry_kg_m3 / task.targets.dry_kg_m3
    chop_kw = sizes.CHOP_KWH_T * feed_t_h * knives / sizes.FULL_BANK_KNIVES
    every = next((i.every_bales for i in task.machine.service if i.key == TURNED), None)
    wear = sizes.KNIFE_WEAR_SHARE * (0.5 if every is None else since_turned(task, every))
    saved = np.clip(1.0 - task.since(ConfuserKind.SERVICE), 0.0, 1.0)
    power_kw = idle_kw + each_kw * feed_t_h * tight + chop_kw * (1.0 + wear) * saved
    of_machine = math.exp(task.streams.one("torque machine", sizes.TORQUE_MACHINE_SHARE))
    scatter = np.exp(task.by_bale("torque", sizes.TORQUE_BALE_SHARE))
    torque = 1000.0 * power_kw / (rpm * 2.0 * math.pi / 60.0) * of_machine * scatter
    return np.asarray(
        torque + task.level(FaultKind.DRIVE_DRAGS) + task.level(FaultKind.KNIVES_BLUNT)
    )


def _oil(task: Task, torque: Floats, weather: Weather) -> Floats:
    targets = task.targets
    fixed = task.machine.chamber.kind is ChamberKind.FIXED
    idle_kw, each_kw = sizes.FIXED_KW if fixed else sizes.VARIABLE_KW
    usual_kw = idle_kw + each_kw * targets.windrow_kg_m * targets.speed_m_s * 3.6
    usual_nm = 1000.0 * usual_kw / (sizes.PTO_RPM * 2.0 * math.pi / 60.0)
    drags = task.level(FaultKind.DRIVE_DRAGS)
    mean = _slowly(torque - drags, usual_nm)  # one heavy bale does not heat a tank
    rise = sizes.OIL_RISE_K + task.streams.one("oil machine", sizes.OIL_MACHINE_K)
    return np.asarray(
        weather.air_c
        + rise * weather.warm_frac * (mean / usual_nm) ** sizes.OIL_LOAD
        + task.by_day("oil days", sizes.OIL_DAY_K)
        + task.by_bale("oil", sizes.OIL_BALE_K)
        + sizes.OIL_PER_NM_K * drags
        + task.level(FaultKind.OIL_HOT)
    )


def _slowly(torque_nm: Floats, usual_nm: float) -> Floats:
    """A mean over the last ten bales or so."""
    means, last = [], usual_nm
    for value in torque_nm.tolist():
        last += (value - last) / sizes.OIL_BALES
        means.append(last)
    return np.array(means)


def _supply(task: Task, weather: Weather) -> Floats:
    wraps = sizes.SUPPLY_WRAP_V * (task.targets.wrap is not None)
    return np.asarray(
        sizes.SUPPLY_V
        + task.streams.one("supply machine", sizes.SUPPLY_MACHINE_V)
        + task.by_day("supply days", sizes.SUPPLY_DAY_V)
        + task.by_bale("supply", sizes.SUPPLY_BALE_V)
        - sizes.SUPPLY_COLD_V * (1.0 - weather.warm_frac)
        - wraps
        - task.level(FaultKind.SUPPLY_DIPS)
    )


def _knife_bar(task: Task) -> Floats:
    knives, told = task.machine.knives, task.targets.knife_bar
    if knives is None or not knives.pressure_bar:
        return np.full(task.bales, np.nan)
    steps = knives.pressure_bar
    nominal = steps[len(steps) // 2] if told is None else told
    read = nominal + task.by_bale("knife bar", sizes.KNIFE_BAR_BALE)
    return np.maximum(read - task.level(FaultKind.KNIFE_BANK_LEAKS), 0.0)


def _additive(task: Task, crop: Crop) -> Floats:
    rate = task.targets.additive_l_t
    rate = sizes.ADDITIVE_L_T if rate is None else rate
    litres = rate * crop.mass_kg / 1000.0
    litres = litres * np.exp(task.by_bale("additive", sizes.ADDITIVE_SHARE))
    return np.maximum(litres - task.level(FaultKind.ADDITIVE_FALLS), 0.0)


def _codes(task: Task, crop: Crop) -> tuple[dict[str, Bools], Floats]:
    """Codes of a loose cable come on fast ground, the others at any time."""
    said, quiet = {}, np.ones(task.bales)
    fast = (crop.speed_m_s / task.targets.speed_m_s) ** sizes.CODE_PER_SPEED
    chances = {code: np.full(task.bales, sizes.CODE_SHARE) for code in sizes.CODES}
    chances[sizes.CODES[1]] = chances[sizes.CODES[1]] * task.times(FaultKind.CODES_MORE)
    chances[sizes.SPEED_CODE] = sizes.SPEED_CODE_SHARE * fast * task.times(FaultKind.SPEED_CODES)
    for code, usual in chances.items():
        chance = np.minimum(usual, 0.9)
        said[code] = task.streams.even(f"code {code}", task.bales) < chance
        quiet *= 1.0 - chance
    return said, 1.0 - quiet
