"""The bench of the pace does what it says, in small."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]


@pytest.mark.law
def test_all_ways_end_every_bale_at_the_same_time() -> None:
    """The bench ends with 0 only where NumPy, bale by bale and as a running sum, and processes give
    the finish times of the recurrence to the last digit; it prints both ratios.
    """
    answer = subprocess.run(
        [
            *(sys.executable, "bench/pace.py", "--runs", "12", "--bales", "700"),
            *("--processes", "300", "--closed", "100"),
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert answer.returncode == 0, answer.stdout + answer.stderr
    assert "ratio to the faster NumPy" in answer.stdout
    assert answer.stdout.count("| 0.0 |") == 6
