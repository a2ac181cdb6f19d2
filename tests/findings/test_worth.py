"""What a finding costs a bale and what it endangers, against arithmetic by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.findings.worth import Prices, Usual, usual_of, worth_of
from balewright.plan.cost.outlay import UnitPrices
from balewright.plan.machine import Machine
from balewright.plan.pace.cycle import HeldBack
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.words.say import say

PRICES = Prices(
    UnitPrices(
        film_roll_money=75.0, film_roll_m=1500.0, binding_roll_money=150.0, binding_roll_m=3000.0,
        fuel_money_l=1.5, wage_money_h=20.0, additive_money_l=3.0,
    ),
    hour_money=180.0,
    bale_money=12.0,
)  # fmt: skip
USUAL = Usual(
    film_m=80.0, binding_m=10.0, additive_l=1.2, fuel_l=2.0, wrap_turns=16.0, binding_turns=2.5,
    dispensers=2, is_wrapper_slowest=True,
)  # fmt: skip


def moved(kind: FindingKind, measure: str, before: float, now: float, **more: Any) -> Finding:
    """A measure that moved, known to a tenth of the change either side."""
    change = now - before
    low, high = sorted((change * 0.9, change * 1.1))
    seen = Interval(before + low, now, before + high)
    return Finding(
        "M", kind, Weight.COST, 1, 2, 0, 50, 50, before, seen, "", (), None, because("x"),
        measure=measure, moved=Interval(low, change, high, 0.9), **more,
    )  # fmt: skip


# money a bale by hand: a metre of film or binding costs 0.05, a second of work 0.05
BY_HAND = {
    # one dispenser's stretch falls from 1.70 to 1.55: 40 m become 40 x 1.70 / 1.55
    "one dispenser": (
        moved(FindingKind.METRES_MOVED, "film1_stretch_ratio", 1.70, 1.55),
        40 * (1.70 / 1.55 - 1) * 0.05,
    ),
    "both dispensers": (
        moved(FindingKind.METRES_MOVED, "film_stretch_ratio", 1.70, 1.55),
        80 * (1.70 / 1.55 - 1) * 0.05,
    ),
    "net stretched less": (
        moved(FindingKind.METRES_MOVED, "binding_stretch_ratio", 1.10, 1.00, part="binding"),
        10 * 0.1 * 0.05,
    ),
    "half a turn of net more": (
        moved(FindingKind.METRES_MOVED, "binding_girths_turns", 2.5, 3.0, part="binding"),
        10 * 0.2 * 0.05,
    ),
    # a tenth softer: a ninth more bales for the same crop
    "softer bales": (
        moved(FindingKind.DENSITY_MOVED, "dry_kg_m3", 180.0, 162.0), 12.0 / 9,
    ),
    "wrap turn slower": (
        moved(FindingKind.PHASE_TIME_MOVED, "wrap_turn_s", 2.0, 2.5, part="wrapper"),
        16 * 0.5 * 0.05,
    ),
    "hand-over slower": (
        moved(FindingKind.PHASE_TIME_MOVED, "transfer_s", 4.0, 7.0, part="transfer"), 3 * 0.05,
    ),
    # a fifth more torque on the six tenths of 2 l that go with the load
    "drive pulls harder": (
        moved(FindingKind.DRIVE_MOVED, "pto_torque_nm", 700.0, 840.0), 2 * 0.2 * 0.6 * 1.5,
    ),
    "half the additive": (
        moved(FindingKind.ADDITIVE_MOVED, "additive_l_t", 2.0, 1.0), -1.2 * 0.5 * 3.0,
    ),
    # five breaks more in a hundred bales, two minutes each
    "breaks": (
        moved(FindingKind.BREAKS_MORE, "film1_breaks", 0.01, 0.06), 0.05 * 120 * 0.05,
    ),
}  # fmt: skip


@pytest.mark.derived
@pytest.mark.parametrize("case", BY_HAND)
def test_money_a_bale_is_what_the_hand_works_out(case: str) -> None:
    """Best value by hand, ends around it."""
    finding, by_hand = BY_HAND[case]
    money = worth_of(finding, PRICES, USUAL).money_bale
    assert money is not None
    assert money.best == pytest.approx(by_hand, rel=1e-9)
    assert money.low < money.best < money.high


@pytest.mark.derived
def test_money_against_the_sheet_is_what_the_hand_works_out() -> None:
    """A tenth softer than planned: a ninth more bales. Film stretched 55 % where 70 % was set:
    1.70 / 1.55 of the metres. One bale in fifty burst: a fiftieth of a bale."""
    bare = replace(BY_HAND["breaks"][0], moved=None)
    soft = replace(
        bare, kind=FindingKind.DENSITY_LOW, planned=180.0, seen=Interval(160.0, 162.0, 164.0)
    )
    loose = replace(
        bare, kind=FindingKind.STRETCH_OFF, planned=0.70, seen=Interval(0.47, 0.55, 0.63)
    )
    burst = replace(
        bare, kind=FindingKind.BURST, planned=None, unit="share of bales",
        seen=Interval(0.01, 0.02, 0.04),
    )  # fmt: skip
    for finding, by_hand in (
        (soft, 12.0 / 9), (loose, 80 * (1.70 / 1.55 - 1) * 0.05), (burst, 12.0 / 50),
    ):  # fmt: skip
        money = worth_of(finding, PRICES, USUAL).money_bale
        assert money is not None
        assert money.best == pytest.approx(by_hand, rel=1e-9)
        assert money.low < money.best < money.high
        assert worth_of(finding, Prices(), USUAL).money_bale is None


@pytest.mark.law
@pytest.mark.parametrize("case", BY_HAND)
def test_without_a_price_there_is_no_amount(case: str) -> None:
    """No price is made up, and nothing known of the bale is guessed."""
    finding = BY_HAND[case][0]
    assert worth_of(finding, Prices()).money_bale is None


@pytest.mark.law
@pytest.mark.parametrize("case", BY_HAND)
def test_a_price_of_nothing_is_no_price(case: str) -> None:
    """Unit prices that leave a part out say nothing of it: no amount, and never an amount of 0."""
    units = UnitPrices(0.0, 1.0, 0.0, 1.0, 0.0, 0.0)
    finding = BY_HAND[case][0]
    assert worth_of(finding, Prices(units), USUAL).money_bale is None
    loose = replace(
        finding, kind=FindingKind.STRETCH_OFF, planned=0.70, seen=Interval(0.47, 0.55, 0.63)
    )
    assert worth_of(loose, Prices(units), USUAL).money_bale is None


@pytest.mark.law
@pytest.mark.parametrize("case", BY_HAND)
def test_money_follows_the_currency(case: str) -> None:
    """Prices in cents give cents: a hundred times the amount, at both ends."""
    finding = BY_HAND[case][0]
    assert PRICES.units is not None
    names = ("film_roll_money", "binding_roll_money", "fuel_money_l", "additive_money_l")
    units = replace(PRICES.units, **{name: 100 * getattr(PRICES.units, name) for name in names})
    cents = worth_of(finding, Prices(units, 18_000.0, 1200.0), USUAL).money_bale
    money = worth_of(finding, PRICES, USUAL).money_bale
    assert cents is not None
    assert money is not None
    assert (cents.low, cents.best, cents.high) == pytest.approx(
        (100 * money.low, 100 * money.best, 100 * money.high), rel=1e-9
    )


@pytest.mark.practice
def test_what_the_wrapper_loses_may_be_hidden_behind_the_next_bale() -> None:
    """Where filling is slower than wrapping, a slow wrapper may cost nothing."""
    finding = BY_HAND["wrap turn slower"][0]
    hidden = worth_of(finding, PRICES, replace(USUAL, is_wrapper_slowest=False)).money_bale
    unknown = worth_of(finding, PRICES, replace(USUAL, is_wrapper_slowest=None)).money_bale
    assert hidden is not None
    assert unknown is not None
    assert (hidden.low, hidden.best) == (0.0, 0.0)
    assert 0.0 == unknown.low < unknown.best < unknown.high


@pytest.mark.derived
def test_usual_amounts_come_from_the_sheet(ring: Machine, sheets: Mapping[str, Sheet]) -> None:
    """70 m of film, 9.8 m of net, 14 and 2.5 turns, two dispensers; work waits for the chamber,
    and the sheet names no additive. With 2 l/t on its 604 kg that is 1.2 l."""
    sheet = sheets["s1"]
    usual = usual_of(sheet, ring)
    assert usual == Usual(70.0, 9.8, None, None, 14.0, 2.5, 2, False)
    dosed = replace(
        sheet, lines=(*sheet.lines, replace(sheet.lines[-1], key="additive_l_t", value=2.0))
    )
    assert usual_of(dosed, ring).additive_l == pytest.approx(1.2, abs=0.01)
    slow = replace(sheet, expected=replace(sheet.expected, held_back_by=HeldBack.WRAPPER.value))
    assert usual_of(slow, ring).is_wrapper_slowest


@pytest.mark.practice
def test_one_dispenser_against_the_other_names_no_amount() -> None:
    """The ratio does not say which of them draws more film."""
    worth = worth_of(moved(FindingKind.METRES_MOVED, "film_pair_ratio", 1.0, 1.05), PRICES, USUAL)
    assert worth.money_bale is None
    assert worth.risk is not None


@pytest.mark.own
@pytest.mark.parametrize("kind", FindingKind)
def test_every_kind_is_answered_and_every_risk_has_words(kind: FindingKind) -> None:
    """A kind without a risk or an amount gives neither; none fails."""
    finding = replace(moved(kind, "x", 1.0, 2.0), moved=None, seen=None)
    worth = worth_of(finding, PRICES, USUAL)
    assert worth.money_bale is None
    if worth.risk is not None:
        assert say(worth.risk).endswith(".")
