"""What may go wrong between a sensor and a file, planted on an invented day."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.records.signals import SIGNAL_BY_NAME, Shape, Signals
from balewright.rehearsal.signals.habits import Habits
from balewright.rehearsal.signals.sensing import (
    Heard,
    Truth,
    frozen,
    record,
    sense,
    silenced,
    truth_of,
)
from balewright.rehearsal.signals.story import Fate, Story, Wishes, tell_day

Chance = np.random.Generator


class Trouble(StrEnum):
    """Kinds of trouble, one a day."""

    NONE = "none"
    BOUNCE = "contacts bounce"
    GAPS = "gaps in the recording"
    DARK_FILLING = "control off while filling"
    DARK_BINDING = "control off while binding"
    DARK_OPENING = "control off before opening"
    DARK_WRAPPING = "control off while wrapping"
    DARK_TIPPING = "control off before tipping"
    CLOCK_BACK = "clock set back"
    CLOCK_FORWARD = "clock set forward"
    HOUR_TWICE = "an hour twice"
    DROPPED = "messages dropped"
    FROZEN_GATE = "gate sensor frozen"
    FROZEN_BALE = "wrapper's bale sensor frozen"
    FROZEN_BINDING = "binding sensor frozen"
    CHATTER = "gate switch chatters"
    TWICE = "samples twice"
    UNKNOWN = "values not available"
    BURST = "bales burst"
    REWRAPPED = "bales wrapped again"
    WRAPPER_OFF = "wrapper off"
    ROLL_END = "roll ends amid a bale"
    ONE_FILM = "one film only"
    BY_HAND = "wrapped by hand"
    BUSY = "wrapper is the bottleneck"
    WEIGHED_LATER = "weighed later"


_FATES: Final[Mapping[Trouble, Fate]] = MappingProxyType(
    {
        Trouble.BURST: Fate.BURST, Trouble.REWRAPPED: Fate.REWRAPPED,
        Trouble.WRAPPER_OFF: Fate.WRAPPER_OFF, Trouble.ROLL_END: Fate.ROLL_END,
        Trouble.ONE_FILM: Fate.ONE_FILM, Trouble.BY_HAND: Fate.BY_HAND,
    }
)  # fmt: skip
_DARK: Final[Mapping[Trouble, tuple[str, ...]]] = MappingProxyType(
    {
        Trouble.DARK_FILLING: ("full_at",),
        Trouble.DARK_BINDING: ("bind_end_at",),
        Trouble.DARK_OPENING: ("bind_start_at", "gate_open_at"),
        Trouble.DARK_WRAPPING: ("wrap_end_at",),
        Trouble.DARK_TIPPING: ("on_wrapper_at", "wrap_start_at", "tipped_at"),
    }
)
_FROZEN: Final[Mapping[Trouble, tuple[str, ...]]] = MappingProxyType(
    {
        Trouble.FROZEN_GATE: ("chamber_closed", "gate_opening_mm"),
        Trouble.FROZEN_BALE: ("bale_on_wrapper",),
        Trouble.FROZEN_BINDING: ("binding_on",),
    }
)


@dataclass(frozen=True, eq=False)
class RehearsedDay:
    """A day as recorded, and the truth beside it."""

    signals: Signals
    truth: Truth


def rehearse_day(habits: Habits, bales: int, trouble: Trouble, chance: Chance) -> RehearsedDay:
    """An invented day of some bales on a machine with these habits, with one kind of trouble."""
    story = tell_day(habits, _wishes(bales, trouble, chance), chance)
    heard = sense(story, habits, chance)
    clock = _clock(story, trouble, chance)
    plant = _PLANTS.get(trouble)
    if plant is not None:
        heard = plant(heard, story, chance)
    if trouble in _FROZEN:
        heard = _freeze(heard, story, trouble, chance)
    signals, _ = record(heard, clock, float(chance.uniform(0.0, 0.05)))
    return RehearsedDay(signals, truth_of(story, clock))


def _wishes(bales: int, trouble: Trouble, chance: Chance) -> Wishes:
    struck = np.flatnonzero(chance.random(bales) < 0.25).tolist()
    fates = dict.fromkeys(struck, _FATES[trouble]) if trouble in _FATES else {}
    phases = _DARK.get(trouble, ())
    dark = {bale: str(chance.choice(phases)) for bale in struck} if phases else {}
    later_s = float(chance.uniform(2.0, 8.0)) if trouble is Trouble.WEIGHED_LATER else 0.0
    return Wishes(bales, fates, dark, trouble is Trouble.BUSY, later_s)


def _clock(story: Story, trouble: Trouble, chance: Chance) -> list[tuple[float, float]]:
    """When the recorder's clock was set, and by how much, in true seconds."""
    steps = {
        Trouble.CLOCK_BACK: lambda: -float(chance.uniform(5.0, 900.0)),
        Trouble.CLOCK_FORWARD: lambda: float(chance.uniform(90.0, 4000.0)),
        Trouble.HOUR_TWICE: lambda: -3600.0,
    }
    if trouble not in steps:
        return []
    times = 1 if trouble is Trouble.HOUR_TWICE else 3
    when = np.sort(chance.uniform(0.1, 0.9, times) * story.ends_s)
    return [(float(each), steps[trouble]()) for each in when]


def _is_switch(name: str) -> bool:
    return SIGNAL_BY_NAME[name].shape is Shape.SWITCH


def _bounce(heard: dict[str, Heard], story: Story, chance: Chance) -> dict[str, Heard]:
    """Every switch flickers for up to a quarter of a second when it changes, and now and then
    without a reason."""
    del story
    found = {}
    for name, one in heard.items():
        if not _is_switch(name):
            found[name] = one
            continue
        values = one.values.copy()
        for place in (np.flatnonzero(np.diff(values)) + 1).tolist():
            until = one.at_s[place] + chance.uniform(0.0, 0.25)
            flicker = np.arange(place, min(int(np.searchsorted(one.at_s, until)), len(values)))
            hit = flicker[chance.random(len(flicker)) < 0.5]
            values[hit] = 1.0 - values[hit]
        stray = chance.random(len(values)) < 0.0002
        values[stray] = 1.0 - values[stray]
        found[name] = Heard(one.at_s, values, one.known)
    return found


def _gaps(heard: dict[str, Heard], story: Story, chance: Chance) -> dict[str, Heard]:
    """The recorder misses 3 to 40 s here and there."""
    for low in chance.uniform(0.0, story.ends_s, max(int(story.ends_s / 400.0), 1)).tolist():
        high = low + float(chance.uniform(3.0, 40.0))
        heard = {name: silenced(one, low, high) for name, one in heard.items()}
    return heard


def _drop(heard: dict[str, Heard], story: Story, chance: Chance) -> dict[str, Heard]:
    """Half of all messages are lost, and each signal now and then falls silent for seconds."""
    found = {}
    for name, one in heard.items():
        kept = one.pick(chance.random(len(one.at_s)) < 0.5)
        for low in chance.uniform(0.0, story.ends_s, int(story.ends_s / 600.0)).tolist():
            kept = silenced(kept, low, low + float(chance.uniform(1.0, 6.0)))
        found[name] = kept
    return found


def _chatter(heard: dict[str, Heard], story: Story, chance: Chance) -> dict[str, Heard]:
    """The gate's switch shakes while it stands open, and at times while the bale fills."""
    if "chamber_closed" not in heard:
        return heard
    one = heard["chamber_closed"]
    values = one.values.copy()
    shakes = [
        float(low) + float(chance.uniform(0.4, 1.5)) for _, low in story.spans["chamber_closed"]
    ]
    shakes += chance.uniform(0.0, story.ends_s, int(story.ends_s / 300.0)).tolist()
    for low in shakes:
        first, behind = np.searchsorted(one.at_s, [low, low + float(chance.uniform(0.2, 2.0))])
        hit = np.arange(first, behind)[chance.random(behind - first) < 0.4]
        values[hit] = 1.0 - values[hit]
    return {**heard, "chamber_closed": Heard(one.at_s, values, one.known)}


def _twice(heard: dict[str, Heard], story: Story, chance: Chance) -> dict[str, Heard]:
    """One sample in three is recorded two or three times."""
    del story
    found = {}
    for name, one in heard.items():
        often = np.where(chance.random(len(one.at_s)) < 0.33, chance.integers(2, 4), 1)
        found[name] = Heard(
            np.repeat(one.at_s, often), np.repeat(one.values, often), np.repeat(one.known, often)
        )
    return found


def _unknown(heard: dict[str, Heard], story: Story, chance: Chance) -> dict[str, Heard]:
    """Senders say `not available` for one sample in five, and for seconds on end."""
    found = {}
    for name, one in heard.items():
        known = chance.random(len(one.at_s)) > 0.2
        for low in chance.uniform(0.0, story.ends_s, int(story.ends_s / 900.0)).tolist():
            high = low + float(chance.uniform(2.0, 12.0))
            known &= ~((one.at_s >= low) & (one.at_s < high))
        found[name] = Heard(one.at_s, one.values, known)
    return found


def _freeze(
    heard: dict[str, Heard], story: Story, trouble: Trouble, chance: Chance
) -> dict[str, Heard]:
    """A sensor sticks for a third of the day."""
    low = float(chance.uniform(0.2, 0.5)) * story.ends_s
    high = low + story.ends_s / 3.0
    names = [name for name in _FROZEN[trouble] if name in heard]
    return {**heard, **{name: frozen(heard[name], low, high) for name in names}}


_PLANTS: Final[Mapping[Trouble, Callable[[dict[str, Heard], Story, Chance], dict[str, Heard]]]] = (
    MappingProxyType(
        {
            Trouble.BOUNCE: _bounce, Trouble.GAPS: _gaps, Trouble.DROPPED: _drop,
            Trouble.CHATTER: _chatter, Trouble.TWICE: _twice, Trouble.UNKNOWN: _unknown,
        }
    )
)  # fmt: skip
