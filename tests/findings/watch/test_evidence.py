"""What a finding opens to: the readings, what was expected of them, and where it changed."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.findings.watch.evidence import history_of
from balewright.findings.watch.watch import WatchedMachine, watch
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable, bale_table

MACHINE = shipped_profiles()["mossgrinder-m2"]
ABOUT = WatchedMachine("M", MACHINE, {})


def slow_transfer() -> BaleTable:
    """600 bales whose transfer takes 5 s, from bale 401 on 7 s."""
    chance = np.random.default_rng(4)
    us = 1_000_000
    opened = 1_900_000_000 * us + np.arange(600) * 90 * us
    seconds = np.round(chance.normal(5.0, 0.4, 600) + 2.0 * (np.arange(600) >= 400), 1)
    return bale_table(
        600,
        {
            "machine": ["M"] * 600,
            "bale_no": np.arange(1, 601),
            "job": [f"j{row // 60}" for row in range(600)],
            "gate_open_at": opened,
            "on_wrapper_at": opened + (seconds * us).astype(np.int64),
        },
    )


@pytest.mark.own
def test_a_history_shows_what_its_finding_says() -> None:
    """Readings in seconds, the level that was expected, and the change at the finding's bale."""
    bales = slow_transfer()
    finding = next(one for one in watch(bales, ABOUT).findings if one.measure == "transfer_s")
    history = history_of(bales, ABOUT, "transfer_s")
    assert history is not None
    assert len(history.changes) == 1
    first, since, last, told, until = history.changes[0]
    assert int(history.numbers[since]) == finding.since_bale
    assert first <= since <= last <= told
    assert until is None
    assert history.values[0] == pytest.approx(5.0, abs=1.5)
    assert history.expected[300] == pytest.approx(5.0, abs=0.3)
    assert history.expected[-1] == pytest.approx(7.0, abs=0.4)
    judged = slice(60, 400)
    inside = (history.values[judged] > history.low[judged]) & (
        history.values[judged] < history.high[judged]
    )
    assert inside.mean() > 0.97


@pytest.mark.own
def test_nothing_is_shown_of_what_is_not_recorded() -> None:
    """A measure the machine does not have, or has no values of, has no history."""
    assert history_of(slow_transfer(), ABOUT, "chamber_bar") is None
    assert history_of(slow_transfer(), ABOUT, "no_such_s") is None
