"""The share of false alarms among those told: setting it, and admitting alarms by it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Final

from balewright.findings.admission import USUAL_RATE_FRAC, Dependence, admit_chances
from balewright.findings.watch.honest import Shown, chance_in_fleet
from balewright.findings.watch.state_bytes import kind_from_bytes
from balewright.flows.workplace import Workplace
from balewright.store.reviews import OpenChance

DISCOVERY: Final = "findings.discovery"
"""Key of the house rule; its body says `rate_frac` and `dependence`."""

COMPARED: Final = "findings.compared"
"""Key under which it is kept how many levels of machines were held against their kind."""


@dataclass(frozen=True)
class DiscoveryRule:
    """At most `rate_frac` of the alarms told are false on average; dependence: what is believed
    of how charts hang together.
    """

    rate_frac: float = USUAL_RATE_FRAC
    dependence: Dependence = Dependence.POSITIVE


def discovery_rule(workplace: Workplace) -> DiscoveryRule:
    """The rule in force; the usual one where nobody set one."""
    rule = workplace.register.load_rule(DISCOVERY)
    if rule is None:
        return DiscoveryRule()
    return DiscoveryRule(float(rule.body["rate_frac"]), Dependence(rule.body["dependence"]))


def set_discovery_rule(workplace: Workplace, rule: DiscoveryRule, by: str | None = None) -> None:
    """Set the rule and admit by it at once. Raises BadInput for a share that is none."""
    admit_chances((), rule.rate_frac, 0, rule.dependence)  # judges the share
    body = {"rate_frac": rule.rate_frac, "dependence": rule.dependence.value}
    workplace.register.save_rule(DISCOVERY, body, workplace.clock(), by)
    admit_open(workplace)


def admit_open(workplace: Workplace, machines: Collection[str] | None = None) -> int:
    """Admit the fleet's open alarms by the rule, and note it of some machines' or of all; how many
    of the fleet's are admitted.

    Between daily reviews only the machines just reviewed are noted: the others were told already.
    """
    register, rule = workplace.register, discovery_rule(workplace)
    alarms = register.load_open_chances()
    shown = _shown(workplace, {one.machine for one in alarms if one.chance_frac is not None})
    chances = [_in_fleet(one, shown) for one in alarms]
    charts = register.count_charts() + _compared(workplace)
    told = admit_chances(chances, rule.rate_frac, charts, rule.dependence)
    admitted = {one.key for one, yes in zip(alarms, told.admitted, strict=True) if yes}
    of = {one.key for one in alarms if machines is None or one.machine in machines}
    register.set_admitted(admitted, of)
    return len(admitted)


def _in_fleet(alarm: OpenChance, shown: Mapping[str, Mapping[str, Shown]]) -> float | None:
    """An alarm's chance, what charts of its measure show on machines of its kind counted in."""
    seen = shown.get(alarm.machine, {}).get(alarm.measure)
    if alarm.chance_frac is None or seen is None:
        return alarm.chance_frac
    return chance_in_fleet(alarm.chance_frac, seen)


def _shown(workplace: Workplace, serials: Collection[str]) -> dict[str, Mapping[str, Shown]]:
    """What was counted over the kind of each machine; a kind of another version is left out."""
    by_profile: dict[str, Mapping[str, Shown]] = {}
    found = {}
    for entry in workplace.register.load_machines() if serials else ():
        if entry.serial not in serials:
            continue
        if entry.profile_key not in by_profile:
            kind = workplace.register.load_kind(entry.profile_key)
            by_profile[entry.profile_key] = {} if kind is None else _shown_in(kind.body)
        found[entry.serial] = by_profile[entry.profile_key]
    return found


def _shown_in(body: bytes) -> Mapping[str, Shown]:
    try:
        return kind_from_bytes(body).shown
    except (ValueError, KeyError, TypeError):  # of an engine that counts nothing
        return {}


def note_compared(workplace: Workplace, profile_key: str, tests: int) -> None:
    """Keep how many levels of machines of a profile were held against each other: each could have
    been an alarm, so each counts among the charts."""
    kept = workplace.register.load_rule(COMPARED)
    body = {} if kept is None else dict(kept.body)
    if body.get(profile_key, 0) != tests:
        body[profile_key] = tests
        workplace.register.save_rule(COMPARED, body, workplace.clock())


def _compared(workplace: Workplace) -> int:
    kept = workplace.register.load_rule(COMPARED)
    return 0 if kept is None else sum(kept.body.values())
