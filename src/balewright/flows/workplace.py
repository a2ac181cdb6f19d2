"""Where the work is done: everything a flow needs from outside, in one frozen value."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

import numpy as np

from balewright.plan.machine import Machine
from balewright.store.journal import Journal

if TYPE_CHECKING:
    from balewright.store.register import Register


class Progress(Protocol):
    """Hears how far a long piece of work is. `done` of `total` (None: nobody knows yet).

    It may raise `Stopped`: the work then ends and leaves nothing behind.
    """

    def __call__(self, stage: str, done: int, total: int | None) -> None:
        """stage: what is being done, a plain word such as `reading`."""


def keep_quiet(stage: str, done: int, total: int | None) -> None:
    """The progress that tells nobody."""


@dataclass(frozen=True)
class Workplace:
    """First argument of every flow.

    home: the folder of this workplace; register, journal: what is kept; clock: gives the present
    time in UTC; random: the only source of chance; progress: hears how far long work is;
    profiles: machine profiles by key; engine_address: of the Spark server that answers questions,
    None for DuckDB in this process.
    """

    home: Path
    register: Register
    journal: Journal
    clock: Callable[[], datetime]
    random: np.random.Generator
    progress: Progress
    profiles: Mapping[str, Machine]
    engine_address: str | None = None
