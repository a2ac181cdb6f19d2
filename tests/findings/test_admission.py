"""Over a whole fleet the share of false alarms among those told stays at the number set."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from balewright.findings.admission import Dependence, admit
from balewright.findings.finding import Finding
from balewright.quantities.errors import BadInput
from findings.episodes_by_hand import found

TRIAL = (
    *(0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262),
    *(0.5719, 0.6528, 0.7590, 1.0000),
)
SEED = 20_310_601


def _alarms(chances: tuple[float, ...] | list[float]) -> list[Finding]:
    return [replace(found(1, 2), chance_frac=chance) for chance in chances]


@pytest.mark.published
@pytest.mark.check(model="findings.admission", source="benjamini-hochberg-1995")
def test_the_paper_s_fifteen_chances_give_four() -> None:
    """At 0.05 the first four are admitted, whether the silent charts are listed or only counted;
    without trust in how they hang together, the first three."""
    assert sum(admit(_alarms(TRIAL), 0.05, 15).admitted) == 4
    assert admit(_alarms(TRIAL[:6]), 0.05, 15).admitted == (True,) * 4 + (False,) * 2
    assert sum(admit(_alarms(TRIAL), 0.05, 15, Dependence.ANY).admitted) == 3


@pytest.mark.reference
@pytest.mark.check(model="findings.admission", source="scipy-discovery")
@pytest.mark.parametrize(("dependence", "method"), [("positive", "bh"), ("any", "by")])
def test_it_admits_what_the_library_s_adjusted_chances_admit(dependence: str, method: str) -> None:
    """100 fleets of 3 to 400 charts, many with ties and with real troubles."""
    random = np.random.default_rng(SEED)
    for _ in range(100):
        count = int(random.integers(3, 400))
        chances = np.round(random.beta(0.4, 1.5, count), 4)
        adjusted = stats.false_discovery_control(chances, method=method)
        rate = float(random.choice([0.01, 0.05, 0.1, 0.3]))
        told = admit(_alarms(chances.tolist()), rate, count, Dependence(dependence)).admitted
        clear = np.abs(adjusted - rate) > 1e-9
        assert np.array_equal(np.array(told)[clear], (adjusted <= rate)[clear])


@pytest.mark.law
@pytest.mark.parametrize("shared", [0.0, 0.3, 0.7])
@pytest.mark.parametrize("troubled", [0, 10, 80])
def test_a_mixed_fleet_keeps_the_rate(shared: float, troubled: int) -> None:
    """200 fleets of 300 charts, `troubled` of them moved by 3.5; the others share a cause (`shared`
    of their variance). Only alarms beyond 1.5 are handed in, as a chart would. The mean share of
    false ones among those told stays within three standard errors of the rate."""
    random = np.random.default_rng(SEED)
    fleets, charts, rate = 200, 300, 0.1
    common = random.standard_normal((fleets, 1)) * np.sqrt(shared)
    seen = common + random.standard_normal((fleets, charts)) * np.sqrt(1 - shared)
    seen[:, :troubled] += 3.5
    false_share = []
    for fleet in seen:
        alarms = np.flatnonzero(fleet > 1.5)
        told = admit(_alarms(stats.norm.sf(fleet[alarms]).tolist()), rate, charts).admitted
        admitted = alarms[np.array(told, dtype=bool)]
        false_share.append(np.mean(admitted >= troubled) if len(admitted) else 0.0)
    error = np.std(false_share) / np.sqrt(fleets)
    assert np.mean(false_share) <= rate * (1 - troubled / charts) + 3 * error
    if troubled and shared == 0.0:  # nor is it held by telling next to nothing
        assert np.mean(false_share) > 0.05


@pytest.mark.law
@given(
    chances=st.lists(st.floats(0, 1) | st.none(), max_size=30),
    rate=st.floats(0.001, 0.999),
    more=st.integers(0, 1000),
)
def test_admission_is_fair(chances: list[float | None], rate: float, more: int) -> None:
    """What physics settles is always told; who is less by chance is told before who is more; more
    charts watched never admit more; the limit is what was admitted by."""
    seen = [replace(found(1, 2), chance_frac=chance) for chance in chances]
    few, many = admit(seen, rate, 0), admit(seen, rate, len(seen) + more)
    for one, told in zip(seen, many.admitted, strict=True):
        assert told == (one.chance_frac is None or one.chance_frac <= many.limit_frac)
    assert all(f or not m for f, m in zip(few.admitted, many.admitted, strict=True))
    assert many.limit_frac <= rate * (1 + 1e-12)  # the last rounding


@pytest.mark.derived
@pytest.mark.parametrize("rate", [0.0, 1.0, -0.1, 10.0, float("nan")])
def test_a_rate_that_is_none_is_refused(rate: float) -> None:
    """Neither no false alarm at all nor all of them can be asked for."""
    with pytest.raises(BadInput, match="a share between 0 and 1"):
        admit([], rate, 10)
