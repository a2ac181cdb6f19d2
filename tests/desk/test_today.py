"""The first page: what needs attention."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pytest

from balewright.findings.episode import Episode, EpisodeState
from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.quantities.reason import because
from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def found(weight: Weight, since_us: int) -> Finding:
    """A finding on machine Q-7 that says how many bales burst."""
    return Finding(
        machine="Q-7",
        kind=FindingKind.BURST,
        weight=weight,
        since_bale=12,
        until_bale=14,
        since_us=since_us,
        bales=3,
        looked_at=40,
        planned=None,
        seen=None,
        unit="",
        evidence=("status",),
        sheet=None,
        words=because("desk.today.count", count=3, machines=40, fleet=41),
    )


def keep_found(findings: Sequence[Finding]) -> None:
    """Episodes of machine Q-7 that last, one for each finding."""
    from balewright.desk.workplace import the_workplace

    episodes = [
        Episode(f"Q-7:burst:::{n}", one, EpisodeState.OPEN, 0, 0, number=n)
        for n, one in enumerate(findings, 1)
    ]
    the_workplace().register.revise_episodes("Q-7", lambda _: episodes)


def add_machine() -> None:
    """Machine Q-7 in the register, with a make that is shipped."""
    from balewright.desk.workplace import the_workplace

    workplace = the_workplace()
    entry = MachineEntry("Q-7", "Blue one <b>", next(iter(workplace.profiles)), "Etc/UTC", None)
    workplace.register.save_machine(entry)


def test_an_empty_desk_says_where_to_begin(desk: Desk) -> None:
    """A newcomer is led to the first steps that their role includes."""
    page = desk.manager.get("/").content.decode()
    assert "Begin here" in page
    assert 'href="/machines/add"' in page
    assert 'href="/machines/add"' not in desk.technician.get("/").content.decode()
    assert 'href="/sheet"' not in desk.reader.get("/").content.decode()


def test_the_most_urgent_stands_first_with_its_machine(desk: Desk) -> None:
    """Harm before notes; each line names its machine and leads to the finding."""
    add_machine()
    may_us = 1_936_000_000_000_000  # 2031-05-08 UTC
    findings = (found(Weight.NOTE, may_us + 1), found(Weight.HARM, may_us))
    keep_found(findings)
    page = desk.reader.get("/").content.decode()
    assert page.index(">Harm<") < page.index(">Note<")
    assert "Blue one &lt;b&gt;" in page
    assert "3 to look at, on 40 of 41" in page
    assert 'href="/findings/Q-7:burst:::2"' in page
    assert "since 2031-05-08" in page


def test_a_calm_fleet_is_called_calm(desk: Desk) -> None:
    """Without findings the page says so, and that what is not sensed is not watched."""
    add_machine()
    page = desk.reader.get("/").content.decode()
    assert "is not watched" in page


def test_fifty_lines_a_page(desk: Desk) -> None:
    """The fifty-first line stands on the second page."""
    add_machine()
    findings = tuple(found(Weight.NOTE, place) for place in range(51))
    keep_found(findings)
    first, second = desk.reader.get("/"), desk.reader.get("/?page=2")
    assert first.content.decode().count('class="item note"') == 50
    assert second.content.decode().count('class="item note"') == 1
    assert "Page 1 of 2" in first.content.decode()
