"""How the charts are compiled: no fast mathematics, no threads, kept on disk where that can be.

What is kept on disk holds the functions it calls as they were, and is looked up by its own file
alone. So that a changed step is never run in its old form from a kernel that did not change, a
function is kept under a name that tells what it calls: a digest of its code, of its numbers, and
of the same of every compiled function it calls.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from types import CodeType, FunctionType
from typing import Any, Literal, TypeVar, cast

import numba as nb
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Made = TypeVar("Made", bound=Callable[..., object])


def _digest(plain: FunctionType) -> str:
    """What a function does, as far as its code, numbers and compiled callees say."""
    code = plain.__code__
    consts = [one for one in code.co_consts if not isinstance(one, CodeType)]
    told = [code.co_code.hex(), repr(consts)]
    for name in code.co_names:
        value: Any = plain.__globals__.get(name)
        if hasattr(value, "py_func"):
            told.append(_digest(value.py_func))
        elif isinstance(value, int | float):
            told.append(repr(value))
    return hashlib.sha256("\n".join(told).encode()).hexdigest()[:12]


def _kept(plain: Made, inline: Literal["never", "always"]) -> Made:
    function = cast(FunctionType, plain)
    function.__qualname__ = f"{function.__name__}_{_digest(function)}"
    try:
        return cast(Made, nb.njit(cache=True, inline=inline)(plain))
    except RuntimeError:  # no folder that may be written to: compiled anew by every process
        return cast(Made, nb.njit(inline=inline)(plain))


def compiled(plain: Made) -> Made:
    """The function compiled, with the type it was written with."""
    return _kept(plain, "never")


def inlined(plain: Made) -> Made:
    """The same, written out in every function that calls it: for the innermost steps, where a call
    with an array costs more than the step.
    """
    return _kept(plain, "always")
