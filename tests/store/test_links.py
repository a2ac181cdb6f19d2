"""Links, feedback and snapshots in the register."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from balewright.quantities.errors import BadInput
from balewright.store.entries import (
    Change,
    FeedbackEntry,
    LinkEntry,
    Outcome,
    SheetEntry,
    SnapshotEntry,
)
from balewright.store.register import open_register

NOON = datetime(2031, 6, 1, 12, tzinfo=UTC)
SHEET = SheetEntry("s1", "HAZE-1", "amble-f", NOON, {"turns": 16})
HASH = hashlib.sha256(b"some token").hexdigest()
LINK = LinkEntry(0, "s1", NOON, "mara", NOON + timedelta(days=7), note="Low field")
ANSWER = FeedbackEntry(
    "s1", "m1", Outcome.CHANGED, NOON, (Change("wrap_turns", "18"),), "Thorny.", "tove"
)


@pytest.mark.law
def test_a_link_comes_back_by_the_hash_alone(tmp_path: Path) -> None:
    """What was saved is found under its hash, opened and withdrawn once, and by no other hash."""
    with open_register(tmp_path / "register.sqlite3") as register:
        register.save_sheet(SHEET)
        made = register.save_link(HASH, LINK)
        assert register.load_link(HASH) == made
        assert register.load_link(HASH[:-1] + "0") is None
        register.count_opening(made.id)
        register.count_opening(made.id)
        assert not register.withdraw_link("another", made.id, NOON)
        assert register.withdraw_link("s1", made.id, NOON)
        assert not register.withdraw_link("s1", made.id, NOON + timedelta(days=1))
        (kept,) = register.load_links("s1")
        assert (kept.opened, kept.withdrawn_at, kept.note) == (2, NOON, "Low field")
        assert register.load_links("another") == ()


@pytest.mark.derived
def test_a_link_is_good_until_its_last_moment() -> None:
    """Good before `valid_until`, no more from it on, and never once withdrawn."""
    assert LINK.is_good(LINK.valid_until - timedelta(microseconds=1))
    assert not LINK.is_good(LINK.valid_until)
    withdrawn = LinkEntry(0, "s1", NOON, "mara", LINK.valid_until, withdrawn_at=NOON)
    assert not withdrawn.is_good(NOON)


@pytest.mark.law
def test_an_answer_is_kept_once_however_often_it_comes(tmp_path: Path) -> None:
    """The first one of a mark counts; another mark is another answer; unknown sheets are told."""
    other = FeedbackEntry("s1", "m2", Outcome.WORKED, NOON + timedelta(hours=1))
    again = FeedbackEntry("s1", "m1", Outcome.DID_NOT, NOON + timedelta(hours=2))
    with open_register(tmp_path / "register.sqlite3") as register:
        register.save_sheet(SHEET)
        made = register.save_link(HASH, LINK)
        assert register.add_feedback(ANSWER)
        assert not register.add_feedback(again)
        assert register.add_feedback(other, made.id)
        assert register.load_feedback("s1") == (other, ANSWER)
        assert register.load_feedback_of("HAZE-1") == (other, ANSWER)
        assert register.load_feedback_of("HAZE-2") == ()
        assert register.count_feedback(made.id) == 1
        with pytest.raises(BadInput, match="the id of a kept sheet"):
            register.add_feedback(FeedbackEntry("s9", "m1", Outcome.WORKED, NOON))
        with pytest.raises(BadInput, match="the id of a kept sheet"):
            register.save_link(HASH, LinkEntry(0, "s9", NOON, "mara", NOON))


@pytest.mark.law
def test_settings_come_back_in_their_order(tmp_path: Path) -> None:
    """Names and values stay what was read, of that machine alone, the newest first."""
    first = SnapshotEntry("n1", "HAZE-1", NOON, (("B", "2"), ("A", "1.50")), "typed in")
    second = SnapshotEntry("n2", "HAZE-1", NOON + timedelta(days=1), (), "a.csv", "new", "mara")
    with open_register(tmp_path / "register.sqlite3") as register:
        register.save_snapshot(first)
        register.save_snapshot(first)
        register.save_snapshot(second)
        assert register.load_snapshots("HAZE-1") == (second, first)
        assert register.load_snapshot("n1") == first
        assert register.load_snapshot("n3") is None
        assert register.load_snapshots("HAZE-2") == ()
