"""The shapes of the fault book: what a fault is, where it shows, how it usually grows."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.rehearsal.faults import Growth


class System(StrEnum):
    """Where on the machine, or with whom, a fault sits."""

    PICKUP = "pickup"
    CHAMBER = "chamber"
    DENSITY = "density hydraulics"
    KNIVES = "knives"
    BINDING = "binding"
    TRANSFER = "transfer"
    RING = "ring"
    DISPENSERS = "dispensers"
    CUTTERS = "cutters"
    TIP = "tip"
    SENSORS = "sensors"
    SUPPLY = "supply and bus"
    OIL = "oil and grease"
    ADDITIVE = "additive"
    COUNTERS = "counters"
    OPERATOR = "operator"


class Family(StrEnum):
    """What a fault moves: a level, how far readings scatter, how often something happens, what is
    counted, that a column speaks at all, or a setting."""

    LEVEL = "level"
    SPREAD = "spread"
    RATE = "rate"
    COUNT = "count"
    SILENCE = "silence"
    SETTING = "setting"


class Needs(StrEnum):
    """What a machine must have for a fault to be possible."""

    ANYTHING = "anything"
    WRAPPER = "wrapper"
    KNIVES = "knives"
    GREASE = "grease cartridge"
    STRETCH_SEEN = "metres counted before the stretch"


@dataclass(frozen=True)
class FaultNote:
    """One fault of the book.

    quantity: name of what it moves, as recorded; unit: of severity and of natural_spread ("times"
    for rates and spreads: times the usual one); ways: sets of columns of the bale table, each of
    which alone shows it (empty: it shows in the events); sign: +1 where the quantity rises with a
    severity above zero; usual: a moderate and a severe one to plant where the quantity's own
    spread is no measure, None: one and two natural spreads; also: quantities that honestly follow.
    """

    system: System
    meaning: str
    unit: str
    quantity: str
    ways: tuple[tuple[str, ...], ...]
    family: Family
    sign: int
    grows: Growth
    usual: tuple[float, float] | None = None
    needs: Needs = Needs.ANYTHING
    also: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """Every column it shows in."""
        return tuple(dict.fromkeys(column for way in self.ways for column in way))
