"""Terms of a fault network: where, whose, how much a number is worth, and texts by language."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class System(StrEnum):
    """Where on the machine, or outside it, something belongs."""

    PICKUP = "pickup"
    CHAMBER = "chamber"
    DENSITY = "density hydraulics"
    KNIVES = "knives"
    BINDING = "binding"
    GATE = "gate"
    TRANSFER = "transfer"
    WRAPPING = "wrapping drive"
    DISPENSERS = "dispensers"
    CUTTERS = "film cutters"
    TIP = "tip"
    DRIVE = "drive"
    OIL = "oil"
    GREASE = "grease and chain oil"
    SUPPLY = "supply"
    BUS = "bus and control"
    SENSORS = "sensors"
    ADDITIVE = "additive"
    COUNTERS = "counters"
    OPERATOR = "operator"
    CROP = "crop"
    ROLLS = "rolls"
    TRACTOR = "tractor"


class Side(StrEnum):
    """Whose a cause is."""

    MACHINE = "machine"
    OPERATOR = "operator"
    CROP = "crop"
    ROLL = "roll"
    TRACTOR = "tractor"


class Strength(StrEnum):
    """How much a number is worth: seen often; reasoned; a guess that nothing contradicts."""

    GOOD = "good"
    FAIR = "fair"
    WEAK = "weak"


class Hands(StrEnum):
    """Who may do a check or a repair: whoever drives; a technician there; only a workshop."""

    OPERATOR = "operator"
    TECHNICIAN = "technician"
    WORKSHOP = "workshop"


class Way(StrEnum):
    """Which way what was watched has moved."""

    UP = "up"
    DOWN = "down"
    EITHER = "either"


JUDGED = "trade judgement"
"""The source of a number that practice gives and nobody has published."""
NO_CAUTION = "caution.none"
"""Says that somebody decided that nothing special comes first."""


@dataclass(frozen=True)
class Text:
    """The same words in several languages. said: (ISO 639-1 code, words) pairs, English first."""

    said: tuple[tuple[str, str], ...]

    def in_language(self, code: str) -> str:
        """The words in that language, in English where they are not there."""
        return dict(self.said).get(code, self.said[0][1])


@dataclass(frozen=True)
class Grounds:
    """What a number rests on. why: the reasoning, in English; source: a key or `JUDGED`."""

    why: str
    strength: Strength
    source: str = JUDGED


class Kind(StrEnum):
    """How something is observed: somebody says it; the records show it; a check reads it."""

    REPORT = "report"
    FINDING = "finding"
    CHECK = "check"
