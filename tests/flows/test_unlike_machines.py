"""Machines unlike their kind through the daily review: one episode that lasts, and ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from balewright.findings.episode import Episode, EpisodeState
from balewright.findings.finding import FindingKind
from balewright.flows.open_finding import open_finding
from balewright.flows.review_fleet import review_fleet
from balewright.flows.take_in_file import Handed, take_in_file
from balewright.flows.take_in_then_review import take_in_then_review
from balewright.flows.workplace import Workplace
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

NOW = datetime(2031, 6, 20, 18, tzinfo=UTC)
MACHINES = 14
ODD = "V-03"


def _csv(folder: Path, serial: str, first: int, count: int) -> Path:
    place = int(serial[-2:])
    rng = np.random.default_rng(100 * place + first)
    volts = 12.6 + 0.04 * (place % 5 - 2) + 0.05 * rng.standard_normal(count)
    volts -= 2.0 if serial == ODD else 0.0
    begun = datetime(2031, 6, 1, 6, tzinfo=UTC)
    rows = [
        f"{serial},{n},{(begun + timedelta(minutes=3 * n)).isoformat()},F-{n // 40},{v:.2f}"
        for n, v in zip(range(first, first + count), volts, strict=True)
    ]
    path = folder / f"{serial}-{first}.csv"
    head = "machine,bale_no,closed_at,job,supply_min_v\n"
    path.write_text(head + "\n".join(rows) + "\n", encoding="utf-8")
    return path


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """Fourteen machines of one profile with 200 bales each; one has two volts less."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    opened = replace(opened, clock=lambda: NOW, random=np.random.default_rng(1))
    for place in range(MACHINES):
        serial = f"V-{place:02}"
        take_in_file(opened, _csv(tmp_path, serial, 1, 200))
        opened.register.save_machine(MachineEntry(serial, serial, "mossgrinder-m2"))
    yield opened
    opened.register.close()


def _unlike(workplace: Workplace) -> list[Episode]:
    kind = FindingKind.UNLIKE_ITS_KIND
    return [one for one in workplace.register.load_episodes() if one.finding.kind is kind]


@pytest.mark.law
def test_an_unlike_machine_is_one_episode_until_it_is_like_the_others(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Told by the daily review of all its bales; sixty bales taken in between reviews leave it
    open, the next review goes on with it, another look writes nothing; once the machine is entered
    as of another profile nobody can say so any more, and it is closed."""
    review_fleet(workplace)
    (first,) = _unlike(workplace)
    assert (first.finding.machine, first.finding.measure) == (ODD, "supply_min_v")
    assert first.is_told
    assert (first.finding.since_bale, first.finding.until_bale) == (1, 200)
    opened = open_finding(workplace, first.key)  # its page has a chart and bales
    assert opened.readings is not None
    assert opened.evidence.bales.rows > 0
    path = _csv(tmp_path, ODD, 201, 60)
    take_in_then_review(workplace, Handed(path, path.name))
    (between,) = _unlike(workplace)
    assert (between.key, between.state) == (first.key, EpisodeState.OPEN)
    assert between.finding.until_bale == 260
    review_fleet(workplace)
    (again,) = _unlike(workplace)
    assert (again.key, again.state, again.opened_again) == (first.key, EpisodeState.OPEN, 0)
    assert again.is_told
    kept = workplace.register.load_reviews()
    assert review_fleet(workplace).changed == ()
    assert workplace.register.load_reviews() == kept
    workplace.register.save_machine(MachineEntry(ODD, ODD, "thistlewick-t1"))
    review_fleet(workplace)
    (gone,) = _unlike(workplace)
    assert (gone.key, gone.state) == (first.key, EpisodeState.CLOSED)
    assert workplace.register.load_findings(ODD) == ()
