"""A finding opened: its readings, its bales with rows and files, and what lies beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.findings.episode import Episode
from balewright.findings.finding import Start
from balewright.findings.judged import Judged
from balewright.flows.find_evidence import Evidence, find_evidence
from balewright.flows.read_readings import readings_of_finding
from balewright.flows.review_machine import MachineRecords, read_records
from balewright.flows.workplace import Workplace
from balewright.pictures.measure_chart import Told
from balewright.pictures.readings import Readings
from balewright.store.entries import MachineEntry

_BEFORE: Final = 150
_AFTER: Final = 60
_MOST: Final = 700
"""Of a finding that lasts long its beginning is shown: there one sees what changed."""
HUNDRED: Final = "a hundred bales"
"""Unit of a finding on a rate."""


@dataclass(frozen=True, eq=False)
class OpenedFinding:
    """evidence: its bales, rows and files; readings: of all bales, None where nothing of it is a
    number; told: what is marked in them; first, last: rows around its beginning (last excluded);
    under: episodes of the same matter that it tells; joined: older ones that turned out to be part
    of it.
    """

    entry: MachineEntry
    evidence: Evidence
    readings: Readings | None
    told: Told
    first: int
    last: int
    under: tuple[Episode, ...]
    joined: tuple[Episode, ...]

    @property
    def episode(self) -> Episode:
        """The finding with all that became of it."""
        return self.evidence.episode


def open_finding(workplace: Workplace, key: str) -> OpenedFinding:
    """Open the finding of this key. Raises BadInput for a key, or a profile, not known here."""
    evidence = find_evidence(workplace, key)
    episode = evidence.episode
    records = read_records(workplace, episode.finding.machine)
    bales = records.judged.bales
    first = max(evidence.first - _BEFORE, 0)
    last = min(evidence.last + _AFTER + 1, evidence.first + _MOST, bales)
    readings = readings_of_finding(records, episode.finding)
    others = workplace.register.load_episodes(episode.finding.machine)
    return OpenedFinding(
        entry=records.entry,
        evidence=evidence,
        readings=readings,
        told=_told(episode, records, evidence, readings),
        first=first,
        last=max(last, first + 1),
        under=tuple(one for one in others if one.under == key),
        joined=tuple(one for one in others if one.joined == key),
    )


def _told(
    episode: Episode, records: MachineRecords, evidence: Evidence, readings: Readings | None
) -> Told:
    finding, judged = episode.finding, records.judged
    change = _change(readings, evidence)
    lasts = episode.closed_us is None or evidence.last + 1 >= judged.bales
    return Told(
        start=_start(finding.start, judged),
        since=evidence.first,
        told=None if change is None else change[3],
        until=None if lasts else evidence.last + 1,
        rate_since=finding.seen if finding.unit == HUNDRED else None,
    )


def _change(
    readings: Readings | None, evidence: Evidence
) -> tuple[int, int, int, int, int | None] | None:
    """The change of the chart that this finding tells of: the one that began nearest to it."""
    changes = () if readings is None else readings.changes
    nearest = min(changes, key=lambda one: abs(one[1] - evidence.first), default=None)
    if nearest is None or not nearest[0] <= evidence.first <= nearest[2]:
        return None
    return nearest


def _start(start: Start | None, judged: Judged) -> tuple[int, int] | None:
    if start is None:
        return None
    first = judged.place_of(start.first_us, start.first_bale)
    last = judged.place_of(start.last_us, start.last_bale)
    return None if first is None or last is None else (first, max(first, last))
