"""What a stressor is: a named way in which records are harder than the plain simulator's."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Fair(StrEnum):
    """What may fairly be told of stressed records although no machine has a fault.

    A trial counts a telling of this, within the stressor's span, as true but unplanted.
    """

    COLUMN_SILENT = "a column fell silent"
    NUMBERS = "bale numbers are missing or repeated"
    CLOCK = "the clock is wrong or phases stand out of order"
    SHAPE = "left and right differ, or bales are barrel-shaped"
    MOISTURE = "moisture is outside the window"
    OVERLOADS = "overload trips come more often"
    FILM_WIDTH = "the film width is not the sheet's"
    SENSOR = "a sensor reads wild, sticks, steps, or its spread is another"
    SETTING = "a speed or a supply stands elsewhere for a time"
    LAYERS = "layers are short where the truth has them short"


class Room(StrEnum):
    """Where a stressor works, in the order in which they are put on."""

    MAKING = "making"  # an option of the simulator, before the season is played
    FIELD = "field"
    PEOPLE = "people"
    SENSORS = "sensors"
    NOISE = "noise"
    ENTRIES = "entries"
    CLOCKS = "clocks"
    ROWS = "rows"


@dataclass(frozen=True)
class Stressor:
    """One way of making records harder; fixed before findings are tuned.

    key: its name; meaning: one sentence; unit: what the severity counts; severity: at full
    strength, 0 changes nothing; fair: what may be told of it without being false.
    """

    key: str
    room: Room
    meaning: str
    unit: str
    severity: float
    fair: tuple[Fair, ...] = ()


@dataclass(frozen=True)
class Dose:
    """A stressor by its key, and how much of it in the stressor's unit (0: nothing)."""

    key: str
    severity: float


@dataclass(frozen=True)
class Mix:
    """Stressors that come together. They are put on in the order of the catalogue."""

    key: str
    meaning: str
    doses: tuple[Dose, ...]

    def severity(self, key: str) -> float:
        """How much of one stressor is in it, 0 where there is none."""
        return sum(dose.severity for dose in self.doses if dose.key == key)
