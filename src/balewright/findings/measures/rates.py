"""What should seldom happen, counted a bale: breaks, retries, trips, dips, codes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.measures.inputs import Inputs, inputs_of
from balewright.findings.measures.measure import Family, Group, Measure
from balewright.findings.watched import Floats, Watched
from balewright.plan.machine import Machine

_rate = partial(Measure, family=Family.RATE, unit="a bale", down=None)
_DIP_V: Final = 10.5
"""Below this a 12 V control may lose its mind; used where the profile says nothing: `assumed`."""
_CODE: Final = "code "
_FEWEST_CODES: Final = 3
"""Bales that must have shown a code before it is watched by itself: `assumed`."""


def _of(read: Callable[[Inputs], Floats]) -> Callable[[Watched], Floats]:
    return lambda watched: read(inputs_of(watched))


def _count(name: str, usual: int = 0) -> Callable[[Watched], Floats]:
    """How often beyond the usual number of times; a first try is no retry."""

    def read(watched: Watched) -> Floats:
        seen = inputs_of(watched)
        counted = np.maximum(seen.floats(name) - usual, 0.0)
        return np.where(seen.says("status", "test"), np.nan, counted)

    return read


def _unbound(seen: Inputs) -> Floats:
    """Bales passed on without binding, of those of which binding is known."""
    turns = seen.floats("binding_turns")
    with np.errstate(invalid="ignore"):
        missed = seen.says("binding", "none") | (turns < 0.3)
    known = np.isfinite(turns) | seen.bales.mask("binding")
    return np.where(known & ~seen.says("status", "test"), missed.astype(np.float64), np.nan)


def _by_hand(seen: Inputs) -> Floats:
    known = seen.says("mode", "automatic", "by hand")
    return np.where(known, seen.says("mode", "by hand").astype(np.float64), np.nan)


def _burst(seen: Inputs) -> Floats:
    known = seen.says("status", "ok", "burst", "re-wrapped")
    return np.where(known, seen.says("status", "burst").astype(np.float64), np.nan)


def _dip(seen: Inputs) -> Floats:
    lowest_v = _healthy_low(seen.machine, "supply_min_v", _DIP_V)
    supply_v = seen.floats("supply_min_v")
    with np.errstate(invalid="ignore"):
        dipped = (supply_v < lowest_v).astype(np.float64)
    return np.where(np.isfinite(supply_v), dipped, np.nan)


def _healthy_low(machine: Machine, column: str, otherwise: float) -> float:
    found = [sensor.healthy.low for sensor in machine.sensors if sensor.column == column]
    return found[0] if found else otherwise


def _undosed(seen: Inputs) -> Floats:
    """Bales with no additive on a sheet that asks for some."""
    asked = seen.planned(lambda plan: plan.sheet.number("additive_l_t"))
    dosed_l = seen.floats("additive_l")
    with np.errstate(invalid="ignore"):
        judged = (asked > 0) & np.isfinite(dosed_l) & seen.plain
        return np.where(judged, (dosed_l < 0.02).astype(np.float64), np.nan)


def _any_code(seen: Inputs) -> Floats:
    """An empty cell is no code on a machine that tells codes, and unknown to nobody else."""
    return np.where(seen.plain, seen.bales.mask("codes").astype(np.float64), np.nan)


def _one_code(code: str) -> Callable[[Watched], Floats]:
    def read(watched: Watched) -> Floats:
        seen = inputs_of(watched)
        said = seen.bales.column("codes")
        # few bales show any code: only those few texts are looked into
        hit = np.zeros(seen.bales.rows, dtype=np.float64)
        rows = np.flatnonzero(seen.bales.mask("codes"))
        hit[rows] = [code in str(text).split() for text in said[rows]]
        return np.where(seen.plain, hit, np.nan)

    return read


RATES: Final = (
    *(
        _rate(
            key=f"film{number}_breaks", kind=FindingKind.BREAKS_MORE,
            columns=(f"film{number}_breaks",), read=_count(f"film{number}_breaks"),
            up=Weight.COST, group=group, usual_rate=0.012, part=f"dispenser {number}",
            explained_by=("air_c",), matter="film breaks",
        )
        for number, group in ((1, Group.FILM1), (2, Group.FILM2))
    ),
    _rate(
        key="film_breaks", kind=FindingKind.BREAKS_MORE, columns=("film_breaks",),
        read=_count("film_breaks"), up=Weight.COST, group=Group.FILMS, usual_rate=0.02,
        part="dispensers", explained_by=("air_c",), matter="film breaks", yields=True,
    ),
    _rate(
        key="binding_retries", kind=FindingKind.BINDING_MISSED, columns=("binding_tries",),
        read=_count("binding_tries", 1), up=Weight.COST, explained_by=("air_c",), group=Group.NET,
        usual_rate=0.015,
        part="binding", matter="binding missed",
    ),
    _rate(
        key="unbound", kind=FindingKind.BINDING_MISSED, columns=("binding",),
        read=_of(_unbound), up=Weight.HARM, group=Group.NET, usual_rate=0.002, part="binding",
        matter="binding missed",
    ),
    _rate(
        key="film_start_retries", kind=FindingKind.STARTS_REPEATED, columns=("film_start_tries",),
        read=_count("film_start_tries", 1), up=Weight.COST, explained_by=("air_c",),
        usual_rate=0.015, part="cutters",
    ),
    _rate(
        key="overloads", kind=FindingKind.OVERLOADS_MORE, columns=("overloads",),
        read=_count("overloads"), up=Weight.COST, explained_by=("feed_m3_s", "moisture_frac"),
        moved_by=("crop",), usual_rate=0.01, part="drive",
    ),
    _rate(
        key="by_hand", kind=FindingKind.WORKED_BY_HAND, columns=("mode",), read=_of(_by_hand),
        up=Weight.NOTE, moved_by=("operator",), usual_rate=0.01, part="driver",
    ),
    _rate(
        key="burst", kind=FindingKind.BURST, columns=("status",), read=_of(_burst),
        up=Weight.COST, usual_rate=0.003, part="binding",
    ),
    _rate(
        key="supply_dips", kind=FindingKind.SUPPLY_LOW, columns=("supply_min_v",), read=_of(_dip),
        up=Weight.COST, usual_rate=0.003, part="supply", matter="supply",
    ),
    _rate(
        key="undosed", kind=FindingKind.ADDITIVE_MOVED, columns=("additive_l",),
        read=_of(_undosed), up=Weight.COST, usual_rate=0.01, part="additive", matter="additive",
    ),
    _rate(
        key="codes", kind=FindingKind.CODES_MORE, columns=("codes",), read=_of(_any_code),
        up=Weight.NOTE, usual_rate=0.02, part="control", matter="codes", yields=True,
    ),
)  # fmt: skip


def code_measures(codes: Iterable[str]) -> tuple[Measure, ...]:
    """A rate for each code (`SPN/FMI`), in order; each is a matter of its own."""
    return tuple(
        _rate(
            key=_CODE + code,
            kind=FindingKind.CODES_MORE,
            columns=("codes",),
            read=_one_code(code),
            up=Weight.NOTE,
            usual_rate=0.003,
            part=f"code {code}",
            matter="codes",
        )
        for code in sorted(set(codes))
    )


def code_of(key: str) -> str | None:
    """The code that a measure of `code_measures` counts, by its key; None for any other."""
    return key.removeprefix(_CODE) if key.startswith(_CODE) else None


def codes_often(watched: Watched, fewest: int = _FEWEST_CODES) -> tuple[str, ...]:
    """Codes that `fewest` bales or more have shown, in order: worth watching by themselves."""
    bales: dict[str, int] = {}
    for text in watched.bales.column("codes")[watched.bales.mask("codes")]:
        for code in set(str(text).split()):
            bales[code] = bales.get(code, 0) + 1
    return tuple(sorted(code for code, count in bales.items() if count >= fewest))
