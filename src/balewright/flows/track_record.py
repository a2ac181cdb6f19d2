"""How well what was said when cases were opened fits what was found in the end."""

from __future__ import annotations

from typing import Final

from balewright.cause.evidence_value import YES, Seen
from balewright.cause.facts import machine_facts
from balewright.cause.from_findings import observe_findings
from balewright.cause.learn.track import Judged, Track, judged, track
from balewright.cause.network import Network
from balewright.cause.rank import rank_causes
from balewright.flows.cases_for_learning import TaughtCase, cases_for_learning
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import NotAnswerable
from balewright.readers.fault_network import shipped_network

MOST_CASES: Final = 200
"""The newest cases that are looked at."""


def track_record(workplace: Workplace) -> Track:
    """The network as it comes against this house's proven cases, each asked with what was known
    when it was opened; cases that were opened on words alone are not in it."""
    proven = [one for one in cases_for_learning(workplace) if one.proved][-MOST_CASES:]
    found = [said for one in proven if (said := _judge(workplace, one)) is not None]
    return track(shipped_network(), found)


def _judge(workplace: Workplace, one: TaughtCase) -> Judged | None:
    machine = workplace.profiles.get(one.profile or "")
    if machine is None or one.case.cause is None:
        return None
    network = shipped_network().for_machine(machine_facts(machine))
    evidence = opening_of(workplace, network, one)
    if not evidence:
        return None
    try:
        ranking = rank_causes(network, evidence)
    except NotAnswerable:
        return None
    return judged(one.case.key, one.cause or None, one.case.cause.words, ranking)


def opening_of(workplace: Workplace, network: Network, one: TaughtCase) -> dict[str, Seen]:
    """What a case was opened on: its findings, and what was reported."""
    episodes = [workplace.register.load_episode(key) for key in one.findings]
    findings = [episode.finding for episode in episodes if episode is not None]
    seen = dict(observe_findings(network, findings, (), 0))
    for reading in one.case.readings:
        if reading.entry.kind == "opened" and reading.on in network.observation_by_key:
            seen[reading.on] = YES
    return seen
