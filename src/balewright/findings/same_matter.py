"""Which findings speak of one matter: geometry or a balance tells it, the chart stays quiet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from balewright.findings.finding import Finding, FindingKind

_FILM: Final = frozenset(("film1_m", "film2_m", "film_m"))
_ANY: Final[frozenset[str]] = frozenset()

TELLS: Final[Mapping[FindingKind, Mapping[FindingKind, frozenset[str]]]] = {
    FindingKind.LAYERS_SHORT: {
        FindingKind.METRES_MOVED: _FILM | {"wrap_turns"},
        FindingKind.SETTING_MOVED: frozenset(("wrap_turns",)),
        FindingKind.PHASE_TIME_MOVED: frozenset(("wrap_turns",)),
    },
    FindingKind.STRETCH_UNEQUAL: {
        FindingKind.METRES_MOVED: _FILM,
        FindingKind.UNLIKE_ITS_KIND: _FILM,
    },
    FindingKind.STRETCH_OFF: {
        FindingKind.METRES_MOVED: _FILM,
        FindingKind.UNLIKE_ITS_KIND: _FILM,
    },
    FindingKind.BINDING_SHORT: {
        FindingKind.METRES_MOVED: frozenset(("binding_m", "binding_turns")),
        FindingKind.SETTING_MOVED: frozenset(("binding_turns", "binding_m")),
        FindingKind.PHASE_TIME_MOVED: frozenset(("binding_turns",)),
        FindingKind.UNLIKE_ITS_KIND: frozenset(("binding_m",)),
    },
    FindingKind.GATE_OPENING_OFF: {
        FindingKind.SHAPE_MOVED: frozenset(("gate_opening_mm",)),
        FindingKind.DENSITY_MOVED: frozenset(("gate_opening_mm",)),
        FindingKind.SENSOR_MOVED: frozenset(("gate_opening_mm",)),
        FindingKind.SETTING_MOVED: frozenset(("gate_opening_mm",)),
    },
    FindingKind.DENSITY_LOW: {FindingKind.DENSITY_MOVED: frozenset(("mass_kg",))},
    FindingKind.MOISTURE_OUTSIDE: {FindingKind.SENSOR_MOVED: frozenset(("moisture_frac",))},
    FindingKind.WRAPPED_LATE: {
        FindingKind.PHASE_TIME_MOVED: frozenset(
            ("on_wrapper_at", "wrap_start_at", "wrap_end_at", "tipped_at")
        ),
    },
    FindingKind.NOT_WRAPPED: {FindingKind.WORKED_BY_HAND: _ANY},
    FindingKind.ROLL_WORSE: {FindingKind.BREAKS_MORE: _ANY},
}
"""By the kind that tells: the kinds it spares, and the columns one of which these must rest on
(any where empty). A new wrap setting that leaves layers short is told as short layers; a time for
each turn moves with the turns, for starting and ending take their share."""

QUICKER: Final[Mapping[FindingKind, frozenset[str]]] = {
    FindingKind.BINDING_SHORT: frozenset(("bind_start_at", "bind_end_at")),
    FindingKind.LAYERS_SHORT: frozenset(("wrap_start_at", "wrap_end_at")),
}
"""Fewer turns take less time: a phase between these times that became shorter says nothing new."""

_SPOILT: Final = frozenset((FindingKind.SENSOR_FROZEN, FindingKind.SENSOR_RESTLESS))
"""A sensor that does not measure makes any level read from it move."""
_MOVES: Final = frozenset(
    kind for kind in FindingKind if kind.name.endswith("_MOVED") and kind.name != "SETTING_MOVED"
)


def tells(one: Finding, other: Finding) -> bool:
    """Whether, on the same bales of a machine, `one` already says what `other` would.

    It never goes round in a circle: of two findings at most one tells the other, and who is told
    by somebody tells nobody who tells him.
    """
    if one.machine != other.machine:
        return False
    columns = TELLS.get(one.kind, {}).get(other.kind)
    if columns is not None and (not columns or not columns.isdisjoint(other.evidence)):
        return True
    if one.kind in QUICKER and other.kind is FindingKind.PHASE_TIME_MOVED:
        is_quicker = other.moved is not None and other.moved.best < 0
        return is_quicker and QUICKER[one.kind].issuperset(other.evidence)
    if one.kind in _SPOILT and other.kind in _MOVES:
        return not set(one.evidence).isdisjoint(other.evidence)
    own_past = one.kind is not FindingKind.UNLIKE_ITS_KIND
    return (
        own_past
        and other.kind is FindingKind.UNLIKE_ITS_KIND
        and one.measure == other.measure != ""
        and one.part == other.part
    )
