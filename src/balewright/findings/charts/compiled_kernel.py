"""How the charts are compiled: no fast mathematics, no threads, kept on disk where that can be.

What is kept on disk holds the functions it calls as they were: after a change in a step function
compile the kernels of other folders that call it anew (touch them).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

import numba as nb
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Made = TypeVar("Made", bound=Callable[..., object])


def compiled(plain: Made) -> Made:
    """The function compiled, with the type it was written with."""
    try:
        return cast(Made, nb.njit(cache=True)(plain))
    except RuntimeError:  # no folder that may be written to: compiled anew by every process
        return cast(Made, nb.njit(plain))
