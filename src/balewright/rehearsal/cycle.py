"""The times of every bale: the chamber fills while the wrapper still works on the last bale."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.rehearsal import sizes
from balewright.rehearsal.cover import Cover
from balewright.rehearsal.crop import Crop, fill_s
from balewright.rehearsal.faults import FaultKind
from balewright.rehearsal.loads import Loads
from balewright.rehearsal.task import Task
from balewright.rehearsal.weather import Weather

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Times:
    """Seconds since the season's first midnight, shape (bales,); NaN without a wrapper."""

    closed_s: Floats
    full_s: Floats
    bind_start_s: Floats
    bind_end_s: Floats
    gate_open_s: Floats
    on_wrapper_s: Floats
    wrap_start_s: Floats
    wrap_end_s: Floats
    tipped_s: Floats


@dataclass(frozen=True)
class Made:
    """All that is made of a bale before its times."""

    weather: Weather
    crop: Crop
    cover: Cover
    loads: Loads


@dataclass(frozen=True)
class _Durations:
    fill: Floats
    delay: Floats
    bind: Floats
    transfer: Floats
    wait: Floats
    wrap: Floats
    tip: Floats
    gate: Floats


def _phase(task: Task, name: str, slow: Floats | float = 1.0) -> Floats:
    typical_s, spread = sizes.PHASES[name]
    of_machine = math.exp(task.streams.one(f"{name} machine", sizes.PHASE_MACHINE_SHARE))
    scatter = np.exp(task.by_bale(name, spread))
    return np.maximum(typical_s * of_machine * scatter * slow, 0.2)


def _draw(task: Task, made: Made) -> _Durations:
    streams, bales, cover, loads = task.streams, task.bales, made.cover, made.loads
    slow = 1.0 + sizes.COLD_SHARE_PER_K * np.maximum(sizes.OIL_AT_EASE_C - loads.oil_c, -30.0)
    turning = _now_and_then(task, "headland", (sizes.TURNING_SHARE, sizes.TURNING_S))
    stopping = _now_and_then(task, "stop", (sizes.STOP_SHARE, sizes.STOP_S))
    changed = cover.wrap.new_roll.any(axis=1) * sizes.ROLL_CHANGE_S
    changing = changed * np.exp(task.by_bale("roll change", 0.3)) * made.crop.hands_ratio
    fill = (
        fill_s(task, made.crop) + turning * made.crop.hands_ratio + stopping + changing
        + made.weather.pause_s + sizes.OVERLOAD_S * loads.overloads
    )  # fmt: skip
    delay = task.targets.binding_delay_s * np.exp(task.by_bale("delay", sizes.DELAY_SHARE))
    bind = (
        cover.binding.turns * sizes.BINDING_S_PER_TURN
        + _phase(task, "bind", slow)
        + sizes.BINDING_MISSED_S * cover.binding.missed
        + task.level(FaultKind.BINDING_CUTTER)
    )
    wait = _phase(task, "wait") + streams.of("waiting").gamma(4.0, 0.25, bales) * task.level(
        FaultKind.WAITING
    )
    return _Durations(
        fill,
        np.maximum(delay * made.crop.hands_ratio, 0.2) + task.level(FaultKind.BINDING_LATE),
        bind,
        _phase(task, "transfer", slow) + task.level(FaultKind.TRANSFER_SLOW),
        wait,
        _wrapping(task, made),
        _phase(task, "tip", slow) + task.level(FaultKind.TIP_SLOW),
        _phase(task, "gate", slow) + task.level(FaultKind.GATE_SLOW),
    )


def _now_and_then(task: Task, name: str, usual: tuple[float, float]) -> Floats:
    """Seconds that some bales take longer. usual: share of the bales, and their mean time."""
    share, mean_s = usual
    took = task.streams.of(f"{name} time").exponential(mean_s, task.bales)
    return np.where(task.streams.even(f"{name} there", task.bales) < share, took, 0.0)


def _wrapping(task: Task, made: Made) -> Floats:
    wrap = made.cover.wrap
    turning_s = np.nan_to_num(wrap.turns / wrap.rpm) * 60.0
    mending_s = sizes.MENDING_S * wrap.breaks.sum(axis=1)
    by_hand_s = sizes.BY_HAND_S * made.loads.by_hand
    again_s = sizes.START_AGAIN_S * wrap.again
    return np.asarray(turning_s + _phase(task, "wrap") + mending_s + again_s + by_hand_s)


def run_cycles(task: Task, made: Made) -> Times:
    """Step through the season bale by bale; a full chamber waits for a free wrapper."""
    took = _draw(task, made)
    wraps = task.machine.wrapper is not None and task.targets.wrap is not None
    chamber_free = wrapper_free = 0.0
    marks = []
    columns = (took.fill, took.delay, took.bind, took.transfer, took.wait, took.wrap, took.tip,
               took.gate, task.schedule.starts_s)  # fmt: skip
    for fill, delay, bind, transfer, wait, wrap, tip, gate, starts in zip(
        *(column.tolist() for column in columns), strict=True
    ):
        closed = max(chamber_free, starts)
        full = closed + fill
        bind_start = full + delay
        bind_end = bind_start + bind
        gate_open = max(bind_end + 0.8, wrapper_free if wraps else 0.0)
        chamber_free = gate_open + gate
        on_wrapper = wrap_start = wrap_end = math.nan
        tipped = gate_open + tip
        if wraps:
            on_wrapper = gate_open + transfer
            wrap_start = on_wrapper + wait
            wrap_end = wrap_start + wrap
            tipped = wrapper_free = wrap_end + tip
        marks.append((closed, full, bind_start, bind_end, gate_open,
                      on_wrapper, wrap_start, wrap_end, tipped))  # fmt: skip
    return Times(*np.array(marks).T)
