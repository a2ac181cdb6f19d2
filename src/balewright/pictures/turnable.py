"""The bale that can be turned: plain data for `desk/static/desk/turnable.js` to draw."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any, Final

from balewright.pictures.film_colours import MOST_ABOVE, film_colour
from balewright.plan.film.flats import FlatCount, nearest_angles
from balewright.plan.film.layers import Bale, LayerCount
from balewright.quantities.reason import Reason, because

#: Form of the data; the script refuses one it does not know.
VERSION: Final = 1
_STEPS: Final = 60
"""Rays over half of a flat side; the other half is the same, turned by half a turn."""
_MOST_ARCS: Final = 400


def turnable_bale(
    bale: Bale, count: LayerCount, need: int, say: Callable[[Reason], str]
) -> dict[str, Any]:
    """Everything the script needs, ready for JSON.

    need: layers wanted; say: a reason to words. `arcs`: [from, to, colour] round the bale, in
    turns; `flats`: for each side from few layers to many a colour and how far out it reaches
    (1 is the rim) on `_STEPS` rays over half a turn; `length`: of the bale over its diameter.
    """
    return {
        "version": VERSION,
        "label": say(because("film.turnable", thinnest=count.thinnest, layers=need)),
        "length": round(bale.length_m / bale.diameter_m, 4),
        "thin": round(count.thin_at_frac, 4),
        "arcs": _arcs(count, need),
        "flats": [_rays(flat, bale.diameter_m, need) for flat in count.flats],
    }


def _arcs(count: LayerCount, need: int) -> list[list[Any]]:
    arcs = count.arcs
    edges = [0.0, *(start for start in arcs.starts if 0.0 < start < 1.0), 1.0]
    if len(edges) > _MOST_ARCS:
        edges = [step / _MOST_ARCS for step in range(_MOST_ARCS + 1)]
    return [
        [round(start, 4), round(end, 4), film_colour(arcs.at((start + end) / 2), need).fill]
        for start, end in pairwise(edges)
    ]


def _rays(flat: FlatCount, diameter_m: float, need: int) -> list[list[Any]]:
    levels: list[list[Any]] = [[film_colour(flat.thinnest, need).fill, []]]
    for layers in range(flat.thinnest + 1, min(flat.crossings, need + MOST_ABOVE) + 1):
        reach = [_reach(flat, diameter_m, layers, step / _STEPS) for step in range(_STEPS)]
        levels.append([film_colour(layers, need).fill, reach])
    return levels


def _reach(flat: FlatCount, diameter_m: float, layers: int, ray: float) -> float:
    """How far out there are at least `layers` layers on one ray (in half turns); 1 is the rim."""
    low, _ = nearest_angles(flat.directions, layers)
    nearest = math.pi
    for place, direction in enumerate(flat.directions):
        middle = math.pi * direction + low[place]
        off = abs((math.pi * ray - middle + math.pi / 2.0) % math.pi - math.pi / 2.0)
        nearest = min(nearest, low[place] + off)
    if nearest <= 0.0:
        return 1.0
    return round(min(1.0, flat.strip_m / diameter_m / math.sin(min(nearest, math.pi / 2))), 3)
