"""The bench of the sheet's forms runs."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

BENCH = Path(__file__).parents[2] / "bench" / "sheet.py"


@pytest.mark.own
def test_the_bench_prints_a_row_for_every_form_of_every_make() -> None:
    """Two runs of each: seven forms and the sheet itself, three makes; how long they take is no
    matter of a test."""
    done = subprocess.run(
        [sys.executable, str(BENCH), "--runs", "2"], capture_output=True, text=True, check=False
    )
    assert done.stderr == ""
    rows = [row for row in done.stdout.splitlines() if row.startswith("| ") and "make" not in row]
    assert len(rows) == 3 * 8
    for row in rows:
        assert all(float(cell) >= 0 for cell in row.strip("|").split("|")[2:])
