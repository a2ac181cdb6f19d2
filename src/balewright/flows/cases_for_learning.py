"""Cases that may teach: what was known, what the cause was, and whether the cure is proved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from balewright.cause.case.case import Case
from balewright.cause.case.evidence import evidence_before_repair
from balewright.cause.evidence_value import Seen
from balewright.flows.list_cases import list_cases
from balewright.flows.workplace import Workplace


@dataclass(frozen=True)
class TaughtCase:
    """One case with a cause found and something repaired, whether it is closed or not.

    profile: key of the machine's profile, None where the register does not know it; cause: a key
    of the network, "" where only own words say it; evidence: as known before the last repair, of
    the case alone; findings: keys of its episodes; proved: later bales show it cured.
    """

    case: Case
    profile: str | None
    cause: str
    evidence: Mapping[str, Seen]
    findings: tuple[str, ...]
    proved: bool


def cases_for_learning(workplace: Workplace) -> tuple[TaughtCase, ...]:
    """Every case with a cause found and something repaired, proved or not, in the order opened:
    those without proof teach nothing, and their share is shown."""
    profiles = {one.serial: one.profile_key for one in workplace.register.load_machines()}
    lines = sorted(list_cases(workplace), key=lambda line: (line.at_us, line.case.key))
    return tuple(
        TaughtCase(
            line.case,
            profiles.get(line.case.machine or ""),
            line.case.cause.cause,
            evidence_before_repair(line.case),
            line.case.findings,
            line.case.is_proved,
        )
        for line in lines
        if line.case.cause is not None and line.case.repairs
    )
