"""Drivers are held only against others on the same machine in the same job."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from balewright.flows.compare_people import allow_people, compare_people
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

BEGIN = datetime(2031, 5, 1, 6, tzinfo=UTC)


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """An empty workplace."""
    made = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    yield made
    made.register.close()


def records(jobs: dict[str, dict[str, tuple[int, int]]]) -> str:
    """Bale CSV of machine D-1: by job and driver, bales and how many of them broke film once."""
    lines, number = ["machine,bale_no,job,operator,full_at,film_breaks"], 0
    for job, drivers in jobs.items():
        for driver, (bales, breaks) in drivers.items():
            for place in range(bales):
                number += 1
                at = (
                    f"2031-05-{1 + number // 600:02d}T{number // 60 % 24:02d}:{number % 60:02d}:00Z"
                )
                lines.append(f"D-1,{number},{job},{driver},{at},{int(place < breaks)}")
    return "\n".join(lines) + "\n"


@pytest.mark.derived
def test_a_hard_field_does_not_speak_against_its_driver(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Each breaks as often as the other in the same job: both once as often as the rest, though
    one drove mostly in the field where film breaks. Expected breaks are the job's, by bales."""
    jobs = {
        "easy": {"Anke": (200, 2), "Bero": (50, 0)},
        "hard": {"Anke": (50, 10), "Bero": (200, 40)},
    }
    path = tmp_path / "d.csv"
    path.write_text(records(jobs), encoding="utf-8")
    take_in_file(workplace, path)
    workplace.register.save_machine(MachineEntry("D-1", "D", "mossgrinder-m2", "Etc/UTC", None))
    assert compare_people(workplace, None) is None
    allow_people(workplace, "training", None)
    told = compare_people(workplace, None)
    assert told is not None
    by_name = {one.name: one for one in told["film_breaks"]}
    anke, bero = by_name["Anke"], by_name["Bero"]
    assert (anke.bales, anke.breaks, bero.breaks) == (250, 12, 40)
    assert anke.expected == pytest.approx(2 * 200 / 250 + 50 * 50 / 250)
    assert bero.expected == pytest.approx(2 * 50 / 250 + 50 * 200 / 250)
    assert anke.times is not None
    assert anke.times.low < 1.0 < anke.times.high
