"""Episodes, set-asides and the watch's states: what the register is given it gives back."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from balewright.findings.episode import Episode, EpisodeState, Outbreak, Revision
from balewright.findings.episodes import follow, set_aside, take_back
from balewright.findings.finding import FindingKind, Start, Weight, Worth
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.store.databases import database_for
from balewright.store.register import open_register
from balewright.store.reviews import KindState, ReviewEntry, WatchState
from findings.episodes_by_hand import MACHINE, by_chart, found, judged_bales, made_us

if TYPE_CHECKING:
    from balewright.store.shelves.register import Register

NOON = datetime(2031, 6, 1, 12, tzinfo=UTC)
NOW_US = 1_938_081_600_000_000
START = Start(90, 110, made_us(90), None, 0.9)
FULL = replace(
    by_chart(found(100, 150), "gate_opening_mm"),
    part="dispenser 1",
    start=START,
    moved=Interval(3.0, 8.0, 9.0, 0.9),
    worth=Worth(Interval(0.1, 0.2, 0.4), because("findings.risk.spoils")),
    adjusted_for=("moisture", "crop"),
)
EPISODE = Episode(
    key="HAZE-1:gate opening off:gate_opening_mm:dispenser 1:2",
    finding=FULL,
    state=EpisodeState.CLOSED,
    told_us=NOW_US,
    seen_us=NOW_US + 5,
    closed_us=NOW_US + 9,
    opened_again=1,
    revisions=(Revision(NOW_US, 100, None, START, None),),
    admitted=False,
    number=2,
    outbreaks=(
        Outbreak(1, made_us(1), 9, made_us(9), None, ("gate_opening_mm",)),
        Outbreak(100, made_us(100), None, None, START, ("gate_opening_mm", "mass_kg")),
    ),
    beside=(found(100, 120),),
    under="another",
    joined="an older",
    withdrawn=True,
)


@pytest.fixture
def register(tmp_path: Path) -> Iterator[Register]:
    """An empty register."""
    with open_register(tmp_path / "register.sqlite3") as opened:
        yield opened


@pytest.mark.law
def test_an_episode_comes_back_with_all_it_holds(register: Register) -> None:
    """Every field, set aside twice with reasons that stay; two keys are two episodes."""
    aside = set_aside(EPISODE, "the gate is set so", NOW_US + 10, "ann", NOW_US + 99)
    again = set_aside(take_back(aside, NOW_US + 11, "ben"), "seen to", NOW_US + 12, None)
    register.revise_episodes(MACHINE, lambda _: (aside,))
    register.revise_episodes(MACHINE, lambda _: (again,))
    other = replace(EPISODE, key="other", number=3)
    register.revise_episodes(MACHINE, lambda before: (*before, other))
    assert register.load_episodes() == (again, other)
    assert register.load_episode(again.key) == again
    assert register.load_episode("nobody's") is None
    assert [one.reason for one in again.aside_before] == ["the gate is set so"]


@pytest.mark.law
def test_a_review_is_kept_whole_or_not_at_all(register: Register) -> None:
    """Findings, mark, states and episodes in one transaction: where it breaks, the last review
    stands as it was."""
    state = WatchState(MACHINE, 150, made_us(150), 1, "m" * 64, "a" * 64, b"\x00state")
    review = ReviewEntry(MACHINE, NOON, (FULL,), "mark", 52, (state,))
    kept = register.keep_review(review, lambda _: (EPISODE,))
    assert kept == (EPISODE,) == register.load_episodes(MACHINE)
    before = (register.load_review(MACHINE), register.load_findings(), register.count_charts())
    assert before[1:] == ((FULL,), 52)
    with pytest.raises(ZeroDivisionError):
        register.keep_review(
            ReviewEntry(MACHINE, NOON + timedelta(1), (), "new", 1, ()), lambda _: [1 / 0]
        )

    def breaks(*_: object) -> None:
        raise OSError("power")

    later = replace(review, reviewed_at=NOON + timedelta(1), findings=(), mark="new")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(register, "_set_states", breaks)
        with pytest.raises(OSError, match="power"):
            register.keep_review(later, lambda _: (replace(EPISODE, seen_us=1),))
    assert register.load_episodes() == (EPISODE,)
    assert register.load_watch_states(MACHINE) == (state,)
    after = (register.load_review(MACHINE), register.load_findings(), register.count_charts())
    assert after == before


@pytest.mark.law
def test_states_are_those_of_the_last_review(register: Register) -> None:
    """What is not among them goes, what is there stays, another mark at the same bale is another
    state; forgetting takes one machine's or all; a kind is replaced."""

    def state(bales: int, mark: str, machine: str = MACHINE) -> WatchState:
        return WatchState(machine, bales, None, 1, mark, "a", f"{bales}{mark}".encode())

    def keep(machine: str, *states: WatchState) -> None:
        register.keep_review(ReviewEntry(machine, NOON, (), states=states), lambda _: ())

    keep(MACHINE, state(1000, "x"), state(1500, "x"))
    keep(MACHINE, state(1000, "x"), state(1500, "y"), state(2000, "y"))
    keep("Q-7", state(10, "q", "Q-7"))
    told = [(one.bales, one.mark) for one in register.load_watch_states(MACHINE)]
    assert told == [(1000, "x"), (1500, "y"), (2000, "y")]
    newest = register.load_newest_states([MACHINE, "Q-7", "nobody"])
    assert [one.body for one in newest] == [b"2000y", b"10q"]
    assert register.forget_watch_states(MACHINE) == 3
    assert register.forget_watch_states() == 1
    kind = KindState("amble-f", 1, 3, NOON, b"\xffkind")
    register.save_kind(kind)
    register.save_kind(replace(kind, machines=4))
    assert register.load_kind("amble-f") == replace(kind, machines=4)
    assert register.load_kind("other") is None


@pytest.mark.law
def test_admission_is_set_on_the_open_episodes_it_is_about(register: Register) -> None:
    """Those named are told or wait, closed ones and others stay as they were."""
    episodes = [
        replace(EPISODE, key=key, state=state, admitted=True)
        for key, state in (
            ("a", EpisodeState.OPEN),
            ("b", EpisodeState.OPEN),
            ("c", EpisodeState.OPEN),
            ("d", EpisodeState.CLOSED),
        )
    ]
    register.revise_episodes(MACHINE, lambda _: episodes)
    assert [one.key for one in register.load_open_chances()] == ["a", "b", "c"]
    register.set_admitted({"a"}, {"a", "b", "d"})
    told = {one.key: one.admitted for one in register.load_episodes()}
    assert told == {"a": True, "b": False, "c": True, "d": True}


OLD_BODY = {
    "since_bale": 100,
    "until_bale": 150,
    "since_us": made_us(100),
    "bales": 51,
    "looked_at": 51,
    "planned": 20.0,
    "seen": [27.0, 28.0, 29.0, None],
    "unit": "mm",
    "evidence": ["gate_opening_mm"],
    "sheet": None,
    "words": ["findings.gate.more", [["since_bale", 100]]],
}


@pytest.mark.law
def test_findings_of_the_version_before_live_on(tmp_path: Path) -> None:
    """Each becomes an episode; the next review goes on with them under the same keys, closes what
    ended and joins what is one matter."""
    from django.db import connections
    from django.db.migrations.executor import MigrationExecutor

    path = tmp_path / "register.sqlite3"
    with open_register(tmp_path / "other.sqlite3"):
        pass  # sets Django up
    connections.databases["as_before"] = connections.configure_settings(
        {"default": {}, "as_before": database_for(path)}
    )["as_before"]
    MigrationExecutor(connections["as_before"]).migrate([("store", "0005_upload_begins")])
    connections["as_before"].close()
    del connections.databases["as_before"]
    database = sqlite3.connect(path)
    late = OLD_BODY | {"since_bale": 160, "until_bale": 170, "since_us": made_us(160)}
    with database:
        database.execute(
            "insert into store_review(id, machine, reviewed_at) values (1, 'HAZE-1', ?)",
            ("2031-06-01 12:00:00",),
        )
        for place, (kind, body) in enumerate(
            [("gate opening off", late), ("burst", OLD_BODY), ("gate opening off", OLD_BODY)]
        ):
            database.execute(
                "insert into store_finding(review_id, place, kind, weight, body)"
                " values (1, ?, ?, 'cost', ?)",
                (place, kind, json.dumps(body)),
            )
    database.close()
    seen = replace(found(100, 170), until_us=None)
    burst = replace(found(100, 150, FindingKind.BURST, evidence=("status",)), until_us=None)
    with open_register(path) as register:
        assert len(register.load_findings("HAZE-1")) == 3
        first, second, third = register.load_episodes("HAZE-1")
        assert first.finding.weight is Weight.COST
        assert first.told_us == second.told_us == NOON.timestamp() * 1e6
        assert [one.number for one in (first, second, third)] == [1, 1, 2]
        bales = judged_bales(200)
        register.revise_episodes(
            "HAZE-1", lambda before: follow(before, [seen, burst], NOW_US, bales)
        )
        after = {one.key: one for one in register.load_episodes("HAZE-1")}
    gate, young = after["HAZE-1:gate opening off:::1"], after["HAZE-1:gate opening off:::2"]
    assert set(after) == {gate.key, young.key, "HAZE-1:burst:::1"}
    assert (gate.state, gate.finding.until_bale) == (EpisodeState.OPEN, 170)
    assert young.joined == gate.key
    assert after["HAZE-1:burst:::1"].state is EpisodeState.CLOSED
