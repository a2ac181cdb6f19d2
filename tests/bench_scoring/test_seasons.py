"""What the bench plays: fixed seeds, every fault, every mix."""

from __future__ import annotations

from collections import Counter

import pytest
from bench.findings.seasons import (
    OF_ITS_KIND,
    REPORTING,
    SEVERITIES,
    TUNING,
    plain_cases,
    stress_cases,
)

from balewright.rehearsal.faults import FaultKind
from balewright.rehearsal.stress.pack import STRESS_PACK


@pytest.mark.law
def test_no_two_seasons_share_a_seed() -> None:
    """Tuning looks at no season that is reported, nor at one from which a kind is learnt."""
    seeds = [
        [case.seed for case in (*plain_cases(first), *stress_cases(first))]
        for first in (TUNING, REPORTING)
    ]
    together = seeds[0] + seeds[1]
    assert len(set(together)) == len(together)
    assert max(seeds[0]) < min(seeds[1]) <= max(seeds[1]) < OF_ITS_KIND


@pytest.mark.law
def test_every_fault_and_every_mix_is_played() -> None:
    """300 clean seasons or more, each fault at both severities as often, each mix clean and not."""
    plain, hard = plain_cases(REPORTING), stress_cases(REPORTING)
    assert sum(case.fault is None for case in plain) >= 300
    lots = Counter((case.fault, case.severity) for case in plain if case.fault)
    assert set(lots) == {(kind, severity) for kind in FaultKind for severity in SEVERITIES}
    assert len(set(lots.values())) == 1
    assert {(case.mix, case.fault is None) for case in hard} == {
        (mix, clean) for mix in STRESS_PACK for clean in (True, False)
    }
    assert {case.fault for case in hard if case.fault} == set(FaultKind)


@pytest.mark.law
def test_a_quick_run_is_part_of_the_whole() -> None:
    """Fewer seasons, the same ones: what is kept of a quick run serves the whole one."""
    for cases in (plain_cases, stress_cases):
        whole = {case.key: case for case in cases(TUNING)}
        assert all(whole[case.key] == case for case in cases(TUNING, quick=True))
