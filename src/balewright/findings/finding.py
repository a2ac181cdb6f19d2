"""A finding: a bale or run of bales that breaks its plan, with the evidence."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason


class FindingKind(StrEnum):
    """What can be found by physics, the sheet and the counters."""

    LAYERS_SHORT = "layers short"
    STRETCH_UNEQUAL = "stretch unequal"
    STRETCH_OFF = "stretch off"
    BINDING_SHORT = "binding short"
    GATE_OPENING_OFF = "gate opening off"
    DENSITY_LOW = "density low"
    MOISTURE_OUTSIDE = "moisture outside"
    WRAPPED_LATE = "wrapped late"
    PHASES_DISORDERED = "phases disordered"
    NUMBER_MISSING = "number missing"
    NUMBER_REPEATED = "number repeated"
    COUNTER_CHANGED = "counter changed"
    WRAPPED_TWICE = "wrapped twice"
    NOT_WRAPPED = "not wrapped"
    BURST = "burst"
    MADE_AS_TEST = "made as test"
    NOT_WATCHED = "not watched"


class Weight(StrEnum):
    """How much it matters, worst first: spoils feed or hurts; costs; keeps the book right."""

    HARM = "harm"
    COST = "cost"
    NOTE = "note"


@dataclass(frozen=True)
class Finding:
    """One finding.

    since_bale, until_bale: bale numbers of the first and last bale it was seen on (None where
    bales have no number); since_us the time of the first; bales: how many bales break the plan;
    looked_at: how many bales could be judged in that span; planned, seen: in `unit`, None where
    there is no number; evidence: names of the columns it rests on; words: the sentence.
    """

    machine: str
    kind: FindingKind
    weight: Weight
    since_bale: int | None
    until_bale: int | None
    since_us: int | None
    bales: int
    looked_at: int
    planned: float | None
    seen: Interval | None
    unit: str
    evidence: tuple[str, ...]
    sheet: str | None
    words: Reason
