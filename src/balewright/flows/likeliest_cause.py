"""The cause that is likeliest behind a case, from the case alone: quick enough for a list."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from balewright.cause.case.case import Case
from balewright.cause.case.evidence import evidence_of
from balewright.cause.evidence_value import Seen
from balewright.cause.facts import machine_facts
from balewright.cause.from_findings import observe_findings
from balewright.cause.laid_out import LaidOut, lay_out, weigh
from balewright.cause.network import Cause, Network
from balewright.cause.rank import rank_laid
from balewright.flows.network_in_force import network_in_force
from balewright.flows.workplace import Workplace
from balewright.plan.machine import Machine
from balewright.quantities.errors import NotAnswerable


def likeliest_cause(workplace: Workplace, case: Case) -> tuple[Cause, float] | None:
    """The first cause and the chance that it is behind what the case holds: its answers and its
    findings, without what else the machine's records say. None where nothing was seen, where the
    machine is not known, and where there is no exact answer.
    """
    entry = None if case.machine is None else workplace.register.load_machine(case.machine)
    machine = None if entry is None else workplace.profiles.get(entry.profile_key)
    if entry is None or machine is None:
        return None
    laid = _laid(network_in_force(workplace, entry.profile_key), machine)
    evidence = _evidence(workplace, laid.network, case)
    try:
        first = rank_laid(laid, weigh(laid, evidence)).causes[0]
    except NotAnswerable:
        return None
    if first.behind_frac == 0.0:
        return None
    return laid.network.cause(first.key), first.behind_frac


def _evidence(workplace: Workplace, network: Network, case: Case) -> Mapping[str, Seen]:
    episodes = [workplace.register.load_episode(key) for key in case.findings]
    findings = [one.finding for one in episodes if one is not None]
    seen = {**observe_findings(network, findings, (), 0), **evidence_of(case)}
    return {key: one for key, one in seen.items() if key in network.observation_by_key}


def _laid(network: Network, machine: Machine) -> LaidOut:
    return _lay_out(_Same(network, machine))


class _Same:
    """A network and a machine, told apart by being the same objects."""

    def __init__(self, network: Network, machine: Machine) -> None:
        self.network, self.machine = network, machine

    def __hash__(self) -> int:
        return hash((id(self.network), id(self.machine)))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Same)
            and self.network is other.network
            and self.machine is other.machine
        )


@lru_cache(maxsize=32)
def _lay_out(same: _Same) -> LaidOut:
    return lay_out(same.network.for_machine(machine_facts(same.machine)))
