"""Grease cartridges that do not empty: what should be used up by the bale count, and is not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from balewright.findings.finding import Finding, FindingKind, Start, Weight
from balewright.findings.runs import Run
from balewright.findings.watched import Found, Watched, tell
from balewright.plan.machine import Machine
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.records.events import Event, EventKind

OVERDUE: Final = 1.5
"""A cartridge that is not changed after so many times the bales one lasts is stuck, or nobody
noted its change: `assumed` (crop and oiler setting move what one lasts by a fifth or so)."""
LASTED: Final = 2.0
"""One that lasted so many times what the ones before lasted gave half the grease: by counting."""
_KEY: Final = "grease-cartridge"


@dataclass(frozen=True)
class _Change:
    """A change, by the number of the bale it came before or by its place among the bales; at_us:
    when, where that is known: numbers may begin again.
    """

    number: int | None
    row: int
    at_us: int | None = None


def cartridge_bales(machine: Machine) -> int | None:
    """Bales one cartridge lasts by the profile, None where it has none."""
    every = [item.every_bales for item in machine.service if item.key == _KEY]
    return machine.grease_cartridge_bales or (every[0] if every else None)


def find_cartridges(watched: Watched, events: Iterable[Event]) -> tuple[Finding, ...]:
    """A cartridge far past its bales, and ones that lasted much longer than those before.

    events: of this machine, in any order; changes that name neither bale nor time are left out.
    Nothing is told of a machine whose changes nobody notes: one must be known.
    """
    usual = cartridge_bales(watched.machine)
    changes = _changes(watched, events)
    if usual is None or not changes or not watched.bales.rows:
        return ()
    findings = []
    lasted = [_bales_between(watched, one, other) for one, other in pairwise(changes)]
    for place, bales in enumerate(lasted):
        honest = [float(one) for one in lasted[:place] if one < LASTED * usual]
        norm = float(np.median(honest)) if len(honest) >= 2 else float(usual)
        # changed late on purpose is no sign; half the grease is, and both need a look
        if bales >= LASTED * max(norm, 1.0):
            findings.append(_tell(watched, changes[place], bales, norm, "lasted"))
    now = _bales_since(watched, changes[-1])
    if now > OVERDUE * usual:
        findings.append(_tell(watched, changes[-1], now, float(usual), "overdue"))
    return tuple(findings)


def _changes(watched: Watched, events: Iterable[Event]) -> list[_Change]:
    numbers = watched.bales.floats("bale_no")
    changes = []
    for event in events:
        if event.kind is not EventKind.CARTRIDGE_CHANGED:
            continue
        if event.at_us is not None and watched.timed.any():  # numbers may begin again
            later = np.flatnonzero(watched.timed & (watched.made_us >= event.at_us))
            row = int(later[0]) if len(later) else watched.bales.rows
            known = row < watched.bales.rows and np.isfinite(numbers[row])
            number = int(numbers[row]) if known else None
            number = event.bale_no if event.bale_no is not None else number
            changes.append(_Change(number, row, event.at_us))
        elif event.bale_no is not None:
            with np.errstate(invalid="ignore"):
                reached = np.flatnonzero(numbers >= event.bale_no)
            row = int(reached[0]) if len(reached) else watched.bales.rows
            changes.append(_Change(event.bale_no, row))
    unlike = {(one.number, one.row): one for one in changes}
    return sorted(unlike.values(), key=lambda one: (one.row, one.at_us or 0, one.number or -1))


def _bales_between(watched: Watched, one: _Change, other: _Change) -> int:
    """By the machine's own numbers, for records may have holes; by the rows where the numbers fell
    in between, or are not known.
    """
    if one.number is not None and other.number is not None:
        numbers = watched.floats("bale_no")[one.row : other.row]
        steps = [one.number, *numbers[np.isfinite(numbers)], other.number]
        if (np.diff(steps) >= 0).all():
            return other.number - one.number
    return other.row - one.row


def _bales_since(watched: Watched, change: _Change) -> int:
    last = watched.bales.cell(watched.bales.rows - 1, "bale_no")
    number = None if last is None else int(last) + 1
    return _bales_between(watched, change, _Change(number, watched.bales.rows))


def _tell(watched: Watched, change: _Change, bales: int, usual: float, how: str) -> Finding:
    first = min(change.row, watched.bales.rows - 1)
    rows = np.arange(first, watched.bales.rows)
    run = Run(rows, len(rows))
    facts = watched.facts(run)
    if change.number is not None:
        facts["since_bale"] = change.number
    words = because(
        f"findings.cartridge.{how}", **{**facts, "bales": bales}, usual_bales=round(usual)
    )
    found = Found(
        FindingKind.CARTRIDGE_STUCK, Weight.COST, run, usual,
        Interval(float(bales), float(bales), float(bales)), "bales", ("bale_no",), words,
    )  # fmt: skip
    finding = tell(watched, found)
    since = finding.since_bale if change.number is None else change.number
    start = Start(since, since, finding.since_us, finding.since_us, 1.0)
    return replace(
        finding, since_bale=since, start=start, bales=bales, looked_at=bales,
        measure="cartridge", part="grease",
    )  # fmt: skip
