"""What is done at each cause of an order, worked out once and gone through many times; compiled.

At each cause: observations that begin here are opened (the table doubles; a bit tells whether the
observation is on already), the cause is mixed in (absent, or present and turning on what it may),
and observations that end here are closed (the table halves, each half with its weight).

The half that is on is held divided by about the chance that the observation is on. Where many
unlikely observations are open at once that keeps the table's entries within what a number can
hold; the factor comes back at closing, as a logarithm.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.findings.charts.compiled_kernel import compiled


class Steps(NamedTuple):
    """An order of bound causes with everything that is done at each.

    cause, absent, present: of each place; group: where each group begins (one more than groups).
    bits, at: how many observations are open once the place's own are, and where its table lies
    when all are kept one after another (one more than places). link, bit, turns, keeps: the
    cause's links: which bit, chance that it turns it on (scaled), chance that it does not.
    opening, starts_on, starts_off: observations opened, with what they begin with (scaled).
    closing, closed_bit, ends_on, ends_off: observations closed, highest bit first, and what each
    half is worth (scaled back, the better one 1). log_scale: logarithm of what was taken out there.
    """

    cause: Ints
    absent: Floats
    present: Floats
    group: Ints
    bits: Ints
    at: Ints
    link: Ints
    bit: Ints
    turns: Floats
    keeps: Floats
    opening: Ints
    starts_on: Floats
    starts_off: Floats
    closing: Ints
    closed_bit: Ints
    ends_on: Floats
    ends_off: Floats
    log_scale: float


@compiled
def _on_about(
    first: Ints, to: Ints, how: Floats, present: Floats, leak: Floats, weigh: Ints
) -> Floats:
    """Chance that each kept observation is on before it is asked; 1 where it should not weigh."""
    off = 1.0 - leak
    on = leak.copy()
    for at in range(present.size):
        for link in range(first[at], first[at + 1]):
            one = to[link]
            on[one] += off[one] * present[at] * how[link]
            off[one] *= 1.0 - present[at] * how[link]
    for one in range(on.size):
        if weigh[one] == 0 or on[one] < 1e-300:
            on[one] = 1.0
    return on


@compiled
def lay_out(
    bound: Ints,
    first: Ints,
    to: Ints,
    how: Floats,
    order: Ints,
    group: Ints,
    absent: Floats,
    present: Floats,
    leak: Floats,
    weight_on: Floats,
    weight_off: Floats,
) -> Steps:
    """The steps of an order. absent, present: of the bound causes; leak, weight_on, weight_off: of
    the kept observations; the rest as `by_cause` and `order_causes` give it.
    """
    places, kept, links = order.size, leak.size, to.size
    about = _on_about(first, to, how, present, leak, (weight_on > weight_off).astype(np.int64))
    left = np.zeros(kept, np.int64)
    for link in range(links):
        left[to[link]] += 1
    where = np.full(kept, -1, np.int64)
    bits = np.zeros(places, np.int64)
    at = np.zeros(places + 1, np.int64)
    link_of = np.zeros(places + 1, np.int64)
    bit = np.empty(links, np.int64)
    turns, keeps = np.empty(links), np.empty(links)
    opening = np.zeros(places + 1, np.int64)
    closing = np.zeros(places + 1, np.int64)
    starts_on, starts_off = np.empty(kept), np.empty(kept)
    closed_bit = np.empty(kept, np.int64)
    ends_on, ends_off = np.empty(kept), np.empty(kept)
    width = opened = closed = filled = 0
    log_scale = 0.0
    for place in range(places):
        here = order[place]
        for link in range(first[here], first[here + 1]):
            one = to[link]
            if where[one] < 0:
                where[one] = width
                width += 1
                starts_on[opened] = leak[one] / about[one]
                starts_off[opened] = 1.0 - leak[one]
                opened += 1
            bit[filled] = where[one]
            turns[filled] = how[link] / about[one]
            keeps[filled] = 1.0 - how[link]
            filled += 1
            left[one] -= 1
        opening[place + 1], link_of[place + 1] = opened, filled
        bits[place] = width
        at[place + 1] = at[place] + (1 << width)
        while True:
            highest = -1
            for one in range(kept):
                ends = where[one] >= 0 and left[one] == 0
                if ends and (highest < 0 or where[one] > where[highest]):
                    highest = one
            if highest < 0:
                break
            closed_bit[closed] = where[highest]
            on, off = weight_on[highest] * about[highest], weight_off[highest]
            log_scale += math.log(max(on, off))
            ends_on[closed] = on / max(on, off)
            ends_off[closed] = off / max(on, off)
            closed += 1
            for one in range(kept):
                if where[one] > where[highest]:
                    where[one] -= 1
            where[highest] = -1
            left[highest] = -1
            width -= 1
        closing[place + 1] = closed
    return Steps(
        bound[order], absent[order], present[order], group, bits, at, link_of, bit, turns, keeps,
        opening, starts_on, starts_off, closing, closed_bit, ends_on, ends_off, log_scale,
    )  # fmt: skip
