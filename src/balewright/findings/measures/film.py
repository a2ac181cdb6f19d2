"""Film and binding by geometry: metres against the way round the bale, turns against advance.

Way over metres is 1 + stretch where metres are counted before the stretch; after it, it is how
true the counter runs. Either way the dispenser, its rollers and its counter keep it constant, and
each roll of film has its own small share in it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.measures.inputs import Inputs, inputs_of, inside, ratio
from balewright.findings.measures.measure import Family, Group, Measure
from balewright.findings.watched import Floats, Watched

_level = partial(Measure, family=Family.LEVEL, kind=FindingKind.METRES_MOVED, is_log=True)
_FILM: Final = ("pre_stretch_frac", "film_width_m")
_FAT: Final = ("air_c", "feed_m3_s")
"""Warm film gives way; heavy rows make bales fat, where no sensor tells the diameter. The gate
opening would tell it too, but a gate sensor that drifts would then move the film."""


def _of(read: Callable[[Inputs], Floats]) -> Callable[[Watched], Floats]:
    return lambda watched: read(inputs_of(watched))


def _stretch_ratio(column: str) -> Callable[[Watched], Floats]:
    def read(watched: Watched) -> Floats:
        seen = inputs_of(watched)
        return inside(ratio(seen.wrapped_way_m, seen.floats(column)), 0.6, 3.5)

    return read


def _total_stretch_ratio(seen: Inputs) -> Floats:
    wrapper = seen.machine.wrapper
    rolls = 1 if wrapper is None else wrapper.dispensers
    return inside(ratio(seen.wrapped_way_m * rolls, seen.floats("film_m")), 0.6, 3.5)


def _pair_ratio(seen: Inputs) -> Floats:
    """Metres of dispenser 1 over those of dispenser 2: bale, way and turns cancel."""
    pair = ratio(seen.floats("film1_m"), seen.floats("film2_m"))
    return np.where(seen.undisturbed, inside(pair, 0.4, 2.5), np.nan)


def _advance_m(seen: Inputs) -> Floats:
    """Surface the bale turns on in a wrap turn: its own turns times its girth."""
    turned_m = seen.floats("wrap_bale_turns") * np.pi * seen.diameter_m
    advance_m = ratio(turned_m, seen.floats("wrap_turns"))
    return np.where(seen.undisturbed, inside(advance_m, 0.05, 2.0), np.nan)


def _wrap_rpm(seen: Inputs) -> Floats:
    return np.where(seen.undisturbed, inside(seen.floats("wrap_rpm"), 2.0, 120.0), np.nan)


def _binding_stretch_ratio(seen: Inputs) -> Floats:
    """Girth times turns over metres off the roll: what the net or film was stretched by."""
    way_m = inside(seen.floats("binding_turns"), 0.5, 20.0) * np.pi * seen.diameter_m
    stretched = inside(ratio(way_m, seen.floats("binding_m")), 0.4, 3.0)
    return np.where(seen.bound_at_once, stretched, np.nan)


def _binding_girths_turns(seen: Inputs) -> Floats:
    """Metres of binding over the girth, for machines that count no turns."""
    turns = ratio(seen.floats("binding_m"), np.pi * seen.diameter_m)
    return np.where(seen.bound_at_once, inside(turns, 0.3, 20.0), np.nan)


def _binding_turns(seen: Inputs) -> Floats:
    turns = inside(seen.floats("binding_turns"), 0.3, 20.0)
    return np.where(seen.bound_at_once, turns, np.nan)


def _said_layers_turn(seen: Inputs) -> Floats:
    """Layers the machine reports for each wrap turn it made."""
    said = ratio(seen.floats("said_layers"), seen.floats("wrap_turns"))
    return np.where(seen.undisturbed, inside(said, 0.02, 4.0), np.nan)


def _said_stretch_frac(seen: Inputs) -> Floats:
    return np.where(seen.undisturbed, seen.floats("said_stretch_frac"), np.nan)


def _said_overlap_frac(seen: Inputs) -> Floats:
    return np.where(seen.undisturbed, seen.floats("said_overlap_frac"), np.nan)


FILM: Final = (
    *(
        _level(
            key=f"film{number}_stretch_ratio", unit="ratio",
            columns=(f"film{number}_m", "wrap_turns"), read=_stretch_ratio(f"film{number}_m"),
            up=Weight.COST, down=Weight.COST, explained_by=_FAT, group=group, floor=0.012,
            moved_by=_FILM, usual_spread=0.02, usual_group=0.5, part=f"dispenser {number}",
            matter="film metres", by_jobs_ratio=1.6,
        )
        for number, group in ((1, Group.FILM1), (2, Group.FILM2))
    ),
    _level(
        key="film_pair_ratio", unit="ratio", columns=("film1_m", "film2_m"),
        read=_of(_pair_ratio), up=Weight.COST, down=Weight.COST, group=Group.FILMS, floor=0.01,
        moved_by=_FILM, usual_spread=0.015, usual_group=0.7, part="dispensers",
        matter="film metres", yields=True, by_jobs_ratio=1.4,
    ),
    _level(
        key="film_stretch_ratio", unit="ratio", columns=("film_m", "wrap_turns"),
        read=_of(_total_stretch_ratio), up=Weight.COST, down=Weight.COST,
        explained_by=_FAT, group=Group.FILMS, floor=0.012, moved_by=_FILM,
        usual_spread=0.02, usual_group=0.5, part="dispensers", matter="film metres", yields=True,
    ),
    _level(
        key="advance_m", unit="m", columns=("wrap_bale_turns", "wrap_turns"),
        read=_of(_advance_m), up=Weight.COST, down=Weight.COST,
        explained_by=("moisture_frac", "mass_kg"), floor=0.012, moved_by=("overlap_frac",),
        usual_spread=0.02, part="wrapper",
    ),
    _level(
        key="wrap_rpm", unit="1/min", kind=FindingKind.DRIVE_MOVED, columns=("wrap_rpm",),
        read=_of(_wrap_rpm), up=Weight.NOTE, down=Weight.COST, explained_by=("oil_c", "air_c"),
        floor=0.015, moved_by=("wrap_rpm",), usual_spread=0.03, part="wrapper",
        matter="wrapping speed",
    ),
    _level(
        key="said_layers_turn", unit="layers", kind=FindingKind.SENSOR_MOVED,
        columns=("said_layers", "wrap_turns"), read=_of(_said_layers_turn), up=Weight.NOTE,
        down=Weight.NOTE, floor=0.012, moved_by=("rolls_on", "overlap_frac", *_FILM),
        usual_spread=0.02, part="control",
    ),
    _level(
        key="said_stretch_frac", unit="fraction", kind=FindingKind.SENSOR_MOVED, is_log=False,
        columns=("said_stretch_frac",), read=_of(_said_stretch_frac), up=Weight.NOTE,
        down=Weight.NOTE, group=Group.FILMS, floor=0.02, moved_by=_FILM, usual_spread=0.03,
        part="control", matter="film metres", yields=True,
    ),
    _level(
        key="said_overlap_frac", unit="fraction", kind=FindingKind.SENSOR_MOVED, is_log=False,
        columns=("said_overlap_frac",), read=_of(_said_overlap_frac), up=Weight.NOTE,
        down=Weight.NOTE, explained_by=("diameter_m",), floor=0.015,
        moved_by=("rolls_on", "overlap_frac", *_FILM), usual_spread=0.02, part="control",
    ),
)  # fmt: skip

BINDING: Final = (
    _level(
        key="binding_stretch_ratio", unit="ratio", columns=("binding_m", "binding_turns"),
        read=_of(_binding_stretch_ratio), up=Weight.COST, down=Weight.COST, explained_by=_FAT[1:],
        group=Group.NET,
        floor=0.015, moved_by=("binding", "binding_tension_frac"), usual_spread=0.03,
        usual_group=0.5, part="binding", matter="binding metres",
    ),
    # turns from metres: net gives way by its roll, so the roll is what bales share
    _level(
        key="binding_girths_turns", unit="turns", columns=("binding_m",),
        read=_of(_binding_girths_turns), up=Weight.NOTE, down=Weight.COST, explained_by=_FAT[1:],
        group=Group.NET,
        floor=0.015, moved_by=("binding", "binding_turns", "binding_tension_frac"),
        usual_spread=0.03, usual_group=0.5, part="binding", matter="binding metres", yields=True,
    ),
    _level(
        key="binding_turns", unit="turns", columns=("binding_turns",), read=_of(_binding_turns),
        up=Weight.NOTE, down=Weight.COST, is_log=False, floor=0.05,
        moved_by=("binding", "binding_turns"), usual_spread=0.08, part="binding",
        matter="binding metres",
    ),
)  # fmt: skip
