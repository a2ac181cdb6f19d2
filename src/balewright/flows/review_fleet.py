"""The daily review: every machine, what its kind has in common, and which alarms are told."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.findings.episode import EpisodeState
from balewright.findings.finding import Finding
from balewright.findings.rolls_compared import RollUse, compare_rolls, find_rolls_worse
from balewright.flows.admit_findings import DiscoveryRule, admit_open, discovery_rule
from balewright.flows.compare_batches import batch_uses
from balewright.flows.daily_review import (
    is_daily_due,
    note_daily_review,
    note_review_begun,
    reviewing_alone,
)
from balewright.flows.kept_batches import keep_batches
from balewright.flows.prove_cure import prove_waiting
from balewright.flows.review_machine import ENGINE, keep_review, read_records
from balewright.flows.unlike_machines import note_unlike
from balewright.flows.watch_bales import Engine
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.reviews import KindState


@dataclass(frozen=True)
class FleetReview:
    """A review of every machine.

    machines: how many were looked at; changed: serials of those whose records had changed; faults:
    of machines that could not be looked at; charts: watched over the fleet; open_alarms: episodes
    that last; told: those of them a person hears of; folded: those told by another of the same
    matter; waiting: those that are not admitted, for too many like them would be false; set_aside:
    those that are quiet for a reason; rule: by which they were admitted; batches: of film and net
    that break more than the rest on the same machines, by the same share of false ones.
    """

    machines: int
    changed: tuple[str, ...]
    faults: tuple[Fault, ...]
    charts: int
    open_alarms: int
    told: int
    folded: int
    waiting: int
    set_aside: int
    rule: DiscoveryRule
    batches: tuple[Finding, ...] = ()


def review_fleet(workplace: Workplace, engine: Engine = ENGINE) -> FleetReview:
    """Review every machine of the register, each kept by itself; then admit over all of them.

    Stopped half way, what was reviewed is kept and the next call goes on: a machine without new
    records costs only the reading of them. A machine of an unknown profile is told and left out.
    Tells `progress`. Raises BadInput where another review of the fleet is at work.
    """
    with reviewing_alone(workplace.home) as is_alone:
        if not is_alone:
            cure = "Wait until it has ended: it does the same."
            raise BadInput(Fault("review", "no other one at work", "one that is", cure))
        return _review(workplace, engine)


def review_when_due(workplace: Workplace, engine: Engine = ENGINE) -> FleetReview | None:
    """Review every machine if the day's hour has struck since the last time; None where not, and
    where another review is at work."""
    if not is_daily_due(workplace):
        return None
    with reviewing_alone(workplace.home) as is_alone:
        # whoever held the lock a moment ago may have done it
        return _review(workplace, engine) if is_alone and is_daily_due(workplace) else None


def _review(workplace: Workplace, engine: Engine) -> FleetReview:
    note_review_begun(workplace)
    register = workplace.register
    entries = register.load_machines()
    changed: list[str] = []
    faults: list[Fault] = []
    profiles: dict[str, list[str]] = {}
    uses: list[RollUse] = []
    for place, entry in enumerate(entries):
        workplace.progress("reviewing", place, len(entries))
        try:
            records = read_records(workplace, entry.serial, engine)
        except BadInput as error:
            faults += error.faults
            continue
        if keep_review(workplace, records, engine):
            changed.append(entry.serial)
        profiles.setdefault(entry.profile_key, []).append(entry.serial)
        uses += batch_uses(records.about, records.bales)
    workplace.progress("reviewing", len(entries), len(entries))
    for profile_key, serials in sorted(profiles.items()):
        if not set(changed).isdisjoint(serials):
            _learn(workplace, engine, profile_key, serials)
            note_unlike(workplace, engine, profile_key, serials)
    admit_open(workplace)
    compared = compare_rolls(uses)
    keep_batches(workplace, compared)
    prove_waiting(workplace)
    note_daily_review(workplace)
    lasting = register.load_episodes(states=(EpisodeState.OPEN, EpisodeState.SET_ASIDE))
    opened = [one for one in lasting if one.state is EpisodeState.OPEN]
    rule = discovery_rule(workplace)
    return FleetReview(
        machines=len(entries) - len(faults),
        changed=tuple(changed),
        faults=tuple(faults),
        charts=register.count_charts(),
        open_alarms=len(opened),
        told=sum(one.is_told for one in opened),
        folded=sum(one.under is not None for one in opened),
        waiting=sum(one.under is None and not one.admitted for one in opened),
        set_aside=len(lasting) - len(opened),
        rule=rule,
        batches=find_rolls_worse(compared, rule.rate_frac),
    )


def _learn(workplace: Workplace, engine: Engine, profile_key: str, serials: list[str]) -> None:
    """What machines of a profile have in common, from where the watch over each stands now."""
    states = workplace.register.load_newest_states(serials)
    bodies = [one.body for one in states if one.version == engine.version]
    body = engine.learn(bodies) if bodies else None
    if body is not None:
        kind = KindState(profile_key, engine.version, len(bodies), workplace.clock(), body)
        workplace.register.save_kind(kind)
