"""The compiled part made ready before anybody asks."""

from __future__ import annotations

import numpy as np

from balewright.cause.infer.arrays import Arrays
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.sweep import sweep


def warm_up() -> None:
    """Compile what answers, or load it where it was kept on disk before.

    Once at set-up, so that it is on disk; and when a process begins that will be asked, so that its
    first answer is as quick as the next. Changes nothing else.
    """
    net = Arrays(
        np.array([0.1, 0.2, 0.3]), np.array([0, 2, 4, 6]), np.array([0, 1, 1, 2, 0, 2]),
        np.full(6, 0.5), np.full(3, 0.1),
    )  # fmt: skip
    evidence = [1.0, 1.0, 1.0], [0.0, 0.0, 1.0]
    infer(net, *evidence)
    sweep(net, *evidence, [2])
