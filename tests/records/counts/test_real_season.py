"""The account of a real season, against what its logs' counters gain and sums by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from balewright.readers.task_data import open_task_data, task_bales
from balewright.records.bales import concatenate
from balewright.records.counts.account import account_for

pytestmark = [pytest.mark.derived, pytest.mark.real_data]


def test_every_bale_of_the_season_is_accounted_for(data_dir: Path) -> None:
    """157 and 76 bales, 233 in all as the logs' counters gain; the second machine's lifetime
    counter goes from 5039 to 5115; the first one's falls are its tasks' counts that begin again."""
    season = open_task_data(data_dir / "isoxml" / "10-square-baler-5-tasks-14-logs")
    bales = concatenate([batch.bales for batch in task_bales(season)])
    assert sum(each.bales or 0 for each in season.tasks) == 233
    first, second = (
        account_for(name, bales.take(bales.column("machine") == name))
        for name in sorted(set(bales.column("machine").tolist()))
    )
    (counter,) = first.counters
    assert (first.recorded, counter.numbers, counter.missing, counter.further) == (157, 128, 0, 29)
    assert [(step.from_no, step.to_no) for step in counter.steps_back] == [
        (5, 1), (4, 1), (11, 1), (9, 1),
    ]  # fmt: skip
    assert (first.suggested, first.lifetime.bales, first.lifetime.at_least) == ((), 157, True)
    (counter,) = second.counters
    assert (counter.first_no, counter.last_no, counter.missing) == (5040, 5115, 0)
    assert (second.recorded, second.lifetime.bales, second.lifetime.at_least) == (76, 5115, False)
