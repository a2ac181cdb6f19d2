"""A machine watched: the same however its records are cut, ordered or kept."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.findings.finding import Finding
from balewright.findings.watch.evidence import history_of
from balewright.findings.watch.kind import NO_KIND, learn_kind
from balewright.findings.watch.state_bytes import (
    kind_from_bytes,
    kind_to_bytes,
    state_from_bytes,
    state_to_bytes,
)
from balewright.findings.watch.watch import Watch, WatchedMachine, watch
from balewright.findings.watched import watch_machine
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable, bale_table

MACHINE = shipped_profiles()["mossgrinder-m2"]
BALES = 1_700
ABOUT = WatchedMachine("M", MACHINE, {})


def machine_bales(seed: int, bales: int = BALES, shift_s: float = 0.0, at: int = 900) -> BaleTable:
    """Bales in jobs of about sixty, with a transfer that becomes slower by `shift_s` at `at`."""
    chance = np.random.default_rng(seed)
    us = 1_000_000
    transfer_s = np.round(chance.normal(5.0, 0.5, bales) + shift_s * (np.arange(bales) >= at), 1)
    closed = 1_900_000_000 * us + np.cumsum(chance.integers(80, 120, bales)) * us
    opened = closed + 50 * us
    breaks = (chance.random(bales) < 0.01).astype(np.int64)
    job = np.arange(bales) // 60
    rare, rarer = chance.random(bales) < 0.01, chance.random(bales) < 0.004
    codes = [
        " ".join(code for code, shown in (("168/4", one), ("9/2", other)) if shown) or None
        for one, other in zip(rare, rarer, strict=True)
    ]
    return bale_table(
        bales,
        {
            "machine": ["M"] * bales,
            "bale_no": np.arange(1, bales + 1),
            "job": [f"job {one}" for one in job],
            "closed_at": closed,
            "full_at": closed + 40 * us,
            "gate_open_at": opened,
            "on_wrapper_at": opened + (transfer_s * us).astype(np.int64),
            "chamber_bar": np.round(chance.normal(90, 3, bales)),
            "film1_breaks": breaks,
            "codes": codes,
        },
    )


@cache
def shifted() -> tuple[BaleTable, Watch]:
    """One machine whose transfer becomes slower, watched in one go."""
    bales = machine_bales(1, shift_s=1.0)
    return bales, watch(bales, ABOUT)


def said(findings: tuple[Finding, ...]) -> set[object]:
    """Findings of the charts, for comparison: those of physics are told by chapters."""
    return {one for one in findings if one.chance_frac is not None}


@pytest.mark.own
def test_a_slower_transfer_is_told_with_its_start_and_size() -> None:
    """Two spreads more from bale 901 on: told once, near that bale, with about the right size."""
    found = [one for one in shifted()[1].findings if one.measure == "transfer_s"]
    assert len(found) == 1
    assert found[0].since_bale is not None
    assert abs(found[0].since_bale - 901) <= 6
    assert found[0].start is not None
    assert found[0].start.first_bale is not None
    assert found[0].start.last_bale is not None
    assert found[0].start.first_bale <= 901 <= found[0].start.last_bale
    assert found[0].moved is not None
    assert found[0].moved.holds(1.0)
    assert (found[0].certain_frac or 0) >= 0.75
    assert (found[0].chance_frac or 1) < 1e-5


@pytest.mark.law
@settings(max_examples=8, deadline=None)
@given(st.lists(st.integers(1, BALES - 1), min_size=1, max_size=4, unique=True))
def test_new_bales_cost_only_themselves_and_change_nothing(cuts: list[int]) -> None:
    """However a season is cut into reviews, the last state and what the charts tell are equal."""
    bales, whole = shifted()
    state = None
    told: Watch | None = None
    for end in [*sorted(cuts), BALES]:
        keep_from = 0 if state is None else state.keep_from
        told = watch(bales.take(np.arange(keep_from, end)), ABOUT, state)
        state = state_from_bytes(state_to_bytes(told.state))
    assert told is not None
    assert said(told.findings) == said(whole.findings)
    assert state_to_bytes(told.state) == state_to_bytes(whole.state)


@pytest.mark.law
def test_the_order_in_which_bales_come_in_changes_nothing() -> None:
    """A record taken in late, or a table shuffled, gives the same as in order."""
    bales, whole = shifted()
    shuffled = bales.take(np.random.default_rng(5).permutation(BALES))
    again = watch(shuffled, ABOUT)
    assert again.findings == whole.findings
    assert state_to_bytes(again.state) == state_to_bytes(whole.state)


@pytest.mark.law
def test_a_state_is_small_and_comes_back_from_its_bytes() -> None:
    """Some kilobytes a machine; cut bytes are refused, not read as another state."""
    given = state_to_bytes(shifted()[1].state)
    assert len(given) < 60_000
    assert state_to_bytes(state_from_bytes(given)) == given
    with pytest.raises(ValueError, match="cut off"):
        state_from_bytes(given[:-8])
    with pytest.raises(ValueError, match="version"):
        state_from_bytes(b"watch 0\n\n")


@pytest.mark.own
def test_a_code_that_comes_oftener_is_told_by_name() -> None:
    """One code in two hundred bales, from bale 900 on one in twenty-five, others as ever: that code
    is told, and its chart can be drawn from the first bale on that showed it."""
    bales = machine_bales(4)
    chance = np.random.default_rng(6)
    rate = np.where(np.arange(BALES) < 900, 0.005, 0.04)
    codes, known = bales.column("codes").copy(), bales.mask("codes").copy()
    for row in np.flatnonzero(chance.random(BALES) < rate):
        codes[row] = f"{codes[row]} 77/3" if known[row] else "77/3"
        known[row] = True
    more = replace(
        bales, values={**bales.values, "codes": codes}, known={**bales.known, "codes": known}
    )
    (found,) = watch(more, ABOUT).findings
    assert (found.measure, found.part) == ("code 77/3", "code 77/3")
    history = history_of(more, ABOUT, found.measure)
    assert history is not None
    first = int(np.flatnonzero(np.isfinite(history.values))[0])
    assert "77/3" in codes[first]
    assert history.changes[0][1] == pytest.approx(900, abs=60)


@pytest.mark.law
def test_bales_that_were_watched_cannot_be_left_out() -> None:
    """The bales that the state needs to look back at must be handed in again."""
    bales, whole = shifted()
    with pytest.raises(ValueError, match="handed in"):
        watch(bales.take(np.arange(BALES - 5, BALES)), ABOUT, whole.state)


@pytest.mark.own
def test_a_clean_machine_with_few_bales_is_left_alone() -> None:
    """Short histories and restarts raise no finding: thirty machines of 150 clean bales."""
    told = [
        one
        for seed in range(30)
        for one in watch(machine_bales(seed, 150), ABOUT).findings
        if one.chance_frac is not None
    ]
    assert told == []


@pytest.mark.law
def test_a_kind_is_learnt_alike_in_any_order_and_kept() -> None:
    """Machines of a profile lend each other what is usual; permuting them changes nothing."""
    states = [watch(machine_bales(seed, 400), ABOUT).state for seed in range(5)]
    kind = learn_kind(states)
    assert kind_to_bytes(learn_kind(reversed(states))) == kind_to_bytes(kind)
    assert kind_to_bytes(kind_from_bytes(kind_to_bytes(kind))) == kind_to_bytes(kind)
    usual = kind.levels["transfer_s"]
    assert usual.level == pytest.approx(np.log(5.0), abs=0.02)
    assert usual.spread == pytest.approx(0.1, rel=0.15)
    assert kind.rates["film1_breaks"].rate == pytest.approx(0.01, rel=0.4)
    assert learn_kind([]).levels == NO_KIND.levels


@pytest.mark.own
def test_a_new_machine_that_knows_its_kind_is_judged_sooner() -> None:
    """With its kind's spreads known, a transfer that is slow from the ninetieth bale on is told
    within forty bales; alone the machine is still being learnt."""
    kind = learn_kind([watch(machine_bales(seed, 600), ABOUT).state for seed in range(10, 16)])
    slow = machine_bales(3, 130, shift_s=1.5, at=90)
    about = WatchedMachine("M", MACHINE, {}, kind=kind)
    told = [one for one in watch(slow, about).findings if one.measure == "transfer_s"]
    assert told
    assert watch_machine("M", MACHINE, slow, {}).bales.rows == 130
