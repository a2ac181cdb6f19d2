"""Every season of the bench: which seed, which machine, which fault. All seeds are fixed here.

Tuning seeds begin at 1,000, reporting seeds at 90,000, those of the machines from which a kind is
learnt at 500,000; each purpose has the 8,000 from there. No two seasons share a seed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from balewright.rehearsal.book import FAULT_BOOK
from balewright.rehearsal.faults import FaultKind, Growth
from balewright.rehearsal.notes import Family
from balewright.rehearsal.stress.pack import STRESS_PACK

TUNING, REPORTING, OF_ITS_KIND = 1_000, 90_000, 500_000
CLEAN, FAULTY_EACH = 300, 6
"""Clean seasons; seasons of each fault and severity."""
STRESS_CLEAN, STRESS_FAULTY = 12, 16
"""The same of each mix of the stress pack: clean ones, and faulty ones over all faults."""
QUICK = 10
SEVERITIES = ("moderate", "severe")


@dataclass(frozen=True)
class Case:
    """One season to play. fault: None for a machine in order; growth: None where as the fault's
    note says; turn: makes are taken in turn, and every third machine is a poor one; mix: of the
    stress pack.
    """

    seed: int
    turn: int
    fault: FaultKind | None = None
    severity: str = ""
    growth: Growth | None = None
    mix: str = ""

    @property
    def key(self) -> str:
        """Name of the case in a file of results."""
        parts = (self.seed, self.fault or "clean", self.severity, self.growth or "", self.mix)
        return "/".join(map(str, parts))


def plain_cases(first: int, quick: bool = False) -> list[Case]:
    """Clean seasons, then every fault at both severities and in the ways it may grow."""
    clean = [Case(first + nth, nth) for nth in range(CLEAN // (QUICK if quick else 1))]
    each = 1 if quick else FAULTY_EACH
    faulty = [
        Case(first + 1_000 + 20 * place + nth, nth + place, kind, severity, growth)
        for place, (kind, severity) in enumerate(_faults())
        for nth, growth in zip(range(each), _growths(kind), strict=False)
    ]
    return [*clean, *faulty]


def _faults() -> Iterator[tuple[FaultKind, str]]:
    return ((kind, severity) for kind in FaultKind for severity in SEVERITIES)


def _growths(kind: FaultKind) -> Iterator[Growth | None]:
    """The fault's own way first; a level also the other ways, in turn."""
    own = FAULT_BOOK[kind].grows
    ways = [own]
    if FAULT_BOOK[kind].family is Family.LEVEL:
        ways += [way for way in (Growth.STEP, Growth.RAMP) if way is not own]
    while True:
        yield from ways


def stress_cases(first: int, quick: bool = False) -> list[Case]:
    """Of each mix some clean seasons and some with faults of every kind in turn."""
    share = 4 if quick else 1
    cases: list[Case] = []
    for place, mix in enumerate(STRESS_PACK):
        seed = first + 5_000 + 100 * place
        cases += [Case(seed + nth, nth, mix=mix) for nth in range(STRESS_CLEAN // share)]
        faults = islice(_in_turn(list(_faults()), 7 * place), STRESS_FAULTY // share)
        cases += [
            Case(seed + 50 + nth, nth + place, kind, severity, None, mix)
            for nth, (kind, severity) in enumerate(faults)
        ]
    return cases


Planting = tuple[FaultKind, str]


def _in_turn(faults: Sequence[Planting], begin: int) -> Iterator[Planting]:
    """Every fault once before any comes again, kinds first, severities by turns."""
    kinds = len(faults) // 2
    nth = 0
    while True:
        kind = (begin + nth * 5) % kinds
        yield faults[2 * kind + (nth + begin) % 2]
        nth += 1
