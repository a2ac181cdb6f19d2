"""The daily review: when it is due, never twice at once, and what a kill leaves of it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from balewright.flows.daily_review import (
    DailyRule,
    is_daily_due,
    last_daily_review,
    look_at_review,
    reviewing_alone,
    set_daily_rule,
    struck_last,
    zone_of,
)
from balewright.flows.review_fleet import review_fleet, review_when_due
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry
from balewright.store.health.lines import HealthState
from balewright.words.say import say

NOW = datetime(2031, 6, 20, 18, tzinfo=UTC)
SERIALS = ("A-1", "B-2", "C-3")
EAST = "Etc/GMT-10"  # ten hours ahead of UTC


def in_home(home: Path) -> Workplace:
    """The workplace of that home, its clock at NOW."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(home)}))
    return replace(opened, clock=lambda: NOW, random=np.random.default_rng(1))


def at(workplace: Workplace, moment: datetime) -> Workplace:
    """The same with another clock."""
    return replace(workplace, clock=lambda: moment)


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """Three machines, each with a bale that burst, not reviewed yet."""
    opened = in_home(tmp_path / "home")
    begun = datetime(2031, 6, 1, 6, tzinfo=UTC)
    for serial in SERIALS:
        rows = [
            f"{serial},{n},{(begun + timedelta(minutes=2 * n)).isoformat()},"
            f"{'burst' if n == 20 else 'ok'}"
            for n in range(1, 31)
        ]
        path = tmp_path / f"{serial}.csv"
        path.write_text("machine,bale_no,closed_at,status\n" + "\n".join(rows) + "\n")
        take_in_file(opened, path)
        zone = "Etc/UTC" if serial == "A-1" else EAST
        opened.register.save_machine(MachineEntry(serial, serial, "mossgrinder-m2", zone))
    yield opened
    opened.register.close()


@pytest.mark.derived
@pytest.mark.parametrize(
    ("now", "hour", "zone", "struck"),
    [
        ((2031, 6, 20, 18, 0), 5, "Etc/UTC", (2031, 6, 20, 5, 0)),
        ((2031, 6, 20, 5, 0), 5, "Etc/UTC", (2031, 6, 20, 5, 0)),
        ((2031, 6, 20, 4, 59), 5, "Etc/UTC", (2031, 6, 19, 5, 0)),
        ((2031, 6, 20, 4, 59), 5, EAST, (2031, 6, 19, 19, 0)),
        ((2031, 6, 20, 19, 30), 5, EAST, (2031, 6, 20, 19, 0)),
        # clocks go from 2 to 3 on 30 March 2031: 02:00 counts at 01:00 UTC, as before the change
        ((2031, 3, 30, 1, 10), 2, "CET", (2031, 3, 30, 1, 0)),
        # and from 3 to 2 on 26 October: the first of the two
        ((2031, 10, 26, 1, 30), 2, "CET", (2031, 10, 26, 0, 0)),
    ],
)
def test_the_hour_strikes_once_a_day(
    now: tuple[int, ...], hour: int, zone: str, struck: tuple[int, ...]
) -> None:
    """The last strike at or before now, also where a change of the clock leaves an hour out or
    shows it twice."""
    found = struck_last(datetime(*now, tzinfo=UTC), hour, ZoneInfo(zone))  # type: ignore[misc,arg-type]
    assert found == datetime(*struck, tzinfo=UTC)  # type: ignore[misc,arg-type]


@pytest.mark.law
def test_it_is_done_once_for_each_strike_and_caught_up_after_a_stop(workplace: Workplace) -> None:
    """Never reviewed: due at once. Done: not due until five o'clock where most machines are; due
    after days of standing still, once; a rule of its own counts instead."""
    assert zone_of(workplace, DailyRule()) == EAST
    assert review_when_due(workplace) is not None
    strike = datetime(2031, 6, 20, 19, tzinfo=UTC)
    for moment, is_due in (
        (NOW, False), (strike - timedelta(seconds=1), False), (strike, True),
        (strike + timedelta(days=9), True),
    ):  # fmt: skip
        assert is_daily_due(at(workplace, moment)) is is_due
    late = at(workplace, strike + timedelta(days=9))
    review = review_when_due(late)
    assert review is not None
    assert review.changed == ()  # nothing is watched anew
    assert review_when_due(late) is None
    set_daily_rule(workplace, DailyRule(23, "Etc/UTC"))
    assert not is_daily_due(at(late, datetime(2031, 6, 29, 22, 59, tzinfo=UTC)))
    assert is_daily_due(at(late, datetime(2031, 6, 29, 23, 0, tzinfo=UTC)))
    for wrong in (DailyRule(24), DailyRule(5, "Nowhere/Near")):
        with pytest.raises(BadInput):
            set_daily_rule(workplace, wrong)


@pytest.mark.law
def test_it_is_never_at_work_twice(workplace: Workplace) -> None:
    """While one is at work another one waits for its turn, and one asked for by hand is told."""
    with reviewing_alone(workplace.home) as is_alone:
        assert is_alone
        assert review_when_due(workplace) is None
        with pytest.raises(BadInput, match="no other one at work"):
            review_fleet(workplace)
    assert workplace.register.load_reviews() == ()
    assert review_when_due(workplace) is not None


_KILLED = """
import os, signal, sys
from dataclasses import replace
from pathlib import Path
sys.path.insert(0, {tests!r})
from flows.test_daily_review import in_home
from balewright.flows.review_fleet import review_when_due
def tell(stage, done, total):
    if done == 2:
        os.kill(os.getpid(), signal.SIGKILL)
review_when_due(replace(in_home(Path(sys.argv[1])), progress=tell))
"""


@pytest.mark.law
def test_one_that_was_killed_goes_on_and_loses_nothing(workplace: Workplace) -> None:
    """Its process dies at the third machine: the first two are kept, the lock is free, the review
    counts as begun and not as done; the next look does the rest and tells what one review tells."""
    tests = str(Path(__file__).parents[1])
    command = [sys.executable, "-c", _KILLED.format(tests=tests), str(workplace.home)]
    died = subprocess.run(command, check=False, env=dict(os.environ))
    assert died.returncode == -signal.SIGKILL
    kept = workplace.register.load_reviews()
    assert [one.machine for one in kept] == ["A-1", "B-2"]
    assert last_daily_review(workplace) is None
    assert look_at_review(workplace).key == "review_begun"
    review = review_when_due(workplace)
    assert review is not None
    assert review.changed == ("C-3",)
    assert last_daily_review(workplace) == NOW
    told = {one.key: one.is_told for one in workplace.register.load_episodes()}
    assert told == {f"{serial}:burst:::1": True for serial in SERIALS}


@pytest.mark.own
def test_health_says_when_it_was_and_that_it_is_overdue(workplace: Workplace) -> None:
    """Never, on which day, and after more than a day how long ago, with what to do."""
    never = look_at_review(workplace)
    assert never.state is HealthState.LOOK
    review_fleet(workplace)
    assert say(look_at_review(workplace).said).endswith("2031-06-20 18:00 UTC.")
    assert look_at_review(workplace).state is HealthState.GOOD
    overdue = look_at_review(at(workplace, NOW + timedelta(days=3)))
    assert overdue.state is HealthState.LOOK
    assert say(overdue.said) == "Overdue. Since every machine was last reviewed: 3\u00a0days."
    assert overdue.cure is not None
    assert "balewright serve" in say(overdue.cure)
