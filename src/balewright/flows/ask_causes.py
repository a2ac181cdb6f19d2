"""What is likely behind a machine's trouble, and what to do next: records, answers and prices."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from balewright.cause.evidence_value import Seen
from balewright.cause.facts import machine_facts
from balewright.cause.from_findings import observe_findings
from balewright.cause.known_free import known_free
from balewright.cause.laid_out import weigh
from balewright.cause.network import Network
from balewright.cause.next_check.advise import advise, desk_of
from balewright.cause.next_check.costs import Costs
from balewright.cause.next_check.step import Advice
from balewright.cause.rank import rank_laid
from balewright.cause.ranking import Ranking
from balewright.findings.episode import Episode
from balewright.flows.network_in_force import network_in_force
from balewright.flows.put_right import put_right, since_events
from balewright.flows.review_machine import read_records
from balewright.flows.service_costs import service_costs
from balewright.flows.workplace import Workplace
from balewright.plan.machine import Machine
from balewright.quantities.errors import BadInput, Fault
from balewright.records.bales import BaleTable
from balewright.records.columns import COLUMNS
from balewright.records.events import Event
from balewright.store.entries import MachineEntry


@dataclass(frozen=True, eq=False)
class Troubled:
    """A machine as causes are asked of. entry: None where only its profile is known; machine: the
    profile; network: the part of it that such a machine can have; episodes: findings that stand;
    from_records: evidence that they and their absence give; bales: how many were watched;
    exposure: bales since a cause was last known not to be there, by its key.
    """

    entry: MachineEntry | None
    machine: Machine
    network: Network
    episodes: tuple[Episode, ...] = ()
    from_records: Mapping[str, Seen] = field(default_factory=dict)
    bales: int = 0
    exposure: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Asked:
    """An answer, with what it was made of. answers: what people said and read, which counts before
    the records; ranking, advice: of both together.
    """

    at: Troubled
    answers: Mapping[str, Seen]
    ranking: Ranking
    advice: Advice

    @property
    def evidence(self) -> Mapping[str, Seen]:
        """Records and answers together."""
        return {**self.at.from_records, **self.answers}


def ask_causes(
    workplace: Workplace,
    at: Troubled,
    answers: Mapping[str, Seen],
    costs: Costs | None = None,
    exposure: Mapping[str, float] | None = None,
) -> Asked:
    """Rank the causes of a machine's trouble and choose the next step.

    at: as `look_at_machine` or `look_at_profile` gives it; answers: by key of the observation;
    costs: None for those of the house; exposure: as `rank_causes`. Raises BadInput for an answer to
    what this machine does not have; NotAnswerable as `rank_causes`.
    """
    check_answers(at.network, answers)
    known = {**at.exposure, **(exposure or {})}
    desk = desk_of(at.network, service_costs(workplace) if costs is None else costs, known)
    weighed = weigh(desk.laid, {**at.from_records, **answers})
    return Asked(at, dict(answers), rank_laid(desk.laid, weighed), advise(desk, weighed))


def look_at_machine(workplace: Workplace, serial: str) -> Troubled:
    """A machine of the register, with what its records show. Raises BadInput for one that is not
    known here.
    """
    records = read_records(workplace, serial)
    about, columns = records.about, known_columns(records.bales)
    machine = about.machine
    whole = network_in_force(workplace, records.entry.profile_key)
    network = whole.for_machine(machine_facts(machine, columns))
    told = tuple(one for one in workplace.register.load_episodes(serial) if one.is_told)
    bales = records.bales.rows
    known = columns | told_beside(about.events)
    seen = observe_findings(network, [one.finding for one in told], known, bales)
    exposure = known_free(network, since_events(records), put_right(workplace, records))
    return Troubled(records.entry, machine, network, told, seen, bales, exposure)


def look_at_profile(workplace: Workplace, key: str) -> Troubled:
    """Any machine of a profile, without records. Raises BadInput for a profile not known here."""
    machine = workplace.profiles.get(key)
    if machine is None:
        need = "one of " + ", ".join(sorted(workplace.profiles))
        raise BadInput(Fault("profile", need, repr(key), "Add it, or give one of these."))
    network = network_in_force(workplace, key).for_machine(machine_facts(machine))
    return Troubled(None, machine, network)


def known_columns(bales: BaleTable) -> frozenset[str]:
    """Columns of which some bale has a value."""
    return frozenset(one.name for one in COLUMNS if bales.mask(one.name).any())


def told_beside(events: Sequence[Event]) -> frozenset[str]:
    """What is noted beside the bales, as observations name it: kinds of events, and batches."""
    found = {f"event {one.kind.value}" for one in events}
    return frozenset(found | {"event batch" for one in events if one.batch})


def check_answers(network: Network, answers: Mapping[str, Seen]) -> None:
    """Every answer must be to something this machine has. Raises BadInput with all that are not."""
    cure = "See `causes --list reports` (or findings, checks)."
    faults = [
        Fault(f"answer {key}", "an observation this machine can have", key, cure)
        for key in answers
        if key not in network.observation_by_key
    ]
    if faults:
        raise BadInput(*faults)
