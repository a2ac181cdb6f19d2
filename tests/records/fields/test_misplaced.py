"""Bales under a wrong job: told by outlines, by clouds, and never where nothing is wrong."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.records.bales import BaleTable, bale_table
from balewright.records.fields.areas import gather_areas
from balewright.records.fields.find_misplaced import find_misplaced
from balewright.records.fields.inside import EARTH_RADIUS_M
from balewright.records.fields.misplaced import HowSure, JobPlace
from balewright.records.fields.positions import positions_of
from balewright.records.outlines import Outline

MACHINE = "HAZE-1"
MINUTE_US = 60_000_000
DEGREE_M = EARTH_RADIUS_M * np.pi / 180
LAT, LON = 8.0, -38.0
PLACES = {"A": JobPlace("Long field"), "B": JobPlace("Round field")}


def _degrees(east: float, north: float) -> tuple[float, float]:
    return LAT + north / DEGREE_M, LON + east / DEGREE_M / float(np.cos(np.radians(LAT)))


def _square(field: str, east: float, north: float, size: float = 200.0) -> Outline:
    corners = ((0, 0), (size, 0), (size, size), (0, size))
    return Outline(field, (tuple(_degrees(east + e, north + n) for e, n in corners),))


LONG, ROUND = _square("Long field", 0, 0), _square("Round field", 600, 0)


@dataclass
class Day:
    """Bales of one day, a minute each, told job by job."""

    rows: list[tuple[str | None, float | None, float | None, int]]
    minute: int = 0

    def bale(self, job: str | None, east: float | None, north: float | None = 100.0) -> Day:
        """One bale, in metres east and north of the corner of the long field."""
        self.minute += 1
        self.rows.append((job, east, north, self.minute))
        return self

    def drive(self, minutes: int = 15) -> Day:
        """Time without a bale."""
        self.minute += minutes
        return self

    def table(self, **columns: list[Any]) -> BaleTable:
        """The day as a table."""
        at = [None if e is None or n is None else _degrees(e, n) for _, e, n, _ in self.rows]
        return bale_table(
            len(self.rows),
            {
                "machine": [MACHINE] * len(self.rows),
                "bale_no": list(range(1, len(self.rows) + 1)),
                "tipped_at": [minute * MINUTE_US for _, _, _, minute in self.rows],
                "job": [job for job, *_ in self.rows],
                "lat": [place and place[0] for place in at],
                "lon": [place and place[1] for place in at],
                **columns,
            },
        )


def _left_open(astray: int = 41) -> Day:
    """Twenty bales of A in its field; `astray` more in B's before B is opened, then ten of B."""
    day = Day([])
    for place in range(20):
        day.bale("A", 20 + 8 * place)
    day.drive()
    for place in range(astray):
        day.bale("A", 625 + 3.5 * place)
    for place in range(10):
        day.bale("B", 625 + 15 * place, 150)
    return day


@pytest.mark.derived
def test_41_bales_of_job_a_lie_in_field_b() -> None:
    """By hand: bales 21 to 61, the job was left open; clear, as both fields are drawn."""
    (found,) = find_misplaced(MACHINE, _left_open().table(), PLACES, gather_areas([ROUND, LONG]))
    assert (found.job, found.lies_in, found.belongs_to) == ("A", "Round field", "B")
    assert found.rows == tuple(range(20, 61))
    assert (found.since_us, found.until_us) == (36 * MINUTE_US, 76 * MINUTE_US)
    assert (found.sure, found.on_border, found.by_time) == (HowSure.CLEAR, 0, 0)


@pytest.mark.derived
@pytest.mark.parametrize(("own", "found_bales"), [(60, 41), (42, 41), (40, None)])
def test_a_job_nobody_names_a_field_for_is_at_home_where_more_than_half_lies(
    own: int, found_bales: int | None
) -> None:
    """41 bales lie where another job is at home; with 40 in the first field nobody can say."""
    day = Day([])
    for place in range(own):
        day.bale("A", 20 + 2.5 * place)
    day.drive()
    for place in range(41):
        day.bale("A", 625 + 3.5 * place)
    for place in range(10):
        day.bale("B", 625 + 15 * place, 150)
    found = find_misplaced(MACHINE, day.table(), {}, gather_areas([ROUND, LONG]))
    told = [one.bales for one in found if one.job == "A" and one.lies_in == "Round field"]
    assert told == ([] if found_bales is None else [found_bales])


@pytest.mark.derived
def test_without_outlines_the_clouds_of_the_jobs_tell_it() -> None:
    """The 41 lie 600 m from A's others, among those of B, which goes on at once: likely."""
    (found,) = find_misplaced(MACHINE, _left_open().table(), {})
    assert (found.job, found.belongs_to, found.bales) == ("A", "B", 41)
    assert (found.lies_in, found.sure) == (None, HowSure.LIKELY)
    (named,) = find_misplaced(MACHINE, _left_open().table(), PLACES)
    assert named.lies_in == "Round field"
    late = _left_open()
    late.rows = [(job, e, n, at + (45 if job == "B" else 0)) for job, e, n, at in late.rows]
    assert not find_misplaced(MACHINE, late.table(), {})  # B came an hour later: nobody can say


@pytest.mark.derived
def test_a_job_opened_too_early_gives_its_first_bales_back() -> None:
    """Six bales of B while still in A's field lie there, and stand next to A's."""
    day = Day([])
    for place in range(20):
        day.bale("A" if place < 14 else "B", 30 + 7 * place)
    day.drive()
    for place in range(12):
        day.bale("B", 630 + 10 * place)
    (found,) = find_misplaced(MACHINE, day.table(), PLACES, gather_areas([LONG, ROUND]))
    assert (found.job, found.belongs_to, found.rows) == ("B", "A", tuple(range(14, 20)))
    (by_cloud,) = find_misplaced(MACHINE, day.table(), {})
    assert (by_cloud.job, by_cloud.rows) == ("B", found.rows)


@pytest.mark.derived
def test_bales_on_the_border_and_without_a_place_go_with_their_neighbours() -> None:
    """5 m inside B's border, no place, a place on the moon: told by time between clear ones; 5 m
    over the border between two of A in their own field: A's."""
    day = Day([])
    for east in (20, 100, 205, 120):
        day.bale("A", east)
    day.drive()
    for east in (650, 700, 605, 750):
        day.bale("A", east)
    day.bale("A", None).bale("A", 90_000.0).bale("A", 760).bale("A", 740).bale("B", 700)
    (found,) = find_misplaced(MACHINE, day.table(), PLACES, gather_areas([LONG, ROUND]))
    assert found.rows == tuple(range(4, 12))
    assert (found.on_border, found.by_time) == (1, 2)
    assert found.sure is HowSure.CLEAR


@pytest.mark.derived
def test_adjacent_fields_take_nothing_from_each_other_at_the_hedge() -> None:
    """Fields 4 m apart: a bale of A 10 m over the hedge stays A's; three 40 m over it do not."""
    beside = _square("Round field", 204, 0)
    day = Day([])
    for place in range(12):
        day.bale("A", 20 + 15 * place)
    day.bale("A", 214).bale("A", 180).bale("A", 150)
    assert not find_misplaced(MACHINE, day.table(), PLACES, gather_areas([LONG, beside]))
    for north in (80, 90, 100):
        day.bale("A", 244, north)
    (found,) = find_misplaced(MACHINE, day.table(), PLACES, gather_areas([LONG, beside]))
    assert (found.rows, found.sure) == ((15, 16, 17), HowSure.LIKELY)


@pytest.mark.derived
def test_a_pass_over_the_wrapper_in_the_yard_is_no_bale_in_the_field() -> None:
    """Wrapped again in B's field: it stays A's bale. A job of two fields without others is left."""
    day = Day([])
    for place in range(8):
        day.bale("A", 20 + 10 * place)
    for place in range(4):
        day.bale("A", 640 + 10 * place)
    passes = ["ok"] * 8 + ["re-wrapped"] * 4
    assert not find_misplaced(
        MACHINE, day.table(status=passes), PLACES, gather_areas([LONG, ROUND])
    )
    assert not find_misplaced(MACHINE, day.table(), {})


@pytest.mark.derived
def test_a_field_drawn_twice_and_one_round_another_are_no_other_field() -> None:
    """Two files draw the long field; a third draws the whole farm round both."""
    farm = _square("Whole farm", -50, -50, 1000)
    other = _square("long  FIELD", 1, 1, 199)
    outlines = [farm, LONG, other, ROUND]
    (found,) = find_misplaced(MACHINE, _left_open(6).table(), PLACES, gather_areas(outlines))
    assert (found.rows, found.lies_in) == (tuple(range(20, 26)), "Round field")


@pytest.mark.derived
def test_positions_that_cannot_be_are_left_out() -> None:
    """0 N 0 E and a leap of 90 km and back are junk; a gap of an hour is not filled."""
    day = Day([]).bale("A", 10).bale("A", 20).bale("A", 90_000).bale("A", 30).bale("A", None)
    day.drive(60).bale("A", 40)
    table = day.table()
    lat, lon = table.column("lat").copy(), table.column("lon").copy()
    lat[1] = lon[1] = 0.0
    known = {name: table.mask(name) for name in table.values}
    table = BaleTable(table.rows, {**table.values, "lat": lat, "lon": lon}, known)
    found = positions_of(table)
    assert found.junk.tolist() == [False, True, True, False, False, False]
    assert found.between.tolist() == [False, True, True, False, False, False]
    third = 10 + (30 - 10) * 1 / 3  # one of three minutes on the way from 10 m to 30 m east
    assert found.lon[1] == pytest.approx(_degrees(third, 0)[1], abs=1e-9)
    assert np.isnan(found.lat[4])


@pytest.mark.law
@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1), st.integers(5, 60), st.sampled_from([0.0, 2.0, 5.0]))
def test_noise_of_metres_neither_hides_nor_invents(seed: int, astray: int, noise_m: float) -> None:
    """GPS errors of up to 5 m (one sigma): every planted bale found or on a border, none invented,
    in any row order; the proposed split moves bales between jobs and loses none."""
    chance = np.random.default_rng(seed)
    day = Day([])
    truth = set()
    for job, own, count in (("A", 0, 30), ("A", 600, astray), ("B", 600, 25), ("A", 0, 10)):
        day.drive(20 if own == 0 else 1)
        for _ in range(count):
            east, north = chance.uniform(20, 180, 2) + chance.normal(0, noise_m, 2)
            if job == "A" and own:
                truth.add(len(day.rows))
            day.bale(job, own + east, float(north))
    table = day.table()
    found = find_misplaced(MACHINE, table, PLACES, gather_areas([LONG, ROUND]))
    taken = {row for one in found for row in one.rows}
    assert taken <= truth
    assert len(truth - taken) <= 0.1 * len(truth)
    order = chance.permutation(table.rows)
    again = find_misplaced(MACHINE, table.take(order), PLACES, gather_areas([ROUND, LONG]))
    assert [{int(order[row]) for row in one.rows} for one in again] == [
        set(one.rows) for one in found
    ]
    jobs = table.column("job").copy()
    for one in found:
        jobs[list(one.rows)] = one.belongs_to
    split = bale_table(
        table.rows, {name: table.values[name] for name in table.values} | {"job": jobs}
    )
    assert Counter(jobs)["A"] == 40 + len(truth - taken)
    assert split.rows == table.rows
    assert not find_misplaced(MACHINE, split, PLACES, gather_areas([LONG, ROUND]))
