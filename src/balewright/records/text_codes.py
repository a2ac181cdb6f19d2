"""Equal texts of a column get equal numbers. Columns of texts come in runs: each run costs once."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from numpy.typing import NDArray


def code_texts(values: NDArray[Any]) -> tuple[NDArray[np.int64], list[Any]]:
    """A number for each row, shape (rows,), and the distinct values by number, as they come.

    values: shape (rows,), of any hashable things that can be compared.
    """
    if not len(values):
        return np.zeros(0, dtype=np.int64), []
    starts = np.flatnonzero(np.concatenate([[True], values[1:] != values[:-1]]))
    codes: dict[Hashable, int] = {}
    heads = values[starts].tolist()
    of_run = np.array([codes.setdefault(head, len(codes)) for head in heads], dtype=np.int64)
    return np.repeat(of_run, np.diff(starts, append=len(values))), list(codes)
