"""Both outcomes of every candidate, put together from the groups that it touches; compiled.

Given the evidence, groups and unbound causes are independent of each other. A candidate is off if
its leak and every one of them leave it off; it is on if any of them turns it on. "On by the others"
is added up (on + off * the next one's on), never told as 1 less what is off.
"""

from __future__ import annotations

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.infer.pass_kernel import Tapes
from balewright.cause.infer.steps_kernel import Steps
from balewright.cause.infer.sweep_kernel import sweep_group
from balewright.findings.charts.compiled_kernel import compiled


@compiled
def outcomes(
    steps: Steps,
    tapes: Tapes,
    posterior: Floats,
    start: Ints,
    cause: Ints,
    chance: Floats,
    leak: Floats,
    candidates: Ints,
) -> tuple[Floats, Floats, Floats, Floats]:
    """Chance on and off of each candidate, and each cause's chance after on and after off (NaN
    where that outcome cannot be). posterior: of all causes, given the evidence.
    """
    count, places, groups = candidates.size, steps.cause.size, steps.group.size - 1
    bound = np.full(posterior.size, -1, np.int64)
    for place in range(places):
        bound[steps.cause[place]] = place
    by_place = np.zeros((count, places))
    for row in range(count):
        for link in range(start[candidates[row]], start[candidates[row] + 1]):
            if bound[cause[link]] >= 0:
                by_place[row, bound[cause[link]]] = chance[link]
    with_off, with_on = np.zeros((count, places)), np.zeros((count, places))
    result = np.zeros((groups, count, 2))
    touches = np.zeros((groups, count), np.int64)
    for group in range(groups):
        begin, end = steps.group[group], steps.group[group + 1]
        for row in range(count):
            for place in range(begin, end):
                if by_place[row, place] > 0.0:
                    touches[group, row] = 1
        rows = np.flatnonzero(touches[group])
        if rows.size:
            sweep_group(steps, tapes, begin, end, by_place, rows, with_off, with_on, result[group])
    on_frac, off_frac = np.empty(count), np.empty(count)
    if_on, if_off = np.empty((count, posterior.size)), np.empty((count, posterior.size))
    for row in range(count):
        first, last = start[candidates[row]], start[candidates[row] + 1]
        parts = 1 + groups + last - first
        off, on = np.ones(parts), np.zeros(parts)
        off[0], on[0] = 1.0 - leak[candidates[row]], leak[candidates[row]]
        for group in range(groups):
            if touches[group, row]:
                off[1 + group], on[1 + group] = result[group, row, 0], result[group, row, 1]
        for link in range(first, last):
            if bound[cause[link]] < 0:
                there = posterior[cause[link]]
                part = 1 + groups + link - first
                off[part] = 1.0 - there + there * (1.0 - chance[link])
                on[part] = there * chance[link]
        off_behind, on_behind = np.ones(parts + 1), np.zeros(parts + 1)
        for part in range(parts - 1, -1, -1):
            off_behind[part] = off[part] * off_behind[part + 1]
            on_behind[part] = on[part] + off[part] * on_behind[part + 1]
        on_frac[row], off_frac[row] = on_behind[0], off_behind[0]
        on_scale = 1.0 / on_frac[row] if on_frac[row] > 0.0 else np.nan
        off_scale = 1.0 / off_frac[row] if off_frac[row] > 0.0 else np.nan
        for one in range(posterior.size):
            if_on[row, one] = posterior[one] if on_frac[row] > 0.0 else np.nan
            if_off[row, one] = posterior[one] if off_frac[row] > 0.0 else np.nan
        off_before, on_before = 1.0, 0.0
        for part in range(parts):
            off_else = off_before * off_behind[part + 1]
            on_else = on_before + off_before * on_behind[part + 1]
            on_before += off_before * on[part]
            off_before *= off[part]
            if part == 0:
                continue
            if part <= groups:
                if touches[part - 1, row]:
                    for place in range(steps.group[part - 1], steps.group[part]):
                        one = steps.cause[place]
                        joint = with_on[row, place] + with_off[row, place] * on_else
                        if_on[row, one] = min(1.0, joint * on_scale)
                        if_off[row, one] = min(1.0, with_off[row, place] * off_else * off_scale)
                continue
            link = first + part - 1 - groups
            one = cause[link]
            if bound[one] < 0:
                there = posterior[one]
                joint = there * (chance[link] + (1.0 - chance[link]) * on_else)
                if_on[row, one] = min(1.0, joint * on_scale)
                if_off[row, one] = min(1.0, there * (1.0 - chance[link]) * off_else * off_scale)
    return on_frac, off_frac, if_on, if_off
