"""What is odd about bales that were cut from signals."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.cycles.clock import LEAP_US
from balewright.records.cycles.cycles import NEVER_US, Cycles
from balewright.records.intake import Doubt
from balewright.records.quality import Mark
from balewright.records.signals import Signals

_MOST: Final = 1000
"""Doubts of one kind that are told one by one."""


def judge_rows(cycles: Cycles, signals: Signals) -> list[Doubt]:
    """Doubts about rows: only counted, across a clock set back, across a long silence."""
    told: list[Doubt] = []
    file = cycles.file
    known = cycles.work_us != NEVER_US
    far = np.iinfo(np.int64).max
    first = np.where(known, cycles.work_us, far).min(axis=1, initial=far)
    last = np.where(known, cycles.work_us, -far).max(axis=1, initial=-far)
    for row in np.flatnonzero(cycles.counted).tolist():
        text = f"bale {cycles.bale_no[row]} was counted, but its cycle was not seen"
        told.append(Doubt(file, f"message {cycles.at[row]}", Mark.CYCLE_UNSEEN, text))
    for jump in cycles.clock.jumps:
        for row in np.flatnonzero((first < jump.work_us) & (last >= jump.work_us)).tolist():
            text = (
                f"the clock was set back by {-jump.step_us / 1e6:.1f} s while this bale was made: "
                "its times before and after do not belong together"
            )
            told.append(Doubt(file, f"message {cycles.at[row]}", Mark.CLOCK_JUMPED, text))
    for begin_us, end_us in _silences(cycles, signals):
        for row in np.flatnonzero((first <= begin_us) & (last >= end_us)).tolist():
            text = (
                f"nothing was recorded for {(end_us - begin_us) / 1e6:.0f} s while this bale was "
                "made, or the clock was set forward by that"
            )
            told.append(Doubt(file, f"message {cycles.at[row]}", Mark.RECORDING_GAP, text))
    return told[:_MOST]


def _silences(cycles: Cycles, signals: Signals) -> list[tuple[int, int]]:
    """Working times between which no signal spoke for long."""
    spoken: list[NDArray[np.int64]] = []
    ends: list[tuple[int, int]] = []
    for signal in signals.by_name.values():
        work_us = cycles.clock.steady_us(signal)
        gaps = np.flatnonzero(np.diff(work_us) > LEAP_US)
        spoken.append(work_us)
        ends += zip(work_us[gaps].tolist(), work_us[gaps + 1].tolist(), strict=True)
    found = []
    for begin_us, end_us in sorted(set(ends)):
        heard = any(
            np.searchsorted(each, end_us, "left") > np.searchsorted(each, begin_us, "right")
            for each in spoken
        )
        if not heard:
            found.append((begin_us, end_us))
    return found
