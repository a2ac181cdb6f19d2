"""How often honest confusers come by themselves, and how large they are then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from balewright.plan.dial import Dial
from balewright.rehearsal.days import Schedule
from balewright.rehearsal.faults import Confuser, ConfuserKind
from balewright.rehearsal.streams import Streams

C = ConfuserKind
USUAL_SIZE: Final[Mapping[C, tuple[float, float, bool]]] = MappingProxyType({
    C.FAT_BALES: (0.03, 0.10, False),
    C.WET_MORNING: (0.03, 0.10, False),
    C.NEW_ROLL: (0.005, 0.03, True),
    C.NEW_BATCH: (0.005, 0.025, True),
    C.NEW_FIELD: (0.03, 0.12, True),
    C.OTHER_CROP: (0.03, 0.12, True),
    C.OTHER_DRIVER: (0.05, 0.20, True),
    C.HOT_DAY: (4.0, 11.0, False),
    C.SETTING_CHANGED: (5.0, 16.0, True),
    C.SERVICE: (0.05, 0.10, False),
    C.LONG_PAUSE: (20.0, 90.0, False),
    C.SWAPPED_CONTROL: (1.0, 1.0, False),
})  # fmt: skip
"""At least, at most, and whether below zero as well; in the unit of the kind. All assumed."""


@dataclass(frozen=True)
class Habit:
    """chance_job: for each kind the chance that it falls on a job, 0..1."""

    chance_job: Mapping[ConfuserKind, float]


USUAL_HABIT: Final = Habit(MappingProxyType({
    C.FAT_BALES: 0.05, C.WET_MORNING: 0.06, C.NEW_ROLL: 0.04, C.NEW_BATCH: 0.04,
    C.NEW_FIELD: 0.10, C.OTHER_CROP: 0.05, C.OTHER_DRIVER: 0.06, C.HOT_DAY: 0.04,
    C.SERVICE: 0.01, C.LONG_PAUSE: 0.10, C.SETTING_CHANGED: 0.01, C.SWAPPED_CONTROL: 0.003,
}))  # fmt: skip
"""What a season usually brings; assumed."""
_DRY_FRAC: Final = 0.3
_DRY_SHARE: Final = 0.35
"""Hay and straw are left lying on a morning that would make them as wet as silage may get."""


def place_confusers(
    habit: Habit | None, schedule: Schedule, streams: Streams, moisture_frac: float
) -> tuple[Confuser, ...]:
    """The confusers a season brings by itself: each job is asked for each kind.

    moisture_frac: of the crop, wet basis; below 0.3 a wet morning is a third as wet.
    """
    if habit is None:
        return ()
    found = []
    for kind, chance in habit.chance_job.items():
        draws = streams.of(f"habit {kind}").random((schedule.jobs, 3))
        low, high, both = USUAL_SIZE[kind]
        for job, (whether, size, sign) in enumerate(draws.tolist()):
            if whether < chance:
                severity = low + (high - low) * size
                if kind is C.WET_MORNING and moisture_frac < _DRY_FRAC:
                    severity *= _DRY_SHARE
                found.append(Confuser(kind, job, -severity if both and sign < 0.5 else severity))
    return tuple(found)


def within_dial(
    confusers: tuple[Confuser, ...], dial: Dial | None, begins_bar: float | None
) -> tuple[Confuser, ...]:
    """The same, pressures set within what the dial has: beyond its end it is turned the other way.

    dial: of the chamber pressure, None where any may be set; begins_bar: what it is set to at
    first. A change that fits neither way does not happen.
    """
    if dial is None or begins_bar is None:
        return confusers
    low, high = min(dial.values), max(dial.values)
    kept, now_bar = [], begins_bar
    for one in sorted(confusers, key=lambda one: one.job):
        if one.kind is C.SETTING_CHANGED:
            ways = (one.severity, -one.severity)
            fits = [way for way in ways if low <= now_bar + way <= high]
            if not fits:
                continue
            now_bar += fits[0]
            kept.append(replace(one, severity=fits[0]))
        else:
            kept.append(one)
    return tuple(kept)
