"""The manager's morning, phone in hand, as it is meant to go.

Today says in one plain sentence each what is most harmful. One line is opened: what moved, since
which bale, how sure, the chart, the bales and the file they came in. One of the bales is looked
at. The finding is set aside with a reason, is gone from Today, is found again on its machine, and
is taken back. Then the machines of the make are set side by side, and the film by batch.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse
from tests.desk.finding_records import SERIAL, keep_machine, key_of_pressure

from balewright.flows.review_fleet import review_fleet

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def test_the_morning_walk(desk: Desk, tmp_path: Path) -> None:
    """Every step follows a link or a form of the page before; nothing needs a script."""
    from balewright.desk.workplace import the_workplace

    workplace, person = the_workplace(), desk.manager
    keep_machine(workplace, tmp_path)
    keep_machine(workplace, tmp_path, "R-8", 10_000, "Green one")
    assert "has not been reviewed yet" in person.get("/").content.decode()
    review_fleet(workplace)

    today = person.get("/").content.decode()
    assert re.search(r"Last daily review: \d{4}-\d\d-\d\d", today)
    assert "A daily review is due" not in today
    assert "Costs as long as it lasts" in today
    address = reverse("finding", args=[key_of_pressure(workplace)])
    line = re.search(rf'href="{re.escape(address)}">(.*?)</a>', today, re.S)
    assert line is not None
    assert "the chamber presses less hard" in line[1]

    finding = person.get(address).content.decode()
    (aside,) = re.findall(r'action="([^"]+/aside)#aside"', finding)
    bale = re.search(rf'href="(/machines/{SERIAL}/bales/[^"]+)"', finding)
    report = re.search(r'href="(/intake/reports/[0-9a-f]{64})"', finding)
    assert bale is not None
    assert report is not None
    assert person.get(bale[1]).status_code == 200
    assert person.get(report[1]).status_code == 200

    desk.post(person, aside, reason="gauge swapped in the field", until="2999-01-01")
    assert address not in person.get("/").content.decode()
    machine = person.get(f"/machines/{SERIAL}").content.decode()
    assert "Set aside (1)" in machine
    assert address in machine
    kept = person.get(address).content.decode()
    assert "gauge swapped in the field" in kept
    (back,) = re.findall(r'action="([^"]+/back)"', kept)
    desk.post(person, back)
    assert address in person.get("/").content.decode()

    assert 'href="/fleet"' in person.get("/machines").content.decode()
    fleet = person.get("/fleet?measure=chamber_bar").content.decode()
    assert "Green one" in fleet
    assert "Blue one" in fleet
    assert "fewer than five machines" in fleet
    assert person.get("/fleet/rolls").status_code == 200


def test_a_sensor_that_went_silent_stands_apart_and_what_closed_is_told(desk: Desk) -> None:
    """Silent columns are no bales gone wrong; what bales show gone since yesterday is said once."""
    from dataclasses import replace

    from tests.desk.test_today import add_machine, found

    from balewright.desk.workplace import the_workplace
    from balewright.findings.episode import Episode, EpisodeState
    from balewright.findings.finding import FindingKind, Weight

    add_machine()
    now_us = round(the_workplace().clock().timestamp() * 1e6)
    silent = replace(found(Weight.NOTE, now_us), kind=FindingKind.NOT_WATCHED)
    gone = found(Weight.NOTE, now_us - 9)
    closed = Episode("Q-7:burst:::1", gone, EpisodeState.CLOSED, 0, 0, closed_us=now_us - 5)
    long_ago_us = now_us - 200_000_000_000
    episodes = [
        Episode("Q-7:not watched:::1", silent, EpisodeState.OPEN, 0, 0),
        closed,
        replace(closed, key="Q-7:burst:::2", number=2, closed_us=long_ago_us),
        replace(closed, key="Q-7:burst:::3", number=3, withdrawn=True),
    ]
    the_workplace().register.revise_episodes("Q-7", lambda _: episodes)
    for one in episodes:  # also where no bale is kept any more
        assert desk.reader.get(reverse("finding", args=[one.key])).status_code == 200
    withdrawn = desk.reader.get(reverse("finding", args=[episodes[-1].key])).content.decode()
    assert "Nothing was mended; it was not so." in withdrawn
    page = desk.reader.get("/").content.decode()
    silent_at, closed_at = page.index('id="silent"'), page.index('id="closed"')
    assert silent_at < page.index("/findings/Q-7:not%20watched:::1") < closed_at
    assert page.index("/findings/Q-7:burst:::1") > closed_at
    assert "/findings/Q-7:burst:::2" not in page
    assert "/findings/Q-7:burst:::3" not in page
