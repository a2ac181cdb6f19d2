"""Why evidence has no answer, and what to leave out so that the rest has one."""

from __future__ import annotations

import numpy as np

from balewright.cause.infer.arrays import Arrays, Floats, Ints
from balewright.cause.infer.evidence import solve_for
from balewright.cause.infer.fold_kernel import fold
from balewright.cause.infer.plan_kernel import by_cause, groups, order_causes
from balewright.cause.infer.refusals import Contradiction, TooSmall, TooWide
from balewright.quantities.errors import NotAnswerable


def _without(weights: Floats, out: int) -> Floats:
    """The weights with one observation not known."""
    left = weights.copy()
    left[out] = 1.0
    return left


def refusal(
    arrays: Arrays, weight_on: Floats, weight_off: Floats, width: int, widest: int
) -> NotAnswerable:
    """Why there is no answer. width: as the compiled answer told it."""
    if width > widest:
        return too_wide(arrays, weight_on, weight_off, widest)
    return cannot_be(arrays, weight_on, weight_off, widest)


def cannot_be(arrays: Arrays, weight_on: Floats, weight_off: Floats, widest: int) -> NotAnswerable:
    """The refusal of evidence whose chance came out as 0.

    A contradiction where it is 0 whatever the chances between 0 and 1 are; else it is only too
    small. Observations are left out one after another as long as the rest contradicts itself.
    """
    plain = Arrays(
        _half(arrays.prior_frac), arrays.start, arrays.cause, _half(arrays.chance),
        _half(arrays.leak_frac),
    )  # fmt: skip
    on, off = (weight_on > 0.0).astype(float), (weight_off > 0.0).astype(float)

    def impossible(on: Floats, off: Floats) -> bool:
        return solve_for(plain, on, off, widest)[1] == -np.inf

    if not impossible(on, off):
        return TooSmall()
    for seen in [int(one) for one in np.flatnonzero(on != off)]:
        less = _without(on, seen), _without(off, seen)
        if impossible(*less):
            on, off = less
    return Contradiction(tuple(int(one) for one in np.flatnonzero(on != off)))


def _half(chances: Floats) -> Floats:
    """0 and 1 as they are, everything between as a half."""
    return np.where((chances > 0.0) & (chances < 1.0), 0.5, chances)


def too_wide(arrays: Arrays, weight_on: Floats, weight_off: Floats, widest: int) -> TooWide:
    """The refusal of evidence that hangs together too widely.

    What to leave out: each time the observation whose leaving makes the rest narrowest, readings
    with both outcomes still possible before those that were seen on.
    """
    width, held, kept = _held(arrays, weight_on, weight_off)
    on, off, out = weight_on, weight_off, []
    now = width
    while now > widest:
        trials = []
        for seen in kept:
            less = _held(arrays, _without(on, seen), _without(off, seen))
            trials.append((less[0], weight_off[seen] == 0.0, seen, less[2]))
        now, _, best, kept = min(trials, key=lambda trial: trial[:3])
        out.append(best)
        on, off = _without(on, best), _without(off, best)
    return TooWide(width, widest, held, tuple(sorted(out)))


def _held(
    arrays: Arrays, weight_on: Floats, weight_off: Floats
) -> tuple[int, tuple[int, ...], tuple[int, ...]]:
    """How wide the evidence is, which observations are open at the widest place, which ones need
    to be held at all.
    """
    net = (arrays.start, arrays.cause, arrays.chance)
    absent, present, _, kept, _ = fold(
        arrays.prior_frac, *net, arrays.leak_frac, weight_on, weight_off
    )
    _, first, to, _, seen = by_cause(*net, absent, present, kept)
    order, _, _, width = order_causes(first, to, groups(first, to, seen.size))
    all_kept = tuple(int(one) for one in seen)
    if width > 62:
        return width, all_kept, all_kept
    return width, tuple(int(seen[one]) for one in _widest(first, to, order, seen.size)), all_kept


def _widest(first: Ints, to: Ints, order: Ints, kept: int) -> list[int]:
    """The kept observations that are open where most are."""
    left = np.bincount(to, minlength=kept)
    opened: set[int] = set()
    most: list[int] = []
    for place in order:
        links = to[first[place] : first[place + 1]]
        opened.update(int(one) for one in links)
        if len(opened) > len(most):
            most = sorted(opened)
        left[links] -= 1
        opened = {one for one in opened if left[one] > 0}
    return most
