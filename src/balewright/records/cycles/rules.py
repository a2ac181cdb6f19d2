"""The thresholds by which signals are cut into cycles, each with its reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from balewright.quantities.checks import require_between

SECOND_US: Final = 1_000_000


@dataclass(frozen=True)
class Threshold:
    """A level read as a switch: on from `high` up, off from `low` down, in between as it was.
    Both in the unit of the signal; low < high."""

    low: float
    high: float


LEVELS: Final[Mapping[str, Threshold]] = MappingProxyType(
    {
        # a full chamber stands open some 30 mm; an open gate by far more
        "gate_opening_mm": Threshold(60.0, 120.0),
        # the sign for full comes just before the end of the scale
        "chamber_fill_frac": Threshold(0.80, 0.97),
    }
)


@dataclass(frozen=True)
class CycleRules:
    """What makes a bale out of signals. All times in whole microseconds.

    dwell_us: a switch that holds for less has bounced. Contacts bounce for milliseconds, a
        vibrating sensor for a tenth of a second; no part of a cycle is that short.
    chatter_us: a contact that finds no rest for so long is out of order; it is followed anew.
    seen_us: samples no further apart show a boundary as well as the machine can tell it.
    latency_us: a message may be recorded that much later than its value was sensed.
    pause_us: turns or metres that rest for longer have stopped. The slowest ring in work makes a
        turn in 7.5 s, and some count whole turns only.
    least_bind_us: binding shorter than this without a metre fed is a touch of the sensor.
    retry_us: binding that starts again so soon was tried again: no chamber fills in that time.
    rebind_us: binding that starts again so late is of another bale, even where the gate's
        signals missed the opening.
    resume_us: a control that woke from the dark binds on within so long.
    lag_us: how far a signal that stands in for another may lie from it: net runs before its
        metres count, a ring runs out after its last counted turn.
    level_lag_us: how long a gate moves before its level passes the threshold.
    shake_us: a gate open for less has not moved: its sensor shook. None opens and closes so fast.
    rejoin_us: a bale gone from the wrapper for less has only rocked on it.
    number_slack_us: how far from its boundary a bale's number may step.
    most_leap: a counter that rises by more at once has not counted bales.
    number_at: the column of the phase at which the number steps (`gate_open_at`, ...), from the
        machine's profile; None: learnt from the first `learn_from` bales.
    levels: levels read as switches, by signal.
    keep_us: how long samples are kept for a bale that does not end, or for the next change of a
        signal that fell silent, when cut in pieces.
    """

    dwell_us: int = 300_000
    chatter_us: int = 30 * SECOND_US
    seen_us: int = 600_000
    latency_us: int = 60_000
    pause_us: int = 9 * SECOND_US
    least_bind_us: int = 1 * SECOND_US
    retry_us: int = 14 * SECOND_US
    rebind_us: int = 60 * SECOND_US
    resume_us: int = 30 * SECOND_US
    lag_us: int = 1_500_000
    level_lag_us: int = 1_200_000
    shake_us: int = 1_500_000
    rejoin_us: int = 3 * SECOND_US
    number_slack_us: int = 8 * SECOND_US
    most_leap: int = 20
    number_at: str | None = None
    learn_from: int = 6
    levels: Mapping[str, Threshold] = field(default_factory=lambda: LEVELS)
    keep_us: int = 2 * 3600 * SECOND_US

    def __post_init__(self) -> None:
        require_between("dwell_us", self.dwell_us, 0, 10 * SECOND_US)
        require_between("pause_us", self.pause_us, SECOND_US, 120 * SECOND_US)
        require_between("keep_us", self.keep_us, 60 * SECOND_US, 86_400 * SECOND_US)
