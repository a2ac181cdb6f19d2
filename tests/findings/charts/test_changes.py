"""Lasting changes of finished series: on series that people marked, and what holds for all."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from balewright.findings.charts.changes import find_changes, split_chance
from balewright.findings.charts.course import find_course
from balewright.findings.charts.window_runs import windows_limit
from balewright.findings.charts.windows_kernel import new_windows, windows_step

Floats = NDArray[np.float64]

#: Yearly flow of the Nile at Aswan, 1871 to 1970, from memory.
NILE = np.array(
    [
        *(1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020),
        *(960, 1180, 799, 958, 1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840),
        *(874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120),
        *(1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845),
        *(944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890),
        *(744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919),
        *(718, 714, 740),
    ],
    dtype=np.float64,
)


def parts(cuts: Iterable[int], count: int) -> list[set[int]]:
    """The places of each part between cuts."""
    ends = [0, *sorted(cuts), count]
    return [set(range(*ends[one : one + 2])) for one in range(len(ends) - 1)]


def covering(marked: list[int], told: list[int], count: int) -> float:
    """How well the told parts cover the marked ones (van den Burg and Williams 2020)."""
    of_told = parts(told, count)
    best = [
        (len(one), max(len(one & other) / len(one | other) for other in of_told))
        for one in parts(marked, count)
    ]
    return sum(size * share for size, share in best) / count


def matched(marked: set[int], told: set[int], margin: int = 5) -> int:
    """How many marked changes have a told one within the margin that no other has taken."""
    left, found = set(told), 0
    for one in sorted(marked):
        near = [other for other in left if abs(other - one) <= margin]
        if near:
            found += 1
            left.discard(min(near, key=lambda other: abs(other - one)))
    return found


def f1(marked: list[list[int]], told: list[int]) -> float:
    """Harmonic mean of precision (over what anybody marked) and recall (mean over people)."""
    changes = {0, *told}
    people = [{0, *one} for one in marked]
    precision = matched(set().union(*people), changes) / len(changes)
    recall = float(np.mean([matched(one, changes) / len(one) for one in people]))
    return 2.0 * precision * recall / (precision + recall)


@pytest.mark.check(model="changes of a series", source="turing-change-points")
@pytest.mark.published
@pytest.mark.real_data
@pytest.mark.parametrize(
    ("name", "told", "best"), [(1, 144, 0.996), (2, 97, 0.927), (3, 179, 0.996)]
)
def test_series_that_people_marked(name: int, told: int, best: float, data_dir: Path) -> None:
    """Quality control 1 to 3: one change each, where people marked it; F1 1.0, and a covering
    that is the best one cut can have (one of five people saw no change in the second)."""
    folder = data_dir / "changepoint"
    series = json.loads((folder / f"quality_control_{name}.json").read_text())
    values = np.array(series["series"][0]["raw"], np.float64)
    marks = json.loads((folder / "annotations.json").read_text())[f"quality_control_{name}"]
    course = find_course(values)
    starts = [one.start for one in course.changes]
    assert starts == [told]
    assert f1(list(marks.values()), starts) == 1.0
    covered = np.mean([covering(one, starts, len(values)) for one in marks.values()])
    assert covered >= best
    some = [one[0] for one in marks.values() if one]
    change = course.changes[0]
    assert sum(change.first <= one <= change.last for one in some) >= len(some) - 1
    assert (course.slope != 0.0) == (name == 1)  # the first creeps all along


def at(*when: int) -> datetime:
    """A time; the file names no zone."""
    return datetime(*when, tzinfo=UTC)  # type: ignore[arg-type, misc]


def half_days(path: Path) -> tuple[list[datetime], Floats]:
    """When each twelve hours end, and the median of their temperatures."""
    rows = [line.split(",") for line in path.read_text().splitlines()[1:]]
    times = [datetime.fromisoformat(when).replace(tzinfo=UTC) for when, _ in rows]
    begin = times[0].replace(minute=0)
    half = [int((when - begin) / timedelta(hours=12)) for when in times]
    values = np.array([float(value) for _, value in rows])
    medians = [np.median(values[np.array(half) == one]) for one in range(max(half) + 1)]
    # a median is known when its half day is over
    ends = [begin + timedelta(hours=12 * (one + 1)) for one in range(max(half) + 1)]
    return ends, np.array(medians)


@pytest.mark.check(model="test of all windows", source="nab-temperature")
@pytest.mark.published
@pytest.mark.real_data
def test_a_machines_temperature_up_to_its_failure(data_dir: Path) -> None:
    """Half-day medians of a machine that failed on 8 February: after 20 days of learning nothing
    is told until the morning of 28 January, in the stretch marked as the failure's beginning, ten
    days before it; every median is judged by what was known before it."""
    times, values = half_days(
        data_dir / "changepoint" / "nab" / "machine_temperature_system_failure.csv"
    )
    limit, state, told = windows_limit(1e4), new_windows(), []
    for now in range(40, len(values)):
        past = values[:now]
        middle = np.median(past)
        spread = 1.4826 * np.median(np.abs(past - middle))
        held = np.clip((values[: now + 1] - middle) / spread, -4.0, 4.0)
        lean = float(np.corrcoef(held[:-2], held[1:-1])[0, 1])
        wide = np.sqrt(1.0 - lean**2)
        odd, weight = (held[-1] - lean * held[-2]) / wide, (1.0 - lean) / wide
        up, _, down, start = windows_step(state, float(odd), float(weight))
        if max(up, down) > limit:
            told.append((times[now], down > up, times[40 + int(start)] if not told else None))
            state = new_windows()
    when, fell, since = told[0]
    assert fell
    assert at(2014, 1, 27, 14, 20) <= when <= at(2014, 1, 29, 13, 30)
    assert since is not None
    assert since - timedelta(hours=12) <= at(2014, 1, 27, 14, 20) <= since
    assert any(at(2014, 2, 7) <= one[0] <= at(2014, 2, 9, 14, 5) for one in told)
    assert len(told) == 4


@pytest.mark.check(model="changes of a series", source="nile-1898")
@pytest.mark.published
def test_the_nile_fell_after_1898() -> None:
    """One change, 1899 the first year of the new level; means 1097.75 and 849.97."""
    changes = find_changes(NILE)
    assert [1871 + one.start for one in changes] == [1899]
    assert (NILE[:28].mean(), NILE[28:].mean()) == pytest.approx((1097.75, 849.97), abs=0.005)
    assert changes[0].before == pytest.approx(1097.75, abs=5.0)
    assert changes[0].after == pytest.approx(849.97, abs=5.0)
    assert 1871 + changes[0].first <= 1899 <= 1871 + changes[0].last


@pytest.mark.law
@pytest.mark.parametrize("count", [30, 300])
def test_series_in_order_are_rarely_cut(count: int) -> None:
    """At a chance of 5 % no more than 5 % of series in order are cut, to what 300 series can tell
    (fixed seed), and no more where one reading in fifty is far off."""
    rng = np.random.default_rng(1)
    cut = wild = 0
    for _ in range(300):
        values = rng.normal(size=count)
        cut += bool(find_changes(values, 0.05, spread=1.0))
        values[rng.random(count) < 0.02] += 15.0
        wild += bool(find_changes(values, 0.05, spread=1.0))
    assert max(cut, wild) <= 15 + 3 * 3.8
    assert split_chance(0.1, 100) == 1.0
    assert split_chance(30.0, 100) < 1e-10


@pytest.mark.law
def test_the_interval_of_a_start_holds_the_start() -> None:
    """Steps of one and two spreads, with gaps and far readings: 90 % or more of the intervals
    that should be 95 % hold the true first reading (fixed seed)."""
    rng = np.random.default_rng(2)
    held = told = 0
    for size in (1.0, 2.0) * 150:
        true = int(rng.integers(40, 160))
        values = rng.normal(size=200) + np.where(np.arange(200) >= true, size, 0.0)
        values[rng.random(200) < 0.02] += 12.0
        values[rng.random(200) < 0.1] = np.nan
        changes = find_changes(values)
        if len(changes) == 1:
            told += 1
            held += changes[0].first <= true <= changes[0].last
    assert told >= 270
    assert held / told >= 0.90


@pytest.mark.law
def test_a_level_that_was_only_visited_is_seen() -> None:
    """Ten readings six spreads up are cut out at both ends, beside a larger step later on."""
    rng = np.random.default_rng(6)
    values = rng.normal(size=200)
    values[80:90] += 6.0
    values[150:] += 10.0
    assert [one.start for one in find_changes(values)] == [80, 90, 150]


@pytest.mark.law
def test_a_creeping_series_is_no_staircase() -> None:
    """A slope alone gives no change, a slope with a step one, and a step alone no slope."""
    rng = np.random.default_rng(3)
    place = np.arange(300)
    step = np.where(place >= 170, 2.5, 0.0)
    noise = rng.normal(size=300)
    creeping = find_course(0.01 * place + noise)
    assert creeping.changes == ()
    assert creeping.slope == pytest.approx(0.01, rel=0.15)
    both = find_course(0.01 * place + step + noise)
    assert len(both.changes) == 1
    assert abs(both.changes[0].start - 170) <= 2
    alone = find_course(step + noise)
    assert alone.slope == 0.0
    assert len(alone.changes) == 1


@pytest.mark.law
def test_series_that_say_nothing_have_no_changes() -> None:
    """Empty, unknown, constant and short series give none; what is no search is refused."""
    for values in ([], [np.nan] * 50, [3.0] * 50, [1.0, 2.0, 9.0]):
        assert find_changes(np.array(values, np.float64)) == ()
        assert find_course(np.array(values, np.float64)).changes == ()
    for chance, lean in ((0.0, 0.0), (0.01, 1.0)):
        with pytest.raises(ValueError, match="no search"):
            find_changes(np.zeros(50), chance, lean)
    leaning = np.random.default_rng(4).normal(size=400)
    for one in range(1, 400):
        leaning[one] += 0.8 * leaning[one - 1]
    assert len(find_changes(leaning)) > 0  # taken for independent, it looks full of changes
    assert find_changes(leaning, lean=0.8) == ()
