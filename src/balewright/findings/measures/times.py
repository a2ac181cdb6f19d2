"""How long each phase takes, for the turns it makes: hydraulics, drives, hand-over, driver."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.measures.inputs import Inputs, inputs_of, inside, ratio
from balewright.findings.measures.measure import Family, Group, Measure
from balewright.findings.watched import Floats, Watched
from balewright.quantities.si import MICROSECONDS_PER_S

_level = partial(Measure, family=Family.LEVEL, kind=FindingKind.PHASE_TIME_MOVED, unit="s")
_OIL: Final = ("oil_c", "air_c")
"""Cold oil moves cylinders and motors slowly: common practice."""


def _of(read: Callable[[Inputs], Floats]) -> Callable[[Watched], Floats]:
    return lambda watched: read(inputs_of(watched))


def _bind_delay_s(seen: Inputs) -> Floats:
    return np.where(seen.plain, seen.seconds("full_at", "bind_start_at", 0.0, 60.0), np.nan)


def _bind_turn_s(seen: Inputs) -> Floats:
    seconds = seen.seconds("bind_start_at", "bind_end_at", 1.0, 180.0)
    turns = inside(seen.floats("binding_turns"), 0.5, 20.0)
    return ratio(np.where(seen.bound_at_once, seconds, np.nan), turns)


def _bind_s(seen: Inputs) -> Floats:
    seconds = seen.seconds("bind_start_at", "bind_end_at", 1.0, 180.0)
    return np.where(seen.bound_at_once, seconds, np.nan)


def _gate_delay_s(seen: Inputs) -> Floats:
    """Bound until the gate opens; waiting for the wrapper to be free of the bale before is no delay
    of the gate, and left out."""
    opened, bound = seen.floats("gate_open_at"), seen.floats("bind_end_at")
    free = np.full(len(bound), np.nan)
    free[1:] = np.where(seen.follows[1:], seen.floats("tipped_at")[:-1], np.nan)
    with np.errstate(invalid="ignore"):
        waited = np.where((free > bound) & (free <= opened), free, bound)
    seconds = inside((opened - waited) / MICROSECONDS_PER_S, 0.0, 120.0)
    return np.where(seen.plain, seconds, np.nan)


def _transfer_s(seen: Inputs) -> Floats:
    return np.where(seen.plain, seen.seconds("gate_open_at", "on_wrapper_at", 0.5, 120.0), np.nan)


def _wrap_delay_s(seen: Inputs) -> Floats:
    seconds = seen.seconds("on_wrapper_at", "wrap_start_at", 0.0, 180.0)
    return np.where(seen.undisturbed, seconds, np.nan)


def _wrap_turn_s(seen: Inputs) -> Floats:
    seconds = seen.seconds("wrap_start_at", "wrap_end_at", 5.0, 600.0)
    return ratio(np.where(seen.undisturbed, seconds, np.nan), seen.floats("wrap_turns"))


def _tip_delay_s(seen: Inputs) -> Floats:
    return np.where(seen.undisturbed, seen.seconds("wrap_end_at", "tipped_at", 0.0, 180.0), np.nan)


def _gate_cycle_s(seen: Inputs) -> Floats:
    """Gate opens on the bale before until the chamber is closed for this one."""
    opened, closed = seen.floats("gate_open_at"), seen.floats("closed_at")
    seconds = np.full(len(closed), np.nan)
    seconds[1:] = (closed[1:] - opened[:-1]) / MICROSECONDS_PER_S
    return np.where(seen.follows & seen.plain, inside(seconds, 1.0, 120.0), np.nan)


TIMES: Final = (
    _level(
        key="fill_s", kind=FindingKind.FEED_MOVED, columns=("closed_at", "full_at"),
        read=_of(lambda seen: seen.fill_s), up=Weight.NOTE, down=Weight.NOTE,
        explained_by=("speed_m_s", "moisture_frac"), is_log=True, floor=0.15,
        moved_by=("gate_opening_mm", "diameter_m", "chamber_bar", "crop"), usual_spread=0.20,
        usual_group=0.8, matter="feed",
        fault_frac=0.4,
        wanders=True,
    ),
    # 2 to 3 s and whole seconds: as a logarithm a second's rounding would be half of it
    _level(
        key="bind_delay_s", columns=("full_at", "bind_start_at"), read=_of(_bind_delay_s),
        up=Weight.NOTE, down=Weight.NOTE, group=Group.DAY, floor=0.8,
        moved_by=("binding_delay_s", "binding"),
        usual_spread=0.6, tells_small=False,
        fault_frac=0.3,
        by_jobs_ratio=2.0,
    ),
    _level(
        key="bind_turn_s", columns=("bind_start_at", "bind_end_at", "binding_turns"),
        read=_of(_bind_turn_s), up=Weight.COST, down=Weight.NOTE,
        explained_by=("pto_share", "diameter_m"), is_log=True, floor=0.06,
        moved_by=("binding", "binding_turns"), usual_spread=0.10, part="binding",
        matter="binding speed",
    ),
    _level(
        key="bind_s", columns=("bind_start_at", "bind_end_at"), read=_of(_bind_s),
        up=Weight.COST, down=Weight.NOTE, explained_by=("pto_share", "diameter_m"), is_log=True,
        floor=0.06, moved_by=("binding", "binding_turns"), usual_spread=0.10, part="binding",
        matter="binding speed", yields=True,
    ),
    _level(
        key="gate_delay_s", columns=("bind_end_at", "gate_open_at"), read=_of(_gate_delay_s),
        up=Weight.COST, down=None, floor=0.5, moved_by=("operator",), usual_spread=0.7, part="gate",
        wanders=True,
    ),
    _level(
        key="gate_cycle_s", columns=("gate_open_at", "closed_at"), read=_of(_gate_cycle_s),
        up=Weight.COST, down=Weight.NOTE, explained_by=_OIL, is_log=True, floor=0.08,
        moved_by=("open_s",), usual_spread=0.12, part="gate",
    ),
    _level(
        key="transfer_s", columns=("gate_open_at", "on_wrapper_at"), read=_of(_transfer_s),
        up=Weight.COST, down=None, explained_by=(*_OIL, "pitch_frac", "mass_kg"), is_log=True,
        floor=0.08, usual_spread=0.15, part="transfer",
    ),
    _level(
        key="wrap_delay_s", columns=("on_wrapper_at", "wrap_start_at"), read=_of(_wrap_delay_s),
        up=Weight.COST, down=None, explained_by=("roll_frac",), floor=0.6,
        moved_by=("roll_before_s", "operator"), usual_spread=0.8, part="wrapper",
    ),
    _level(
        key="wrap_turn_s", columns=("wrap_start_at", "wrap_end_at", "wrap_turns"),
        read=_of(_wrap_turn_s), up=Weight.COST, down=Weight.NOTE, explained_by=_OIL, is_log=True,
        floor=0.025, moved_by=("wrap_rpm", "wrap_turns"), usual_spread=0.05, part="wrapper",
        matter="wrapping speed",
    ),
    # where to set a bale down is the driver's choice: much scatter, little weight
    _level(
        key="tip_delay_s", columns=("wrap_end_at", "tipped_at"), read=_of(_tip_delay_s),
        up=Weight.NOTE, down=None, group=Group.DAY,
        explained_by=("pitch_frac", "roll_frac"), floor=1.0,
        moved_by=("tip_delay_s", "roll_after_s", "tip_side", "operator"), usual_spread=2.0,
        usual_group=0.5, part="tip",
        fault_frac=0.4,
    ),
)  # fmt: skip
