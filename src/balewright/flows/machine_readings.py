"""What is watched on one machine, drawn where something is told of it or somebody asks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from balewright.findings.episode import Episode, EpisodeState
from balewright.flows.read_readings import measures_known, readings_of, readings_of_finding
from balewright.flows.review_machine import read_records
from balewright.flows.workplace import Workplace
from balewright.pictures.measure_chart import Told
from balewright.pictures.readings import MOST_DOTS, Readings

MOST_TOLD: Final = 3
"""Charts shown without asking: more than that nobody scrolls through on a phone."""


@dataclass(frozen=True, eq=False)
class MachineReadings:
    """charts: the one asked for first, then those something is told of; known: keys of every
    measure the machine's records say something of; asked: the key asked for, "" for none; first:
    of the bales drawn.
    """

    charts: tuple[tuple[Readings, Told], ...]
    known: tuple[str, ...]
    asked: str

    def first_of(self, readings: Readings) -> int:
        """The first bale that is drawn: the newest MOST_DOTS are."""
        return max(0, readings.bales - MOST_DOTS)


def machine_readings(
    workplace: Workplace, serial: str, episodes: Iterable[Episode], asked: str
) -> MachineReadings:
    """Readings for a machine's page. asked: key of a measure; one that is not known draws nothing.

    Raises BadInput for a serial, or a profile, that is not known here.
    """
    records = read_records(workplace, serial)
    known = measures_known(records)
    drawn: dict[str, Readings] = {}
    chosen = readings_of(records, asked) if asked in known else None
    if chosen is not None:
        drawn[chosen.name] = chosen
    for episode in episodes:
        if len(drawn) >= MOST_TOLD + (chosen is not None):
            break
        if episode.state is EpisodeState.OPEN and episode.may_be_shown:
            readings = readings_of_finding(records, episode.finding)
            if readings is not None:
                drawn.setdefault(readings.name, readings)
    charts = tuple((one, _newest(one)) for one in drawn.values() if one.bales)
    return MachineReadings(charts, known, asked if asked in known else "")


def _newest(readings: Readings) -> Told:
    """The newest change that the chart told."""
    if not readings.changes:
        return Told()
    first, since, last, told, until = readings.changes[-1]
    return Told((first, last), since, told, until)
