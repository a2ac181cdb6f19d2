"""What can be planted: faults that findings should tell, and confusers that they should not."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

CREEP_BALES: Final = 200
"""Over how many bales a jump creeps on where nobody says."""
SPELL_BALES: Final = 12.0
"""Mean length of a spell of a fault that comes and goes; assumed."""


class FaultKind(StrEnum):
    """What can go wrong. `book.FAULT_BOOK` says of each what severity is counted in."""

    # pickup
    SLOW_FEEDING = "slow feeding"
    CROP_LEFT = "crop left"
    OVERLOADS = "overloads"
    # chamber
    GATE = "gate"
    GATE_WIDE = "gate wide"
    GATE_SLOW = "gate slow"
    DRIVE_DRAGS = "drive drags"
    LOPSIDED = "lopsided"
    # density hydraulics
    PRESSURE_SINKS = "pressure sinks"
    RELIEF_LOW = "relief low"
    DENSITY_LOST = "density lost"
    # knives
    KNIVES_BLUNT = "knives blunt"
    KNIFE_BANK_LEAKS = "knife bank leaks"
    KNIVES_OUT = "knives out"
    # net and film binding
    BRAKE_WEAK = "brake weak"
    BINDING_MISSED = "binding missed"
    BINDING_TURNS = "binding turns"
    BINDING_CUTTER = "binding cutter"
    BINDING_LATE = "binding late"
    # transfer
    TRANSFER_SLOW = "transfer slow"
    WAITING = "waiting"
    # ring, arms or table
    RING_SLOW = "ring slow"
    RING_UNEVEN = "ring uneven"
    WRAP_TURNS = "wrap turns"
    # film dispensers
    STRETCH = "stretch"
    STRETCH_UNEVEN = "stretch uneven"
    FILM_BREAKS = "film breaks"
    ROLL_BATCH = "roll batch"
    METRES_DRIFT = "metres drift"
    # film cutters, tip
    FILM_STARTS = "film starts"
    TIP_SLOW = "tip slow"
    # sensors
    MOISTURE_DRIFTS = "moisture drifts"
    DIAMETER_FROZEN = "diameter frozen"
    PRESSURE_FROZEN = "pressure frozen"
    GATE_CHATTERS = "gate chatters"
    SCALE_DRIFTS = "scale drifts"
    COLUMN_SILENT = "column silent"
    # supply and bus
    SUPPLY_DIPS = "supply dips"
    SPEED_CODES = "speed codes"
    CODES_MORE = "codes more"
    # oil and grease, additive
    OIL_HOT = "oil hot"
    GREASE_STUCK = "grease stuck"
    ADDITIVE_FALLS = "additive falls"
    # counters
    COUNTER = "counter"
    # operator
    TOO_FAST = "too fast"
    BY_HAND = "by hand"
    PTO_SLOW = "pto slow"
    DENSITY_DIAL = "density dial"
    BINDING_DIAL = "binding dial"


class Growth(StrEnum):
    """How a fault comes: at once; evenly over n bales; in spells; half at once, the rest slowly."""

    STEP = "step"
    RAMP = "ramp"
    SPELLS = "spells"
    JUMP_CREEP = "jump then creep"


class ConfuserKind(StrEnum):
    """What honest work looks like when it looks like a fault; what severity counts stands behind.

    All fall on a job: its bales only, its day (wet morning, hot day), or from its first bale on
    (new batch: eight rolls long; setting, service, swapped control: for good).
    """

    FAT_BALES = "fat bales"  # m of diameter more for one job in heavy rows
    WET_MORNING = "wet morning"  # moisture more at the start of a day, gone in two hours
    NEW_ROLL = "new roll"  # film rolls that stretch otherwise for one job, fraction
    NEW_BATCH = "new batch"  # eight film rolls of another batch, stretching otherwise, fraction
    NEW_FIELD = "new field"  # slope along and across the travel, fraction
    OTHER_CROP = "other crop"  # dry density more, as a share; pressure and feed go with it
    OTHER_DRIVER = "other driver"  # speed more, as a share; slower hands, as half of it
    HOT_DAY = "hot day"  # K of air temperature more
    SETTING_CHANGED = "setting changed"  # bar of chamber pressure more, told as a setting
    SERVICE = "service"  # share of the knives' part of the torque that turned knives save
    LONG_PAUSE = "long pause"  # minutes without a bale in the middle of a job
    SWAPPED_CONTROL = "swapped control"  # 1: a new control that counts from one, told


@dataclass(frozen=True)
class Planted:
    """One fault: from which bale of the season (0-based), how bad, how it grows.

    severity: in the unit of the fault's note; for a rate, times the base rate. growth_bales: over
    how many bales it grows; growth: how (None: RAMP where growth_bales > 0, else STEP).
    duty_share: 0..1, of SPELLS. dispenser: which one a film fault is on (1 or 2); column: which
    one goes silent ("": the first that the fault's note names and the machine writes).
    """

    kind: FaultKind
    start: int
    severity: float
    growth_bales: int = 0
    dispenser: int = 1
    growth: Growth | None = None
    duty_share: float = 0.4
    column: str = ""

    @property
    def grows(self) -> Growth:
        """How it grows, where nothing was said as well."""
        if self.growth is not None:
            return self.growth
        return Growth.RAMP if self.growth_bales > 0 else Growth.STEP

    def progress(
        self, bales: int, chance: np.random.Generator | None = None
    ) -> NDArray[np.float64]:
        """How far it has come at each bale of a season, 0..1, shape (bales,).

        chance: for spells (None: all begin alike).
        """
        since = np.arange(bales) - self.start
        begun = (since >= 0).astype(np.float64)
        match self.grows:
            case Growth.STEP:
                return begun
            case Growth.RAMP:
                return np.clip((since + 1) / max(self.growth_bales, 1), 0.0, 1.0)
            case Growth.JUMP_CREEP:
                over = self.growth_bales or CREEP_BALES
                return begun * np.clip(0.5 + 0.5 * since / over, 0.0, 1.0)
            case Growth.SPELLS:
                return begun * _spells(since, self.duty_share, chance or np.random.default_rng(0))

    def level(self, bales: int, chance: np.random.Generator | None = None) -> NDArray[np.float64]:
        """How bad it is at each bale of a season, shape (bales,)."""
        return self.severity * self.progress(bales, chance)


def _spells(
    since: NDArray[np.int64], duty_share: float, chance: np.random.Generator
) -> NDArray[np.float64]:
    """1 in a spell and 0 between two; the first begins at once."""
    off_bales = SPELL_BALES * (1.0 - duty_share) / max(duty_share, 1e-6)
    on = np.zeros(len(since))
    at, last = 0, int(since[-1]) if len(since) else -1
    while at <= last:
        long = 1 + int(chance.exponential(SPELL_BALES - 1.0))
        on[(since >= at) & (since < at + long)] = 1.0
        at += long + 1 + int(chance.exponential(max(off_bales - 1.0, 0.0)))
    return on


@dataclass(frozen=True)
class Confuser:
    """One confuser: on which job of the season (0-based) it falls, and how large it is."""

    kind: ConfuserKind
    job: int
    severity: float


@dataclass(frozen=True)
class RollLoss:
    """One film roll that is lost in the middle of a bale, and nobody makes it good."""

    bale: int
    dispenser: int
    turn: float
