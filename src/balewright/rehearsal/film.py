"""Film laid on bales by walking: strip by strip, on points marked round the bale.

This is the simulator's own truth about layers. It knows nothing of arcs or overlaps: it turns the
wrapper and the bale in small steps and lays a strip on the marked points each time a dispenser
passes over a side of the bale.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

POINTS: Final = 240
STEPS_A_TURN: Final = 8
"""Steps of the walk in one wrap turn; a multiple of 2, so that crossings fall on a step."""
_AT_ONCE: Final = 1024


@dataclass(frozen=True)
class FilmJob:
    """Bales to wrap, arrays of shape (n,).

    diameter_m; advance_m: surface advance of the bale per wrap turn; strip_m: width of the strip
    on the bale; turns: per dispenser, shape (n, dispensers), how far each one carried film;
    advance_one_m: surface advance while a dispenser is out (None: the same).
    """

    diameter_m: NDArray[np.float64]
    advance_m: NDArray[np.float64]
    strip_m: NDArray[np.float64]
    turns: NDArray[np.float64]
    advance_one_m: NDArray[np.float64] | None = None


def lay_film(job: FilmJob, points: int = POINTS) -> NDArray[np.int16]:
    """Layers at each of `points` places round each bale, shape (n, points).

    Places are equally spaced round the bale, so a share of them is good to about 1 / points for
    each edge of a strip that bounds it.
    """
    bales = len(job.diameter_m)
    layers = np.zeros((bales, points), dtype=np.int16)
    one_m = job.advance_m if job.advance_one_m is None else job.advance_one_m
    for first in range(0, bales, _AT_ONCE):
        some = slice(first, first + _AT_ONCE)
        few = FilmJob(
            job.diameter_m[some], job.advance_m[some], job.strip_m[some], job.turns[some],
            one_m[some],
        )  # fmt: skip
        layers[some] = _walk(few, points)
    return layers


def _walk(job: FilmJob, points: int) -> NDArray[np.int16]:
    """Lay every strip from its first point to its last: +1 where it begins, -1 behind its end."""
    bales, dispensers = job.turns.shape
    steps = int(np.ceil(job.turns.max(initial=0.0) * STEPS_A_TURN))
    turned = np.arange(steps) / STEPS_A_TURN
    rolled_m = _rolled_m(job, turned)
    apart_m = (np.pi * job.diameter_m / points)[:, None]
    edges = np.zeros((bales, points + 1), dtype=np.int64)
    row = np.arange(bales)[:, None]
    for dispenser in range(dispensers):
        at = (turned + dispenser / dispensers) % 1.0
        over = np.flatnonzero((at == 0.0) | (at == 0.5))  # else the strip lies on a flat side
        runs = job.turns[:, dispenser][:, None] > turned[over]
        begins_m = rolled_m[:, over] + (at[over] * points) * apart_m - job.strip_m[:, None] / 2
        first = np.ceil(begins_m / apart_m - 0.5).astype(np.int64)
        behind = np.ceil((begins_m + job.strip_m[:, None]) / apart_m - 0.5).astype(np.int64)
        whole, rest = np.divmod(behind - first, points)
        start = first % points
        end = start + rest
        flat = row * (points + 1)
        for place, weight in ((start, runs), (np.minimum(end, points), -1 * runs),
                              (np.where(end > points, 0, points), runs),
                              (np.where(end > points, end - points, points), -1 * runs),
                              (np.zeros_like(start), whole * runs)):  # fmt: skip
            edges += np.bincount(
                (flat + place).ravel(), weights=weight.ravel(), minlength=edges.size
            ).reshape(edges.shape).astype(np.int64)  # fmt: skip
    return np.asarray(np.cumsum(edges[:, :points], axis=1), dtype=np.int16)


def _rolled_m(job: FilmJob, turned: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far each bale has rolled at each step, shape (n, steps)."""
    one_m = job.advance_m if job.advance_one_m is None else job.advance_one_m
    least = job.turns.min(axis=1)[:, None]
    steps_m = np.where(least > turned, job.advance_m[:, None], one_m[:, None]) / STEPS_A_TURN
    rolled: NDArray[np.float64] = np.cumsum(steps_m, axis=1)
    return rolled - steps_m
