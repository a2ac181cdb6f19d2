"""Sensors that repeat themselves."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from balewright.findings.finding import FindingKind
from balewright.findings.measures.frozen import CHANCE, Repeats, find_frozen
from balewright.findings.watched import Watched
from balewright.words.say import say

Watch = Callable[..., Watched]


def put(watch: Watch, readings: np.ndarray) -> Watched:
    """Bales with these chamber pressures."""
    values = iter(readings.tolist())
    return watch(len(readings), {(0, len(readings)): {"chamber_bar": lambda _: next(values)}})


def part(watched: Watched, first: int, last: int) -> Watched:
    """Some of the bales, as they come in later."""
    rows = np.arange(first, last)
    return Watched(
        watched.serial, watched.machine, watched.bales.take(rows), watched.plans,
        watched.made_us[rows], watched.timed[rows],
    )  # fmt: skip


@pytest.mark.derived
def test_chance_of_a_run_is_the_beta_binomial_one() -> None:
    """With 10 equal and 30 other neighbours before: (11 x 12) / (43 x 44) for two more."""
    known = Repeats(equal=10, other=30)
    assert known.chance_frac(2) == pytest.approx(11 * 12 / (43 * 44), rel=1e-12)
    assert Repeats().chance_frac(1) == pytest.approx(1 / 3, rel=1e-12)


@pytest.mark.practice
def test_fine_readings_freeze_within_few_bales_and_coarse_ones_take_longer(watch: Watch) -> None:
    """Pressure to the tenth of a bar that stands still for ten bales is frozen; in steps of five
    bar, where a third of neighbours are equal, ten are nothing yet and fifty are."""
    noise = np.random.default_rng(3)
    level = 110.0 + 5.0 * noise.standard_normal(200)
    for step, honest, long in ((0.1, 2, 10), (5.0, 10, 49)):
        coarse = np.round(level / step) * step
        for length, told in ((honest, False), (long, True)):
            held = coarse.copy()
            held[150 : 151 + length] = coarse[150]
            found, _ = find_frozen(put(watch, held))
            assert bool([one for one in found if one.evidence == ("chamber_bar",)]) is told
    finding = next(one for one in found if one.evidence == ("chamber_bar",))
    assert finding.kind is FindingKind.SENSOR_FROZEN
    assert 0 <= 250 - finding.since_bale <= 1  # its own last reading is the one it stands at
    assert finding.chance_frac is not None
    assert finding.chance_frac < CHANCE
    assert f"From bale {finding.since_bale}: chamber pressure stands at" in say(finding.words)


@pytest.mark.law
def test_what_was_never_seen_to_move_is_a_setting(watch: Watch) -> None:
    """A column that stood still from the first bale on is not told as frozen."""
    found, _ = find_frozen(put(watch, np.full(400, 120.0)))
    assert not found


@pytest.mark.practice
def test_air_in_whole_degrees_stands_for_hours(watch: Watch) -> None:
    """Sixty bales an hour, a degree an hour and back at night: it stands still, it is not frozen;
    three days of one value on the same thermometer are."""
    rows = np.arange(3400)
    degrees = np.round(18 + 6 * np.sin(rows / 180.0) + 0.2 * np.cos(rows / 11.0))
    stuck = np.where(rows > 1900, degrees[1900], degrees)
    for readings, told in ((degrees, False), (degrees[:100], False), (stuck, True)):
        values = iter(readings.tolist())
        count = len(readings)
        watched = watch(count, {(0, count): {"air_c": lambda _, values=values: next(values)}})
        assert bool(find_frozen(watched)[0]) is told


@pytest.mark.law
def test_a_frozen_stretch_teaches_nothing(watch: Watch) -> None:
    """A sensor that froze once is told as soon when it freezes again."""
    readings = np.round(110 + 5 * np.random.default_rng(4).standard_normal(300), 1)
    readings[100:180] = readings[100]
    readings[240:260] = readings[240]
    found, state = find_frozen(put(watch, readings))
    since = [one.since_bale for one in found if one.evidence == ("chamber_bar",)]
    assert since == [200, 340]
    assert state["chamber_bar"].longest < 5


@pytest.mark.law
@settings(
    max_examples=12,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(cuts=st.lists(st.integers(1, 119), min_size=1, max_size=4), seed=st.integers(0, 50))
def test_pieces_give_what_one_go_gives(watch: Watch, cuts: list[int], seed: int) -> None:
    """The state after pieces is the state after one go, and what stands frozen at the end is told
    the same, from its own first bale on."""
    noise = np.random.default_rng(seed)
    readings = np.round(110 + 5 * noise.standard_normal(120), 1)
    first = int(noise.integers(40, 80))
    readings[first : first + 40] = readings[first]
    watched = put(watch, readings)
    whole, state = find_frozen(watched)
    told, past = {}, None
    bounds = [0, *sorted(set(cuts)), 120]
    for begin, end in pairwise(bounds):
        found, past = find_frozen(part(watched, begin, end), past)
        told |= {(one.part, one.since_bale): (one.bales, one.chance_frac) for one in found}
    assert past == state
    assert told == {(one.part, one.since_bale): (one.bales, one.chance_frac) for one in whole}
