"""Open a finding to what it rests on: the bales, their rows, and the files these came in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.findings.episode import Episode
from balewright.findings.judged import Judged, judge
from balewright.flows.set_aside_finding import load_episode
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.records.bales import BaleTable
from balewright.records.columns import BY_NAME

BEFORE_BALES: Final = 150
AFTER_BALES: Final = 60
MOST_BALES: Final = 1_500
"""Of a finding that lasts long its beginning and its end are shown."""


@dataclass(frozen=True, eq=False)
class Evidence:
    """What an episode rests on.

    bales: around it, in the order made; ordinals: of each in the machine's history, from 0; keys:
    of each, as a correction names it; sources: of each, hashes of the files that speak of it;
    files: their names; first, last: ordinals of its last outbreak; columns: those it rests on.
    """

    episode: Episode
    bales: BaleTable
    ordinals: tuple[int, ...]
    keys: tuple[str, ...]
    sources: tuple[tuple[str, ...], ...]
    files: Mapping[str, str]
    first: int
    last: int
    columns: tuple[str, ...]


def find_evidence(workplace: Workplace, key: str) -> Evidence:
    """What the episode of this key rests on. Raises BadInput for a key, or a profile, that is not
    known here.
    """
    episode = load_episode(workplace, key)
    serial = episode.finding.machine
    keyed = workplace.journal.read_keyed_bales(serial)
    judged = _judged(workplace, serial, keyed.bales)
    order = judged.order
    first, last = judged.places_of(episode.outbreaks[-1]) if episode.outbreaks else (0, 0)
    rows = _rows(first, last, judged.bales)
    sources = tuple(tuple(keyed.sources[order[row]].split()) for row in rows)
    hashes = sorted({one for several in sources for one in several})
    ledger = {sha256: workplace.register.load_intake(sha256) for sha256 in hashes}
    return Evidence(
        episode=episode,
        bales=judged.watched.bales.take(rows),
        ordinals=tuple(rows.tolist()),
        keys=tuple(keyed.keys[order[row]] for row in rows),
        sources=sources,
        files={sha256: line.name for sha256, line in ledger.items() if line is not None},
        first=first,
        last=last,
        columns=tuple(name for name in episode.finding.evidence if name in BY_NAME),
    )


def _judged(workplace: Workplace, serial: str, bales: BaleTable) -> Judged:
    entry = workplace.register.load_machine(serial)
    machine = None if entry is None else workplace.profiles.get(entry.profile_key)
    if machine is None:
        cure = "Add the machine, or its profile, again."
        raise BadInput(Fault(serial, "a machine with a known profile", "none", cure))
    return judge(serial, machine, bales)


def _rows(first: int, last: int, bales: int) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    low, high = max(first - BEFORE_BALES, 0), min(last + AFTER_BALES + 1, bales)
    rows = np.arange(low, high)
    if len(rows) <= MOST_BALES:
        return rows
    half = MOST_BALES // 2
    return np.concatenate([rows[:half], rows[-half:]])
