"""The counting of `layers` and `flats`, for many bales at once, compiled.

Nothing here but loops over arrays; `many_bales` says what they mean and is what others call. A
ring of the round side has sorted middle lines c (turns) and one half-width h. Two facts do it:
walking the 2 N edges once tells the thinnest spot, the share short and the widest sliver; and the
places with fewer than n strips are those further than h from the n-th nearest middle line, a
zigzag with the corners (c[i+n-1] - c[i]) / 2 and (c[i+n] - c[i]) / 2.

No fast mathematics, no threads: the same figures as the plain count, to rounding. The compiled
code is kept on disk beside this file, so everything compiled stands in this one file.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final, TypeVar, cast

import numba as nb
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Legs = tuple[Floats, Ints, Floats, Floats, Ints, Floats]
Shape = tuple[float, float, float]
Made = TypeVar("Made", bound=Callable[..., object])

_SPOT: Final = 1e-9  # `arcs.SPOT`
_ROUNDING: Final = 1e-9  # as in `course`


def compiled(plain: Made) -> Made:
    """The function compiled, with the type it was written with; kept on disk where that can be."""
    try:
        return cast(Made, nb.njit(cache=True)(plain))
    except RuntimeError:  # no folder that may be written to: compiled anew by every process
        return cast(Made, nb.njit(plain))


@compiled
def lay(
    legs: Legs,
    first: int,
    last: int,
    dispensers: int,
    centres: Floats,
    directions: Floats,
    found: Ints,
) -> None:
    """Fill centres[: found[0]] and directions[side, : found[1 + side]], each from 0 up to 1."""
    turns, running, speed, end_speed, fresh, rolled = legs
    total = 0.0
    for leg in range(first, last):
        total += turns[leg]
    found[:] = 0
    at_leg, leg_start = first, 0.0  # the leg that reaches past the half turn's beginning
    now, now_start, turned = first, 0.0, rolled[first]  # the leg the bale's turning is read from
    for half in range(math.floor(2.0 * total + _ROUNDING)):
        begin, end = 0.5 * half, 0.5 * (half + 1)
        while at_leg < last - 1 and not leg_start + turns[at_leg] > begin + _ROUNDING:
            leg_start += turns[at_leg]
            at_leg += 1
        lays = 3
        leg, start = at_leg, leg_start
        while leg < last and start < end - _ROUNDING:
            if start + turns[leg] > begin + _ROUNDING:
                lays &= running[leg]
                if start > begin + _ROUNDING:
                    lays &= ~fresh[leg]
            start += turns[leg]
            leg += 1
        for quarter in range(2):
            time = begin + 0.25 * quarter
            while now < last - 1 and not time < now_start + turns[now] - _ROUNDING:
                turned += 0.5 * (speed[now] + end_speed[now]) * turns[now]
                now_start += turns[now]
                now += 1
                turned += rolled[now]
            here = time - now_start
            change = (end_speed[now] - speed[now]) * here * here / (2.0 * turns[now])
            bale = turned + speed[now] * here + change
            for dispenser in range(dispensers):
                if not (lays >> dispenser) & 1:
                    continue
                if quarter == 0:
                    place = 0.5 * (half + dispenser) - bale
                    centres[found[0]] = place - math.floor(place)
                    found[0] += 1
                else:
                    side = (half + dispenser) % 2
                    place = -2.0 * bale
                    directions[side, found[1 + side]] = place - math.floor(place)
                    found[1 + side] += 1


@compiled
def sort_places(places: Floats, count: int, ordered: Floats, heads: Ints) -> None:
    """Put places[:count], each from 0 up to 1, in rising order into ordered[:count]."""
    for box in range(count + 1):
        heads[box] = 0
    for one in range(count):
        heads[min(int(places[one] * count), count - 1) + 1] += 1
    for box in range(count):
        heads[box + 1] += heads[box]
    for one in range(count):
        box = min(int(places[one] * count), count - 1)
        ordered[heads[box]] = places[one]
        heads[box] += 1
    for one in range(1, count):  # within the boxes; neighbours only
        place, at = ordered[one], one
        while at > 0 and ordered[at - 1] > place:
            ordered[at] = ordered[at - 1]
            at -= 1
        ordered[at] = place


@compiled
def walk_ring(c: Floats, count: int, half_turn: float, need: int) -> tuple[int, float, float]:
    """Fewest layers, share short of `need`, widest short stretch; as `lay_arcs` has them."""
    if count == 0:
        return 0, 1.0 if need > 0 else 0.0, 1.0 if need > 0 else 0.0
    origin = c[0] - half_turn
    over = count  # from here on the arcs reach round into the beginning
    while over > 0 and c[over - 1] + half_turn - 1.0 > origin:
        over -= 1
    layers, starts, ends = count - over, 0, 0
    group, fewest, short, widest = origin, count, 0.0, 0.0
    run, first_run, unbroken = 0.0, 0.0, True
    for event in range(2 * count + 1):
        at_end = over + ends
        end = c[at_end] + half_turn - 1.0 if at_end < count else c[at_end - count] + half_turn
        if event == 2 * count:
            place, step = origin + 1.0, 0
        elif starts < count and c[starts] - half_turn < end:
            place, step = c[starts] - half_turn, 1
            starts += 1
        else:
            place, step = end, -1
            ends += 1
        length = place - group
        if length > _SPOT:
            fewest = min(fewest, layers)
            if layers < need:
                short += length
                run += length
            else:
                if unbroken:
                    first_run, unbroken = run, False
                widest, run = max(widest, run), 0.0
            group = place
        layers += step
    if unbroken:
        return fewest, (1.0 if run > 0.0 else 0.0), (1.0 if run > 0.0 else 0.0)
    return fewest, short, max(widest, run + first_run)


@compiled
def _over_rings(reach: float, strip: float, shape: Shape) -> float:
    """Half the integral over u in [-1, 1] of reach R(u) - strip / 2 where that is above 0.

    R(u) = radius + slant u - bulge u^2. The integrand is a parabola, so its antiderivative is a
    cubic and its ends are roots.
    """
    radius, slant, bulge = shape
    middle, tilt, bow = reach * radius - 0.5 * strip, reach * slant, reach * bulge
    low, high = -1.0, 1.0
    if bow == 0.0:
        if tilt == 0.0:
            return max(0.0, middle)
        root = min(1.0, max(-1.0, -middle / tilt))
        low, high = (root, 1.0) if tilt > 0.0 else (-1.0, root)
        return 0.5 * (middle * (high - low) + 0.5 * tilt * (high**2 - low**2))
    inside = tilt * tilt + 4.0 * bow * middle
    if inside <= 0.0:
        return 0.0 if bow > 0.0 else middle - bow / 3.0
    root = math.sqrt(inside)
    far = 0.5 * (tilt + math.copysign(root, tilt))  # so that a bow of next to nothing loses nothing
    low = min(1.0, max(-1.0, min(far / bow, -middle / far)))
    high = min(1.0, max(-1.0, far / bow, -middle / far))
    between = middle * (high - low) + 0.5 * tilt * (high**2 - low**2) - bow * (high**3 - low**3) / 3
    if bow > 0.0:
        return max(0.0, 0.5 * between)
    return max(0.0, middle - bow / 3.0 - 0.5 * between)


@compiled
def round_short(c: Floats, count: int, need: int, strip_m: float, shape: Shape) -> float:
    """Share of the round side short of `need`, whatever its shape (radius, slant, bulge)."""
    if need <= 0:
        return 0.0
    if need > count:
        return 1.0
    radius, _, bulge = shape
    total = 0.0
    for one in range(count):
        to, on = one + need - 1, one + need
        low = c[to] - c[one] if to < count else c[to - count] + 1.0 - c[one]
        high = c[on] - c[one] if on < count else c[on - count] + 1.0 - c[one]
        total += _over_rings(math.pi * high, strip_m, shape)
        total -= _over_rings(math.pi * low, strip_m, shape)
    return total / (math.pi * (radius - bulge / 3.0))


@compiled
def widest_radius(shape: Shape) -> float:
    """Radius of the widest ring."""
    radius, slant, bulge = shape
    if bulge > 0.0 and abs(slant) < 2.0 * bulge:
        return radius + slant * slant / (4.0 * bulge)
    return radius + abs(slant) - bulge


@compiled
def flat_short(c: Floats, count: int, need: int, diameter_m: float, strip_m: float) -> float:
    """Share of a flat side short of `need`; as `flats`."""
    if need > count:
        return 1.0
    rim = math.asin(min(1.0, strip_m / diameter_m))
    quarter, radius2, at_rim = (
        strip_m * strip_m / 4.0,
        diameter_m * diameter_m / 4.0,
        1.0 / math.tan(rim),
    )
    total = 0.0
    for one in range(count):
        to, on = one + need - 1, one + need
        low = c[to] - c[one] if to < count else c[to - count] + 1.0 - c[one]
        high = c[on] - c[one] if on < count else c[on - count] + 1.0 - c[one]
        low, high = 0.5 * math.pi * low, 0.5 * math.pi * high
        if high > rim:
            total += radius2 * (high - rim) + quarter * (1.0 / math.tan(high) - at_rim)
        if low > rim:
            total -= radius2 * (low - rim) + quarter * (1.0 / math.tan(low) - at_rim)
    return max(0.0, 2.0 * total) / (math.pi * radius2)


@compiled
def _count_flat(
    c: Floats, count: int, need: int, diameter_m: float, strip_m: float
) -> tuple[int, float, float]:
    """Fewest layers, share short and widest sliver (m) of one flat side."""
    rim = math.asin(min(1.0, strip_m / diameter_m))
    fewest, sliver = count, 0.0
    if rim < math.pi / 2.0:
        fewest, _, widest = walk_ring(c, count, rim / math.pi, need)
        sliver = widest * math.pi * diameter_m / (1.0 if widest >= 1.0 else 2.0)
    elif need > count:
        sliver = math.pi * diameter_m
    while fewest < count and flat_short(c, count, fewest + 1, diameter_m, strip_m) <= _SPOT:
        fewest += 1
    short = flat_short(c, count, need, diameter_m, strip_m)
    if short <= _SPOT:
        return fewest, 0.0, 0.0
    return fewest, short, sliver


@compiled
def count_kernel(
    bales: Floats,
    needs: Ints,
    leg_first: Ints,
    legs: Legs,
    flats: bool,
    room: int,
    out_round: Floats,
    out_flat: Floats,
) -> None:
    """Count every case. bales: diameter, strip, slant, bulge; needs: layers, binding, dispensers.

    out_round: fewest, mean, share short, sliver (m); out_flat[:, side]: fewest, share, sliver.
    """
    centres, ordered, heads = np.empty(room), np.empty(room), np.empty(room + 1, np.int64)
    directions, found = np.empty((2, room)), np.zeros(3, np.int64)
    for case in range(bales.shape[0]):
        diameter, strip, slant, bulge = bales[case]
        need, dispensers = needs[case, 0], needs[case, 2]
        lay(legs, leg_first[case], leg_first[case + 1], dispensers, centres, directions, found)
        sort_places(centres, found[0], ordered, heads)
        shape = (0.5 * diameter, slant, bulge)
        widest = widest_radius(shape)
        still = need - needs[case, 1]
        half = strip / (4.0 * math.pi * widest)
        fewest, short, sliver = walk_ring(ordered, found[0], half, still)
        if slant != 0.0 or bulge != 0.0:
            short = round_short(ordered, found[0], still, strip, shape)
        out_round[case, 0] = fewest
        out_round[case, 1] = found[0] * strip / (2.0 * math.pi * (0.5 * diameter - bulge / 3.0))
        out_round[case, 2] = min(short, 1.0) if short > _SPOT else 0.0
        out_round[case, 3] = sliver * 2.0 * math.pi * widest
        if not flats:
            continue
        for side in range(2):
            end = diameter + 2.0 * (slant if side == 0 else -slant) - 2.0 * bulge
            sort_places(directions[side], found[1 + side], ordered, heads)
            thin, share, widest_m = _count_flat(ordered, found[1 + side], need, end, strip)
            out_flat[case, side, 0] = thin
            out_flat[case, side, 1] = min(share, 1.0)
            out_flat[case, side, 2] = widest_m
