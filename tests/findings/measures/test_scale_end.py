"""Sensors that stand at the end of their scale."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from balewright.findings.finding import FindingKind
from balewright.findings.measures.scale_end import find_scale_ends
from balewright.findings.watched import Watched, watch_machine
from balewright.plan.machine import Machine
from balewright.readers.open_records import open_records
from balewright.records.bales import concatenate
from balewright.words.say import say

Watch = Callable[..., Watched]


def put(watch: Watch, column: str, readings: np.ndarray) -> Watched:
    """Bales with these readings of a column."""
    values, count = iter(readings.tolist()), len(readings)
    return watch(count, {(0, count): {column: lambda _: next(values)}})


def found_on(watched: Watched, column: str) -> list[tuple[str, int]]:
    """Key and bales of what was found on a column."""
    found = [one for one in find_scale_ends(watched) if one.part == column]
    assert all(say(one.words).endswith(("higher.", "lower.")) for one in found)
    return [(one.words.key, one.bales) for one in found]


@pytest.mark.practice
def test_readings_cut_off_at_a_limit_are_told_and_others_are_not(watch: Watch) -> None:
    """Wet crop that a sensor cannot read above 62 %; the same crop read to the full, in coarse
    steps, or with the limit reached by few bales."""
    moisture = np.random.default_rng(5).normal(0.60, 0.04, 300)
    at_limit = int((moisture >= 0.62).sum())
    assert found_on(put(watch, "moisture_frac", np.minimum(moisture, 0.62)), "moisture_frac") == [
        ("findings.scale_end.high.frac", at_limit)
    ]
    low = put(watch, "moisture_frac", np.maximum(moisture, 0.58))
    assert [key for key, _ in found_on(low, "moisture_frac")] == ["findings.scale_end.low.frac"]
    for readings in (moisture, np.round(moisture, 1), np.minimum(moisture, 0.68),
                     np.minimum(np.round(moisture, 2), 0.62), np.full(300, 0.5)):  # fmt: skip
        assert found_on(put(watch, "moisture_frac", readings), "moisture_frac") == []
    # no additive on half of the bales is a zero, not the end of a scale
    litres = np.where(moisture > 0.6, 0.0, moisture * 2)
    assert found_on(put(watch, "additive_l", litres), "additive_l") == []


@pytest.mark.real_data
@pytest.mark.derived
def test_the_real_season_has_one_sensor_at_its_end(data_dir: Path, ring: Machine) -> None:
    """The first machine's moisture stands at 60.1 %, its highest value, on 124 of 157 bales, as
    counted by hand in the table that was read; the second one's does not."""
    folder = data_dir / "isoxml" / "10-square-baler-5-tasks-14-logs"
    bales = concatenate([batch.bales for batch in open_records(folder).batches])
    told: dict[str, list[tuple[FindingKind, str, int, int]]] = {}
    for serial in ("SN0001", "SN0002"):
        rows = np.flatnonzero(bales.column("machine") == serial)
        watched = watch_machine(serial, ring, bales.take(rows), {})
        told[serial] = [
            (one.kind, one.part, one.bales, one.looked_at) for one in find_scale_ends(watched)
        ]
    assert told == {
        "SN0001": [(FindingKind.SENSOR_FROZEN, "moisture_frac", 124, 157)],
        "SN0002": [],
    }
