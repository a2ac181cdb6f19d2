"""Film laid on bales by walking: small steps of the wrapper, points marked round the bale.

This is the simulator's own truth about layers. It knows nothing of arcs or overlaps: it turns the
wrapper and the bale in small steps and marks the points that lie under a strip when a dispenser
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


_AT_ONCE: Final = 64


def lay_film(job: FilmJob, points: int = POINTS) -> NDArray[np.int16]:
    """Layers at each of `points` places round each bale, shape (n, points).

    Places are equally spaced round the bale, so a share of them is good to about 1 / points for
    each edge of a strip that bounds it.
    """
    bales = len(job.diameter_m)
    layers = np.zeros((bales, points), dtype=np.int16)
    for first in range(0, bales, _AT_ONCE):
        some = slice(first, first + _AT_ONCE)
        one_m = job.advance_m if job.advance_one_m is None else job.advance_one_m
        few = FilmJob(
            job.diameter_m[some],
            job.advance_m[some],
            job.strip_m[some],
            job.turns[some],
            one_m[some],
        )
        _walk(few, layers[some])
    return layers


def _walk(job: FilmJob, layers: NDArray[np.int16]) -> None:
    points, dispensers = layers.shape[1], job.turns.shape[1]
    round_m = (np.pi * job.diameter_m)[:, None]
    half_m = job.strip_m[:, None] / 2
    place_m = (np.arange(points) + 0.5) / points * round_m
    one_m = job.advance_m if job.advance_one_m is None else job.advance_one_m
    rolled_m = np.zeros_like(round_m)
    for step in range(int(np.ceil(job.turns.max(initial=0.0) * STEPS_A_TURN))):
        turned = step / STEPS_A_TURN
        for dispenser in range(dispensers):
            at = (turned + dispenser / dispensers) % 1.0
            if at not in (0.0, 0.5):
                continue  # the strip lies on a flat side now
            running = (job.turns[:, dispenser] > turned)[:, None]
            edge_m = rolled_m + at * round_m - half_m
            from_edge_m = (place_m - edge_m) % round_m
            layers += (from_edge_m < 2 * half_m) & running
        all_on = (job.turns > turned).all(axis=1)
        rolled_m += (np.where(all_on, job.advance_m, one_m) / STEPS_A_TURN)[:, None]
