"""The worker's daily review: it starts by itself, tells how far it is, and survives a fault."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def test_it_begins_at_the_start_and_ends_when_asked(desk: Desk) -> None:
    """A fleet that was never reviewed is, as soon as the worker is there; then it waits, and ends
    at once when asked to."""
    import time

    from tests.desk.finding_records import keep_machine

    from balewright.desk.daily import DailyReview
    from balewright.desk.workplace import the_workplace
    from balewright.flows.daily_review import last_daily_review

    workplace = the_workplace()
    keep_machine(workplace, desk.home)
    assert "never reviewed" in desk.manager.get("/health").content.decode()
    daily = DailyReview(workplace)
    daily.start()
    until = time.monotonic() + 30
    while last_daily_review(workplace) is None and time.monotonic() < until:
        time.sleep(0.05)
    daily.end()
    assert not daily.is_alive()
    assert last_daily_review(workplace) is not None
    assert "Every machine was last reviewed on" in desk.manager.get("/health").content.decode()


def test_a_fault_is_logged_and_tried_again_and_an_end_is_heard(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """A fault of ours ends nothing: it stands in the log and the next look is in an hour. Health
    says how far a review is; once the worker is to end, the next word of progress stops it."""
    from balewright.desk import daily as module
    from balewright.desk.workplace import the_workplace
    from balewright.flows.workplace import Workplace

    daily = module.DailyReview(the_workplace())

    def fails(workplace: Workplace) -> None:
        workplace.progress("reviewing", 3, 8)
        raise RuntimeError("a fault")

    monkeypatch.setattr(module, "review_when_due", fails)
    with caplog.at_level(logging.ERROR):
        assert daily.look() == module.AFTER_FAULT_S
    assert "tried again in an hour" in caplog.text
    assert "Machines reviewed: 3 of 8." in desk.manager.get("/health").content.decode()
    daily._ending.set()
    caplog.clear()
    assert daily.look() == module.LOOK_EVERY_S
    assert caplog.text == ""
