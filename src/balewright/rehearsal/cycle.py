"""The times of every bale: the chamber fills while the wrapper still works on the last bale."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.rehearsal.faults import FaultKind
from balewright.rehearsal.making import Cover, Crop, Task

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
class _Durations:
    fill: Floats
    delay: Floats
    bind: Floats
    pass_on: Floats
    wait: Floats
    wrap: Floats
    tip: Floats
    gate: Floats


def _draw(task: Task, crop: Crop, cover: Cover, chance: np.random.Generator) -> _Durations:
    bales, targets = task.bales, task.targets

    def about(typical_s: float, spread: float) -> Floats:
        return np.maximum(typical_s * np.exp(chance.normal(0.0, spread, bales)), 0.2)

    speed = targets.speed_m_s * np.exp(chance.normal(0.0, 0.06, bales))
    turning = np.where(chance.random(bales) < 0.12, chance.exponential(35.0, bales), 0.0)
    fill = crop.mass_kg / (crop.windrow_kg_m * speed) + turning
    planted = task.level(FaultKind.WAITING)
    wait = about(1.5, 0.1) + chance.gamma(4.0, 0.25, bales) * planted
    rpm = 30.0 if targets.wrap is None else targets.wrap.rpm
    wrap = np.nan_to_num(cover.wrap_turns) / rpm * 60.0 + about(2.0, 0.1)
    return _Durations(
        fill,
        about(targets.binding_delay_s, 0.08),
        cover.binding_turns * 2.2 + about(1.0, 0.1),
        about(4.0, 0.1),
        wait,
        wrap,
        about(2.5, 0.15),
        about(4.5, 0.1),
    )


def run_cycles(task: Task, crop: Crop, cover: Cover, chance: np.random.Generator) -> Times:
    """Step through the season bale by bale; a full chamber waits for a free wrapper."""
    took = _draw(task, crop, cover, chance)
    wraps = task.machine.wrapper is not None and task.targets.wrap is not None
    marks = np.full((9, task.bales), np.nan)
    chamber_free = wrapper_free = 0.0
    for bale in range(task.bales):
        closed = max(chamber_free, task.schedule.starts_s[bale])
        full = closed + took.fill[bale]
        bind_start = full + took.delay[bale]
        bind_end = bind_start + took.bind[bale]
        gate_open = max(bind_end + 0.8, wrapper_free if wraps else 0.0)
        chamber_free = gate_open + took.gate[bale]
        marks[:5, bale] = closed, full, bind_start, bind_end, gate_open
        if not wraps:
            marks[8, bale] = gate_open + took.tip[bale]
            continue
        on_wrapper = gate_open + took.pass_on[bale]
        wrap_start = on_wrapper + took.wait[bale]
        wrap_end = wrap_start + took.wrap[bale]
        wrapper_free = wrap_end + took.tip[bale]
        marks[5:, bale] = on_wrapper, wrap_start, wrap_end, wrapper_free
    return Times(*marks)
