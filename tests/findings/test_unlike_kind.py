"""Machines that stand apart from others of their kind: how often by chance, and which are told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import binom, norm

from balewright.findings.admission import admit
from balewright.findings.finding import FindingKind, Weight
from balewright.findings.measures.book import MEASURES
from balewright.findings.same_matter import tells
from balewright.findings.unlike_kind import (
    COMPARED,
    FEWEST_BALES,
    TIMES_FLOOR,
    Compared,
    OwnLevel,
    chance_apart,
    find_unlike,
)
from balewright.words.say import say

BY_KEY = {one.key: one for one in MEASURES}
SUPPLY = BY_KEY["supply_min_v"]
SETS = [one for one in MEASURES if one.key in COMPARED]
Fleet = dict[str, dict[str, OwnLevel]]


def fleet_of(levels: Mapping[str, NDArray[np.float64]], spread: float = 0.02) -> Fleet:
    """Machines M-000, M-001 ... with these levels, each known to `spread`."""
    count = len(next(iter(levels.values())))
    return {
        f"M-{place:03}": {
            key: OwnLevel(float(values[place]), spread, 400) for key, values in levels.items()
        }
        for place in range(count)
    }


@pytest.mark.derived
def test_among_many_machines_the_chance_is_that_of_a_normal_number() -> None:
    """9,999 others on the quantiles of the normal: their median and spread are 0 and 1, so a
    machine z spreads away is as rare as a normal number so far out, both sides; its own uncertainty
    counts like more spread."""
    others = norm.ppf((np.arange(9_999) + 0.5) / 9_999)
    for z in (1.0, 2.0, 3.0):
        chance = chance_apart(OwnLevel(z, 0.0, 400), others, 0.0)
        assert chance == pytest.approx(2 * norm.sf(z), rel=0.02)
        unsure = chance_apart(OwnLevel(z * 2**0.5, 1.0, 400), others, 0.0)
        assert unsure == pytest.approx(chance, rel=0.01)


@pytest.mark.law
@pytest.mark.parametrize("others", [5, 6, 7, 9, 12, 29])
def test_a_machine_in_order_seems_far_no_oftener_than_stated(others: int) -> None:
    """By draws: of 20,000 machines in order as many as the stated chance says, or fewer, look that
    unlikely, however few the others are (one in a thousand tries of this test would be more)."""
    rng = np.random.default_rng(20_31 + others)
    draws = rng.standard_normal((20_000, others + 1))
    chances = np.array([chance_apart(OwnLevel(row[0], 0.0, 400), row[1:], 0.0) for row in draws])
    for stated in (0.05, 0.01, 0.001):
        seen = int((chances <= stated).sum())
        assert seen <= binom.ppf(0.999, len(draws), stated), (stated, seen)


@pytest.mark.law
def test_fleets_in_order_tell_nothing_oftener_than_the_rule_allows() -> None:
    """300 fleets of 25 machines, every compared measure scattering by three times what matters, and
    a level that all of a machine's measures share: at one false in ten, no more than one fleet in
    ten tells anything (where all is in order everything told is false)."""
    rng = np.random.default_rng(77)
    told = 0
    for _ in range(300):
        shared = rng.standard_normal(25)
        levels = {
            one.key: one.floor * 3.0 * (0.5 * shared + 0.87 * rng.standard_normal(25))
            for one in SETS
        }
        compared = find_unlike(fleet_of(levels, 0.0), MEASURES)
        assert compared.tests == 25 * len(SETS)
        told += any(admit(compared.findings, 0.1, compared.tests).admitted)
    assert told <= binom.ppf(0.999, 300, 0.1)


def _supply(others: int, far: dict[int, float], seed: int = 3) -> Compared:
    levels = 12.4 + 0.15 * np.random.default_rng(seed).standard_normal(others + 1)
    for place, volts in far.items():
        levels[place] = volts
    return find_unlike(fleet_of({SUPPLY.key: levels}), MEASURES)


@pytest.mark.own
def test_the_one_that_is_out_is_told_even_where_others_are_out_too() -> None:
    """One machine of 31 at 10.6 V where others have 12.4, then with five more far out beside it:
    told each time, with the others' middle and its own level; its words say both."""
    (alone,) = _supply(30, {7: 10.6}).findings
    assert (alone.machine, alone.kind, alone.weight) == (
        *("M-007", FindingKind.UNLIKE_ITS_KIND), Weight.NOTE,
    )  # fmt: skip
    assert alone.chance_frac is not None
    assert alone.chance_frac < 1e-5
    assert alone.seen is not None
    assert alone.planned == pytest.approx(12.4, abs=0.1)
    assert alone.seen.best == 10.6
    said = say(alone.words)
    assert "lower than on 30 other machines" in said
    assert "10.6" in said
    among = _supply(30, {7: 10.6, 1: 10.9, 2: 10.8, 3: 14.0, 4: 10.7, 5: 11.0})
    assert "M-007" in {one.machine for one in among.findings}


@pytest.mark.law
def test_what_does_not_matter_and_what_nobody_can_know_is_not_told() -> None:
    """Twice what matters is the least that is told, however alike the others are; five others are
    needed, and a level that nobody minds (a higher supply, say) is no finding."""
    near = 12.4 - TIMES_FLOOR * SUPPLY.floor
    levels = np.full(40, 12.4) + np.linspace(-1e-3, 1e-3, 40)
    for level, is_told in ((near + 0.01, False), (near - 0.25, True), (14.0, False)):
        levels[0] = level
        fleet = fleet_of({SUPPLY.key: levels}, 0.0)
        found = find_unlike(fleet, [replace(SUPPLY, up=None)]).findings
        assert [one.machine for one in found] == (["M-000"] if is_told else [])
    assert _supply(4, {0: 2.0}) == Compared((), 0)
    assert FEWEST_BALES == 150


@pytest.mark.law
def test_the_order_of_machines_and_where_a_scale_begins_change_nothing() -> None:
    """Machines handed in backwards give the same; volts counted from elsewhere too."""
    levels = 12.4 + 0.15 * np.random.default_rng(3).standard_normal(31)
    levels[7] = 10.6
    fleet = fleet_of({SUPPLY.key: levels})
    one = find_unlike(fleet, MEASURES)
    assert find_unlike(dict(reversed(fleet.items())), reversed(MEASURES)) == one
    shifted = find_unlike(fleet_of({SUPPLY.key: levels - 12.0}), MEASURES)
    assert [f.chance_frac for f in shifted.findings] == pytest.approx(
        [f.chance_frac for f in one.findings], rel=1e-6
    )


@pytest.mark.own
def test_a_matter_is_told_once_by_the_measure_that_says_most() -> None:
    """Dispenser 1 far out moves the sum and the pair as well: only dispenser 1 is told."""
    rng = np.random.default_rng(5)
    first = 0.01 * rng.standard_normal(30)
    first[4] = 0.2
    levels = {
        "film1_stretch_ratio": first,
        "film2_stretch_ratio": 0.01 * rng.standard_normal(30),
        "film_stretch_ratio": first / 2,
        "film_pair_ratio": -first,
    }
    (found,) = find_unlike(fleet_of(levels, 0.001), MEASURES).findings
    assert (found.machine, found.measure) == ("M-004", "film1_stretch_ratio")
    assert found.planned is not None
    assert found.planned == pytest.approx(1.0, abs=0.01)  # the watched scale is a logarithm


@pytest.mark.own
def test_what_is_compared_is_neither_crop_nor_driver_nor_set() -> None:
    """Every compared measure is in the book and can be told; none is moved by crop or operator."""
    assert BY_KEY.keys() >= COMPARED
    for measure in SETS:
        assert measure.floor > 0
        assert not {"crop", "operator"} & set(measure.moved_by)


@pytest.mark.own
def test_what_geometry_tells_of_film_is_not_told_again_of_its_kind() -> None:
    """Stretch that is off the sheet tells a machine's film metres; the other way round nothing."""
    levels = 0.01 * np.random.default_rng(5).standard_normal(30)
    levels[4] = 0.2
    (unlike,) = find_unlike(fleet_of({"film1_stretch_ratio": levels}, 0.001), MEASURES).findings
    for kind in (FindingKind.STRETCH_OFF, FindingKind.STRETCH_UNEQUAL):
        settled = replace(unlike, kind=kind, measure="", chance_frac=None)
        assert tells(settled, unlike)
        assert not tells(unlike, settled)
    assert tells(replace(unlike, kind=FindingKind.METRES_MOVED), unlike)  # its own past says when
