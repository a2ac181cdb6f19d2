"""In which order the causes are gone through, so that few observations are open at once; compiled.

An observation is open from its first cause to its last; a table over the open ones has 2 to their
number entries, and that is what an answer costs. Observations that share no cause, not even by way
of others, make separate groups, each with a plan of its own.

Within a group: which observation to close next, such that closing it opens the fewest others
(greedy, begun once with each observation); the cheapest of these orders is taken, of equal ones
the first. It depends on
nothing but which observations are kept and which causes may turn them on.
"""

from __future__ import annotations

import math

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.findings.charts.compiled_kernel import compiled


@compiled
def ones(bits: int) -> int:
    """How many bits of a number (0 or above) are set."""
    bits = bits - ((bits >> 1) & 0x5555555555555555)
    bits = (bits & 0x3333333333333333) + ((bits >> 2) & 0x3333333333333333)
    bits = (bits + (bits >> 4)) & 0x0F0F0F0F0F0F0F0F
    return (bits * 0x0101010101010101) >> 56


@compiled
def by_cause(
    start: Ints, cause: Ints, chance: Floats, absent: Floats, present: Floats, kept: Ints
) -> tuple[Ints, Ints, Ints, Floats, Ints]:
    """The links of the kept observations, cause by cause, as far as the cause is unsettled.

    Gives the bound causes; where the links of each begin; which kept observation (counted among
    the kept) and which chance; and which observation each kept one is.
    """
    seen = np.flatnonzero(kept)
    count = np.zeros(absent.size + 1, np.int64)
    for row in seen:
        for link in range(start[row], start[row + 1]):
            here = cause[link]
            if chance[link] > 0.0 and absent[here] > 0.0 and present[here] > 0.0:
                count[here] += 1
    bound = np.flatnonzero(count)
    place = np.full(absent.size, -1, np.int64)
    first = np.zeros(bound.size + 1, np.int64)
    for at in range(bound.size):
        place[bound[at]] = at
        first[at + 1] = first[at] + count[bound[at]]
    fill = first.copy()
    to = np.empty(first[-1], np.int64)
    how = np.empty(first[-1], np.float64)
    for one in range(seen.size):
        for link in range(start[seen[one]], start[seen[one] + 1]):
            at = place[cause[link]]
            if at >= 0 and chance[link] > 0.0:
                to[fill[at]] = one
                how[fill[at]] = chance[link]
                fill[at] += 1
    return bound, first, to, how, seen


@compiled
def groups(first: Ints, to: Ints, observations: int) -> Ints:
    """Which group each kept observation belongs to, told as the first observation in it."""
    root = np.arange(observations)
    for at in range(first.size - 1):
        for link in range(first[at] + 1, first[at + 1]):
            a, b = to[first[at]], to[link]
            while root[a] != a:
                a = root[a]
            while root[b] != b:
                b = root[b]
            root[max(a, b)] = min(a, b)
    for one in range(observations):
        root[one] = root[root[one]]
    return root


@compiled
def _rows(masks: Ints, size: int) -> tuple[Ints, Ints, Ints]:
    """The causes of each observation of a group, one after another; where each begins; and which
    observations its causes reach.
    """
    first = np.zeros(size + 1, np.int64)
    for mask in masks:
        for one in range(size):
            first[one + 1] += (mask >> one) & 1
    for one in range(size):
        first[one + 1] += first[one]
    fill, rows = first.copy(), np.empty(first[-1], np.int64)
    reach = np.zeros(size, np.int64)
    for at in range(masks.size):
        left = masks[at]
        while left:
            one = ones((left & -left) - 1)
            left &= left - 1
            rows[fill[one]] = at
            fill[one] += 1
            reach[one] |= masks[at]
    return first, rows, reach


@compiled
def _walk(
    begin: int, masks: Ints, first: Ints, rows: Ints, reach: Ints, order: Ints, best: float
) -> tuple[float, int]:
    """One greedy order of a group's causes into `order`; gives its cost and its greatest width.

    Stops with an infinite cost as soon as it costs more than `best`.
    """
    left = first[1:] - first[:-1]
    done = np.zeros(masks.size, np.int64)
    opened = closed = 0
    cost = 0.0
    widest = count = 0
    close = begin
    while True:
        while left[close] > 0:
            choice, fewest = -1, 1 << 30
            for row in range(first[close], first[close + 1]):
                at = rows[row]
                if done[at] == 0:
                    new = 64 * ones(masks[at] & ~opened) - ones(masks[at])
                    if new < fewest:
                        choice, fewest = at, new
            done[choice] = 1
            order[count] = choice
            count += 1
            opened |= masks[choice]
            width = ones(opened & ~closed)
            widest = max(widest, width)
            cost += (ones(masks[choice]) + 1.0) * (1 << width)
            if cost > best:
                return math.inf, widest
            through = masks[choice]
            while through:
                one = ones((through & -through) - 1)
                through &= through - 1
                left[one] -= 1
                if left[one] == 0:
                    closed |= 1 << one
        close, fewest = -1, 1 << 30
        for one in range(reach.size):
            if not (closed >> one) & 1:
                new = 1024 * ones(reach[one] & ~opened) + left[one]
                if new < fewest:
                    close, fewest = one, new
        if close < 0:
            return cost, widest


@compiled
def order_causes(first: Ints, to: Ints, root: Ints) -> tuple[Ints, Ints, float, int]:
    """The order of the bound causes: order[causes], where each group begins in it, cost, width.

    A group of more than 62 kept observations is not ordered: width 63.
    """
    causes = first.size - 1
    order = np.empty(causes, np.int64)
    begins = np.zeros(np.unique(root).size + 1, np.int64)
    local = np.zeros(root.size, np.int64)
    total, widest, count, group = 0.0, 0, 0, 0
    for head in range(root.size):
        if root[head] != head:
            continue
        size = 0
        for one in range(root.size):
            if root[one] == head:
                local[one] = size
                size += 1
        if size > 62:
            return order, begins, math.inf, 63
        members = np.empty(causes, np.int64)
        masks = np.zeros(causes, np.int64)
        found = 0
        for at in range(causes):
            if root[to[first[at]]] == head:
                members[found] = at
                for link in range(first[at], first[at + 1]):
                    masks[found] |= 1 << local[to[link]]
                found += 1
        masks = masks[:found]
        starts, rows, reach = _rows(masks, size)
        best, best_width = math.inf, 63
        trial = np.empty(found, np.int64)
        narrow = np.empty(size, np.int64)
        for one in range(size):
            narrow[one] = 64 * ones(reach[one]) + one
        narrow.sort()
        for trial_of in range(size):
            begin = int(narrow[trial_of]) & 63
            cost, width = _walk(begin, masks, starts, rows, reach, trial, best)
            if cost < best:
                best, best_width = cost, width
                for at in range(found):
                    order[count + at] = members[trial[at]]
        total += best
        widest = max(widest, best_width)
        count += found
        group += 1
        begins[group] = count
    return order, begins, total, widest
