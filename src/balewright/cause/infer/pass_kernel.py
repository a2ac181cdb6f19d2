"""Once forward and once back through an order: the evidence's chance and every posterior; compiled.

Forward tables are made to add up to 1 after each place and their sums' logarithms are kept, so
that evidence of any chance can be answered. Backward tables are made to have 1 as their largest
entry. A posterior is the ratio of what a cause is worth present and absent at its own place; sums
of products of numbers that are not negative.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from balewright.cause.infer.arrays import Floats
from balewright.cause.infer.steps_kernel import Steps
from balewright.cause.infer.table_kernel import (
    close_backward,
    close_forward,
    open_backward,
    open_forward,
    turn_backward,
    turn_forward,
)
from balewright.findings.charts.compiled_kernel import compiled


class Tapes(NamedTuple):
    """Both passes as they went. reached: every place's forward table, its observations open; worth:
    every place's backward table, as the cause leaves it; shrink_forward, shrink_backward: what the
    tables were divided by at each place; whole: what present and absent come to together at each
    place, in the scale of both tapes.
    """

    reached: Floats
    worth: Floats
    shrink_forward: Floats
    shrink_backward: Floats
    whole: Floats


@compiled
def new_tapes(steps: Steps) -> Tapes:
    """Room for both passes through these steps."""
    places = steps.cause.size
    room = steps.at[places]
    return Tapes(
        np.empty(room), np.empty(room), np.empty(places), np.empty(places), np.empty(places)
    )


@compiled
def forward(steps: Steps, tapes: Tapes) -> float:
    """Fill the forward half of the tapes. Gives the logarithm of the chance, -inf where it is 0."""
    if steps.cause.size == 0:
        return 0.0
    room = 1 << steps.bits.max()
    link, bit, turns, keeps = steps.link, steps.bit, steps.turns, steps.keeps
    opening, starts_on, starts_off = steps.opening, steps.starts_on, steps.starts_off
    closing, closed_bit = steps.closing, steps.closed_bit
    ends_on, ends_off = steps.ends_on, steps.ends_off
    table, there = np.empty(room), np.empty(room)
    table[0] = 1.0
    log = steps.log_scale
    for place in range(steps.cause.size):
        size = 1 << steps.bits[place]
        open_forward(table, size, opening[place], opening[place + 1], starts_on, starts_off)
        absent, present = steps.absent[place], steps.present[place]
        start = steps.at[place]
        for entry in range(size):
            tapes.reached[start + entry] = table[entry]
            there[entry] = table[entry]
        turn_forward(there, size, 1, link[place], link[place + 1], bit, turns, keeps)
        for entry in range(size):
            table[entry] = absent * table[entry] + present * there[entry]
        ends = closing[place], closing[place + 1]
        close_forward(table, size, 1, ends[0], ends[1], closed_bit, ends_on, ends_off)
        size >>= ends[1] - ends[0]
        total = 0.0
        for entry in range(size):
            total += table[entry]
        tapes.shrink_forward[place] = total
        if not total > 0.0:
            return -math.inf
        log += math.log(total)
        for entry in range(size):
            table[entry] /= total
    return log


@compiled
def backward(steps: Steps, tapes: Tapes, posterior: Floats) -> float:
    """Fill the backward half of the tapes, and the posteriors of the places' causes.

    Gives the least of `whole`: how little of what was reached answers for the rest, at worst.
    """
    if steps.cause.size == 0:
        return 1.0
    least = math.inf
    room = 1 << steps.bits.max()
    link, bit, turns, keeps = steps.link, steps.bit, steps.turns, steps.keeps
    opening, starts_on, starts_off = steps.opening, steps.starts_on, steps.starts_off
    closing, closed_bit = steps.closing, steps.closed_bit
    ends_on, ends_off = steps.ends_on, steps.ends_off
    table, there = np.empty(room), np.empty(room)
    table[0] = 1.0
    for place in range(steps.cause.size - 1, -1, -1):
        size = 1 << steps.bits[place]
        ends = closing[place], closing[place + 1]
        close_backward(table, size, 1, ends[0], ends[1], closed_bit, ends_on, ends_off)
        start = steps.at[place]
        for entry in range(size):
            tapes.worth[start + entry] = table[entry]
            there[entry] = table[entry]
        turn_backward(there, size, 1, link[place], link[place + 1], bit, turns, keeps)
        with_it = without = 0.0
        absent, present = steps.absent[place], steps.present[place]
        for entry in range(size):
            with_it += tapes.reached[start + entry] * there[entry]
            without += tapes.reached[start + entry] * table[entry]
            table[entry] = absent * table[entry] + present * there[entry]
        with_it *= present
        tapes.whole[place] = with_it + absent * without
        least = min(least, tapes.whole[place])
        if not least > 0.0:
            return 0.0
        posterior[place] = with_it / tapes.whole[place]
        begins = opening[place], opening[place + 1]
        open_backward(table, size, begins[0], begins[1], starts_on, starts_off)
        size >>= begins[1] - begins[0]
        highest = 0.0
        for entry in range(size):
            highest = max(highest, table[entry])
        tapes.shrink_backward[place] = highest
        for entry in range(size):
            table[entry] /= highest
    return least
