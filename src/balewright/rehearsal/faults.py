"""What can be planted: faults that findings should tell, and confusers that they should not."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray


class FaultKind(StrEnum):
    """Six faults to begin with; severity's unit stands behind each."""

    STRETCH = "stretch"  # change of one dispenser's pre-stretch, fraction; < 0: it slips
    WRAP_TURNS = "wrap turns"  # wrap turns that are missing
    BINDING_TURNS = "binding turns"  # binding turns that are missing
    GATE = "gate"  # mm that the full chamber stands open too little; bales get soft with it
    WAITING = "waiting"  # mean seconds a bale waits before it is wrapped
    COUNTER = "counter"  # 1: starts again at zero, 2: numbers left out, 3: numbers given twice


class ConfuserKind(StrEnum):
    """What honest work looks like when it looks like a fault."""

    FAT_BALES = "fat bales"  # m of diameter more for one job in heavy rows
    WET_MORNING = "wet morning"  # moisture more at the start of a day, gone in two hours
    NEW_ROLL = "new roll"  # a film roll from another batch, stretching a little otherwise


@dataclass(frozen=True)
class Planted:
    """One fault: from which bale of the season (0-based), how bad, over how many bales it grows.

    dispenser: which one a stretch fault is on (1 or 2).
    """

    kind: FaultKind
    start: int
    severity: float
    growth_bales: int = 0
    dispenser: int = 1

    def level(self, bales: int) -> NDArray[np.float64]:
        """How bad it is at each bale of a season, shape (bales,)."""
        since = np.arange(bales) - self.start
        if self.growth_bales <= 0:
            return np.where(since >= 0, self.severity, 0.0)
        return self.severity * np.clip((since + 1) / self.growth_bales, 0.0, 1.0)


@dataclass(frozen=True)
class Confuser:
    """One confuser: on which job of the season (0-based) it falls, and how large it is."""

    kind: ConfuserKind
    job: int
    severity: float
