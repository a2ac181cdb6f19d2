"""Bales and findings written by hand, for every test of episodes."""

from __future__ import annotations

from dataclasses import replace

from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.findings.judged import Judged, judge
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import bale_table

MINUTE_US = 60_000_000
START_US = 1_900_000_000_000_000
MACHINE = "HAZE-1"


def judged_bales(
    count: int, silent_from: int | None = None, without: frozenset[int] = frozenset()
) -> Judged:
    """Bales 1..count, one a minute, with gate and wrap turns; the gate's sensor may fall silent,
    and some bales may not be there (yet).
    """
    numbers = [number for number in range(1, count + 1) if number not in without]
    heard = [silent_from is None or number < silent_from for number in numbers]
    table = bale_table(
        len(numbers),
        {
            "machine": [MACHINE] * len(numbers),
            "bale_no": numbers,
            "closed_at": [made_us(number) for number in numbers],
            "gate_opening_mm": [20.0 if known else None for known in heard],
            "wrap_turns": [14.0] * len(numbers),
        },
    )
    return judge(MACHINE, shipped_profiles()["mossgrinder-m2"], table)


def made_us(number: int) -> int:
    """When a bale was made."""
    return START_US + number * MINUTE_US


def found(
    since: int,
    until: int,
    kind: FindingKind = FindingKind.GATE_OPENING_OFF,
    off: float = 8.0,
    evidence: tuple[str, ...] = ("gate_opening_mm",),
) -> Finding:
    """A finding from one bale to another, `off` millimetres away from the 20 that are planned."""
    return Finding(
        MACHINE, kind, Weight.COST, since, until, made_us(since), until - since + 1,
        until - since + 1, 20.0, Interval(20 + off - 1, 20 + off, 20 + off + 1), "mm", evidence,
        None, because("findings.gate.more", since_bale=since), until_us=made_us(until),
    )  # fmt: skip


def by_chart(finding: Finding, measure: str, chance_frac: float = 1e-4) -> Finding:
    """The same as a chart of that measure would tell it."""
    return replace(finding, measure=measure, chance_frac=chance_frac, certain_frac=0.95)
