"""What of a record shows each fault: one number a bale, and how it scatters on a clean machine."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable
from balewright.rehearsal import sizes
from balewright.rehearsal.book import FAULT_BOOK
from balewright.rehearsal.faults import FaultKind
from balewright.rehearsal.notes import Family
from balewright.rehearsal.season import Rehearsal
from balewright.rehearsal.sensed import can_show
from balewright.rehearsal.truth import Truth

Floats = NDArray[np.float64]
_CLIP: Final = 3.5
"""Readings further out than so many standard deviations are turns at the headland, stops, mended
breaks: no bale-to-bale scatter."""


@dataclass(frozen=True)
class Seen:
    """One machine's record, its truth (for what turns a share into a unit), and a dispenser."""

    bales: BaleTable
    truth: Truth
    dispenser: int = 1

    def floats(self, name: str) -> Floats:
        """A column with NaN where unknown."""
        return self.bales.floats(name)


def recorded_quantity(
    kind: FaultKind, played: Rehearsal, serial: str, dispenser: int = 1
) -> Floats | None:
    """The quantity that a fault moves, bale by bale, as this machine's record shows it.

    In the unit of the fault's note: shares as logarithms, what comes by chance as counts, and
    what is counted in times (spreads) in the unit of its column. None where no column shows it;
    NaN at single bales. Raises KeyError for an unknown serial.
    """
    seen = see(played, serial, dispenser)
    reader = QUANTITIES.get(FAULT_BOOK[kind].quantity)
    if reader is None:
        return None
    with np.errstate(divide="ignore", invalid="ignore"):
        values = reader(seen)
    values = np.where(np.isfinite(values), values, np.nan)
    if FAULT_BOOK[kind].unit == "frac" and FAULT_BOOK[kind].quantity in _AS_SHARE:
        values = np.log(np.where(values > 0, values, np.nan))
    return values if np.isfinite(values).any() else None


def natural_spread(
    kind: FaultKind, played_clean: Rehearsal, serial: str, dispenser: int = 1
) -> float | None:
    """Standard deviation from bale to bale, within jobs, of what a fault moves.

    As recorded by this machine in its season without faults, in the unit of the fault's note.
    Bales further out than 3.5 of it are left out, again and again: a turn at the headland or a
    mended break is no scatter. None where the machine does not record it, and for faults that
    are no shift of a level (rates, spreads, counts, silence).
    """
    if FAULT_BOOK[kind].family not in (Family.LEVEL, Family.SETTING):
        return None
    truth = see(played_clean, serial, dispenser).truth
    if not can_show(kind, truth.machine, truth.silent, dispenser):
        return None
    values = recorded_quantity(kind, played_clean, serial, dispenser)
    return None if values is None else _within(values, truth.job)


def usual_severities(
    kind: FaultKind, played_clean: Rehearsal, serial: str, dispenser: int = 1
) -> tuple[float, float] | None:
    """A moderate and a severe one to plant: as the note says, else one and two natural spreads.

    None where the machine does not record it.
    """
    usual = FAULT_BOOK[kind].usual
    truth = see(played_clean, serial, dispenser).truth
    if usual is not None:
        return usual if can_show(kind, truth.machine, truth.silent, dispenser) else None
    spread = natural_spread(kind, played_clean, serial, dispenser)
    return None if spread is None else (spread, 2.0 * spread)


def see(played: Rehearsal, serial: str, dispenser: int = 1) -> Seen:
    """One machine of a rehearsal. Raises KeyError for a serial that did not play."""
    truth = next((one for one in played.truth if one.serial == serial), None)
    if truth is None:
        raise KeyError(f"no machine {serial!r} was rehearsed")
    rows = np.flatnonzero(played.bales.column("machine") == serial)
    return Seen(played.bales.take(rows), truth, dispenser)


def _within(values: Floats, job: NDArray[np.int64]) -> float:
    keep = np.isfinite(values)
    while True:
        counts = np.bincount(job[keep], minlength=int(job.max()) + 1)
        means = np.bincount(job[keep], values[keep], minlength=len(counts)) / np.maximum(counts, 1)
        off = values - means[job]
        free = max(int(keep.sum()) - int((counts > 0).sum()), 1)
        spread = float(np.sqrt((off[keep] ** 2).sum() / free))
        still = keep & (np.abs(off) <= _CLIP * spread)
        if (still == keep).all():
            return spread
        keep = still


def _column(name: str) -> Callable[[Seen], Floats]:
    return lambda seen: seen.floats(name)


def _between(first: str, then: str) -> Callable[[Seen], Floats]:
    return lambda seen: (seen.floats(then) - seen.floats(first)) / 1e6


def _gate_s(seen: Seen) -> Floats:
    opened, closed = seen.floats("gate_open_at"), seen.floats("closed_at")
    took = np.append((closed[1:] - opened[:-1]) / 1e6, np.nan)
    return np.where(np.diff(seen.truth.job, append=-1) == 0, took, np.nan)


def _binding_turns(seen: Seen) -> Floats:
    """As counted, else from metres over the girth of the season's usual bale."""
    if seen.bales.has("binding_turns"):
        return seen.floats("binding_turns")
    return seen.floats("binding_m") / (np.pi * float(np.median(seen.truth.diameter_m)))


def _film_m(seen: Seen) -> Floats:
    """Metres of the dispenser where it counts by itself, else of all together."""
    own = f"film{seen.dispenser}_m"
    return seen.floats(own if seen.bales.has(own) else "film_m")


def _stretch(seen: Seen) -> Floats:
    """Metres of stretched film that the season's usual bale takes a turn, over those counted."""
    made = seen.truth.made
    turns: Floats | float = float(np.median(made["wrap_turns"]))
    own = f"film{seen.dispenser}_m"
    ones = [seen.dispenser] if seen.bales.has(own) else [1, 2]
    taken = [made[f"stretched{one}_m"] for one in ones if f"stretched{one}_m" in made]
    if not taken:
        return np.full(seen.bales.rows, np.nan)
    usual_m = float(np.median(sum(taken) / made["wrap_turns"]))
    if seen.bales.has("wrap_turns"):
        turns = seen.floats("wrap_turns")
    return usual_m * turns / _film_m(seen) - 1.0


def _rpm(seen: Seen) -> Floats:
    if seen.bales.has("wrap_rpm"):
        return seen.floats("wrap_rpm")
    turning_s = _between("wrap_start_at", "wrap_end_at")(seen) - sizes.PHASES["wrap"][0]
    return np.asarray(60.0 * seen.truth.made["wrap_turns"] / turning_s)


def _breaks(seen: Seen) -> Floats:
    own = f"film{seen.dispenser}_breaks"
    return seen.floats(own if seen.bales.has(own) else "film_breaks")


def _setting(seen: Seen) -> Floats:
    """As pressure shows it, else where the dial stands, in its positions."""
    return seen.floats("chamber_bar" if seen.bales.has("chamber_bar") else "density_dial")


def _codes(seen: Seen) -> Floats:
    words = seen.bales.column("codes")
    return np.array([float(len(word.split())) for word in words])


def _by_hand(seen: Seen) -> Floats:
    return np.where(
        seen.bales.mask("mode"), (seen.bales.column("mode") == "by hand").astype(float), np.nan
    )


_AS_SHARE: Final = frozenset({"fill time", "mass", "binding metres", "film metres"})
QUANTITIES: Final[Mapping[str, Callable[[Seen], Floats]]] = MappingProxyType({
    "fill time": _between("closed_at", "full_at"), "overloads": _column("overloads"),
    "gate opening": _column("gate_opening_mm"), "gate time": _gate_s,
    "torque": _column("pto_torque_nm"), "chamber pressure": _column("chamber_bar"),
    "density setting": _setting, "mass": _column("mass_kg"),
    "left less right": lambda seen: (
        seen.floats("diameter_left_m") - seen.floats("diameter_right_m")
    ),
    "knife pressure": _column("knife_bar"), "knives in work": _column("knives_in"),
    "binding metres": _column("binding_m"), "binding starts": _column("binding_tries"),
    "binding turns": _binding_turns, "binding time": _between("bind_start_at", "bind_end_at"),
    "binding delay": _between("full_at", "bind_start_at"),
    "transfer time": _between("gate_open_at", "on_wrapper_at"),
    "waiting time": _between("on_wrapper_at", "wrap_start_at"), "wrapping speed": _rpm,
    "wrap turns": _column("wrap_turns"), "pre-stretch": _stretch, "film breaks": _breaks,
    "film metres": _film_m, "wrapping starts": _column("film_start_tries"),
    "wrapping time": _between("wrap_start_at", "wrap_end_at"),
    "waiting for the wrapper": _between("bind_end_at", "gate_open_at"),
    "tipping time": _between("wrap_end_at", "tipped_at"), "moisture": _column("moisture_frac"),
    "speed": _column("speed_m_s"),
    "diameter": _column("diameter_m"), "supply": _column("supply_min_v"), "codes": _codes,
    "oil temperature": _column("oil_c"), "additive": _column("additive_l"),
    "bale number": _column("bale_no"), "bales by hand": _by_hand, "PTO speed": _column("pto_rpm"),
})  # fmt: skip
"""How each quantity of the book is read off a record."""
