"""Good bales of the ring machine in order, with some rows changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from balewright.findings.planned import plan_of
from balewright.findings.watched import Watched, watch_machine
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable

Watch = Callable[..., Watched]


@pytest.fixture
def watch(
    make_bales: Callable[..., BaleTable], ring: Machine, sheets: Mapping[str, Sheet]
) -> Watch:
    """`watch(60, {(from, to): {column: value or function of the row}})`."""

    def run(count: int, changed: Mapping[tuple[int, int], Mapping[str, Any]] = {}) -> Watched:
        return watch_machine("RING-1", ring, make_bales(count, changed), plan_of(sheets, ring))

    return run
