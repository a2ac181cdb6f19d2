"""A finding: a bale or run of bales that breaks its plan, with the evidence."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason


class FindingKind(StrEnum):
    """What can be found: by physics, the sheet and the counters, then by watching for change."""

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
    PHASE_TIME_MOVED = "phase time moved"
    PRESSURE_MOVED = "pressure moved"
    TEMPERATURE_MOVED = "temperature moved"
    METRES_MOVED = "metres moved"
    SHAPE_MOVED = "shape moved"
    DENSITY_MOVED = "density moved"
    FEED_MOVED = "feed moved"
    DRIVE_MOVED = "drive moved"
    ADDITIVE_MOVED = "additive moved"
    SENSOR_MOVED = "sensor moved"
    SENSOR_FROZEN = "sensor frozen"
    SENSOR_RESTLESS = "sensor restless"
    BREAKS_MORE = "breaks more"
    BINDING_MISSED = "binding missed"
    STARTS_REPEATED = "starts repeated"
    OVERLOADS_MORE = "overloads more"
    WORKED_BY_HAND = "worked by hand"
    SUPPLY_LOW = "supply low"
    CODES_MORE = "codes more"
    SETTING_MOVED = "setting moved"
    CARTRIDGE_STUCK = "cartridge stuck"
    ROLL_WORSE = "roll worse"
    UNLIKE_ITS_KIND = "unlike its kind"


class Weight(StrEnum):
    """How much it matters, worst first: spoils feed or hurts; costs; keeps the book right."""

    HARM = "harm"
    COST = "cost"
    NOTE = "note"


@dataclass(frozen=True)
class Start:
    """Between which bales it began. Numbers are None where bales have none, times likewise.

    first_bale, first_us: the earliest bale that may have been the first; last_bale, last_us: the
    latest; confidence: chance that the true one lies between, by the model. The likeliest stands
    in the finding itself.
    """

    first_bale: int | None
    last_bale: int | None
    first_us: int | None
    last_us: int | None
    confidence: float


@dataclass(frozen=True)
class Worth:
    """How much a finding matters.

    money_bale: what it costs for each bale it lasts, in the currency of the prices given; None
    where no price was given or money is not the point. risk: what it endangers, as a sentence.
    """

    money_bale: Interval | None
    risk: Reason | None


@dataclass(frozen=True)
class Finding:
    """One finding.

    since_bale, until_bale: bale numbers of the first and last bale it was seen on (None where
    bales have no number); since_us the time of the first; bales: how many bales break the plan;
    looked_at: how many bales could be judged in that span; planned, seen: in `unit`, None where
    there is no number; evidence: names of the columns it rests on; words: the sentence.

    What was watched for change says more. measure: key of what was watched, "" for a check
    against the plan; part: of the machine ("dispenser 1", a roll's batch), "" for the whole;
    start: between which bales it began; moved: now less before, in `unit`; certain_frac: chance
    that it is real, 0..1, None where counting or geometry settles it; chance_frac: how often a
    machine in order would show as much in the bales watched; worth: how much it matters;
    adjusted_for: what was taken out before judging. until_us: time of the last bale it was seen on.
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
    measure: str = ""
    part: str = ""
    start: Start | None = None
    moved: Interval | None = None
    certain_frac: float | None = None
    chance_frac: float | None = None
    worth: Worth | None = None
    adjusted_for: tuple[str, ...] = ()
    until_us: int | None = None
