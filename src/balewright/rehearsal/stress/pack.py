"""The stress pack: mixes of stressors with fixed severities, written before tuning."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from balewright.rehearsal.stress.catalogue import STRESSORS
from balewright.rehearsal.stress.stressor import Dose, Mix, Stressor

PACK_VERSION: Final = 1


def full(*keys: str) -> tuple[Dose, ...]:
    """Doses at full strength."""
    return tuple(Dose(key, STRESSORS[key].severity) for key in keys)


_MIXES: Final = (
    Mix("heavy tails", "Readings jump.", full("heavy tails", "wild readings")),
    Mix("lasting noise", "What one bale shows, the next shows too.", full("lasting noise")),
    Mix(
        "restless machine",
        "Noise lasts long and is worse where the machine is full.",
        full("long lasting noise", "noise that grows with feed"),
    ),
    Mix(
        "worn sensors",
        "Sensors creep, show coarse steps and now and then nonsense.",
        full("gain drift", "coarse sensors", "wild readings"),
    ),
    Mix(
        "changed sensors",
        "Sensors of another make, sticky ones, numbers put in by hand.",
        full("sensor replaced", "sticky moisture", "operator who rounds"),
    ),
    Mix(
        "wrong clocks",
        "Fast, gaining, set back, in a wrong zone, and in whole minutes.",
        full("clock offset", "clock drift", "clock set back", "zone wrong", "whole minutes"),
    ),
    Mix("holes", "Cells and runs of cells are unknown.", full("cells missing", "bursts missing")),
    Mix(
        "poor and late",
        "A poor machine whose records begin in mid-season.",
        full("columns missing", "short history"),
    ),
    Mix(
        "lost and doubled",
        "Bales, a day and some order are lost.",
        full("bales missing", "lost day", "rows doubled"),
    ),
    Mix(
        "hard fields",
        "Hail, stones, barrel bales and a season that dries.",
        full("drying season", "flattened crop", "barrel bales", "stones"),
    ),
    Mix(
        "many hands",
        "Two drivers, a borrowed tractor, a night shift, entries and rolls that are not right.",
        full(
            "two drivers",
            "borrowed tractor",
            "night shift",
            "film width entered wrong",
            "half-full rolls",
        ),
    ),
    Mix(
        "slipping",
        "The bale turns less than it should, is a barrel, and noise lasts.",
        full("slipping advance", "barrel bales", "lasting noise"),
    ),
    Mix(
        "bad season",
        "A bit of each room at full strength.",
        full(
            "flattened crop",
            "barrel bales",
            "two drivers",
            "sensor replaced",
            "heavy tails",
            "lasting noise",
            "whole minutes",
            "cells missing",
            "bales missing",
            "rows doubled",
        ),
    ),
    Mix(
        "everything at half strength",
        "All stressors of the catalogue at half their severity.",
        tuple(Dose(one.key, one.severity / 2) for one in STRESSORS.values()),
    ),
)

STRESS_PACK: Final = MappingProxyType({mix.key: mix for mix in _MIXES})
"""Key -> mix, in the order of the tables that report on them."""


def write_down() -> str:
    """The whole definition as text: each stressor, then each mix, one line a fact."""
    lines = [f"stress pack {PACK_VERSION}", *map(_line, STRESSORS.values())]
    for mix in STRESS_PACK.values():
        lines.append(f"mix {mix.key}: {mix.meaning}")
        lines += [f"  {dose.key} {dose.severity!r}" for dose in mix.doses]
    return "\n".join(lines) + "\n"


def _line(one: Stressor) -> str:
    fair = "; ".join(one.fair)
    return (
        f"stressor {one.key} [{one.room}] {one.severity!r} {one.unit}: {one.meaning} fair: {fair}"
    )
