"""Many times that look alike are read at once: the same signs at the same places, other digits."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from balewright.readers.mapped.moments import DAY_US, Moments, days_of

MOST_LOOKS: Final = 6
FEW: Final = 32
_LEAVE: Final = ("half", "zone")
"""Parts that are not digits: cells that have one are read one by one."""
Digits = NDArray[np.uint8]


def read_alike(cells: pa.StringArray, patterns: Sequence[str], result: Moments) -> None:
    """Read what looks like a cell that fits a pattern, into `result`; the rest stays failed.

    cells: stripped, null where nothing stands; result: all failed, changed here.
    """
    for _ in range(MOST_LOOKS):
        left = np.flatnonzero(result.failed & np.array(cells.is_valid()))
        if len(left) < FEW:
            return
        here = cells.take(pa.array(left))
        model = here[0].as_py()
        found = next((one for pattern in patterns if (one := re.match(pattern, model))), None)
        if found is None or not model.isascii() or any(_part(found, name) for name in _LEAVE):
            return
        same = np.array(pc.equal(pc.binary_length(here), len(model)))
        places = left[same]
        block = here.filter(pa.array(same))
        signs = np.frombuffer(block.buffers()[2], np.uint8, len(places) * len(model))
        digits = signs.reshape(-1, len(model)) - np.uint8(ord("0"))
        alike = _alike(digits, model)
        local_us, good = _moments(digits[alike], found)
        places = places[alike][good]
        result.local_us[places] = local_us[good]
        result.known[places], result.failed[places] = True, False


def _alike(digits: Digits, model: str) -> NDArray[np.bool_]:
    """Which rows have digits where the model has, and its very signs elsewhere."""
    is_digit = np.array([sign.isdigit() for sign in model])
    signs = np.array([ord(sign) for sign in model], dtype=np.uint8) - np.uint8(ord("0"))
    alike = (digits[:, is_digit] <= 9).all(axis=1)
    return np.asarray(alike & (digits[:, ~is_digit] == signs[~is_digit]).all(axis=1))


def _part(found: re.Match[str], name: str) -> str:
    return found.groupdict().get(name) or ""


def _moments(digits: Digits, found: re.Match[str]) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Clock microseconds by the places of the model's parts, and where they exist."""
    names = found.groupdict()
    part = {name: _number(digits, found.span(name)) for name in names if names[name]}
    local_us = np.zeros(len(digits), dtype=np.int64)
    good = np.ones(len(digits), dtype=np.bool_)
    nothing = np.zeros(len(digits), dtype=np.int64)
    if "y" in part:
        days, good = days_of(part["y"], part["m"], part["d"])
        local_us = days * DAY_US
    if "h" in part:
        hour, minute, second = part["h"], part["min"], part.get("s", nothing)
        local_us = local_us + ((hour * 60 + minute) * 60 + second) * 1_000_000
        good = good & (hour <= 23) & (minute <= 59) & (second <= 59)
    if "f" in part:
        start, end = found.span("f")
        used = min(end - start, 6)
        decimals = _number(digits, (start, start + used))
        local_us = local_us + decimals * 10 ** (6 - used)
    return local_us, good


def _number(digits: Digits, span: tuple[int, int]) -> NDArray[np.int64]:
    number = np.zeros(len(digits), dtype=np.int64)
    for place in range(*span):
        number = number * 10 + digits[:, place]
    return number
