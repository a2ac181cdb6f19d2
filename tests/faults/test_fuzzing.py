"""Every reader, some seconds of coverage-guided fuzzing; hours are for hands (`fuzzing.py`)."""

from __future__ import annotations

import importlib.util
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from faults.fuzz_targets import targets
from faults.fuzzing import run_one

HERE = Path(__file__).parent
SECONDS = 2
TARGETS = sorted(targets())
BY_HAND = {"guess-workbook"}
"""Near enough to others that seconds of them tell nothing more."""


@pytest.mark.own
@pytest.mark.parametrize("name", TARGETS)
def test_the_first_seed_is_understood(name: str) -> None:
    """Fuzzing begins from a file that its reader reads, so that it gets past the door."""
    target = targets()[name]
    assert run_one(target, target.seeds[0])


@pytest.mark.law
@pytest.mark.parametrize("name", sorted(set(TARGETS) - BY_HAND))
def test_nothing_but_errors_of_the_house_comes_out(name: str, tmp_path: Path) -> None:
    """No other exception, no input that takes long, no memory beyond bounds."""
    if importlib.util.find_spec("atheris") is None:
        pytest.skip("atheris is not there for this Python or machine")
    command = [sys.executable, str(HERE / "fuzzing.py"), name, "--seconds", str(SECONDS)]
    # Through a shell: a process takes over the greatest memory of the one that started it, and the
    # fuzzer would hold that of this whole test run against its reader.
    answer = subprocess.run(
        ["sh", "-c", '"$@"; exit $?', "sh", *command, "--corpus", str(tmp_path / "corpus")],
        check=False,
        capture_output=True,
        text=True,
        errors="replace",
        env=dict(os.environ, PYTHONPATH=str(HERE.parent)),
    )
    said = answer.stdout + answer.stderr
    assert answer.returncode == 0, said[-3000:]
    runs = re.search(r"Done (\d+) runs", said)
    assert runs is not None, said[-3000:]
    assert int(runs[1]) > 0


@pytest.mark.own
def test_branches_are_counted(tmp_path: Path) -> None:
    """The count of a corpus is of the reader's own modules, and a better corpus meets more."""
    (tmp_path / "one").write_bytes(b"x")
    few = _count(tmp_path)
    (tmp_path / "two").write_bytes(targets()["bale-csv"].seeds[0])
    more = _count(tmp_path)
    assert (few[0], more[0]) == (1, 2)
    assert 0 < few[1] < more[1] < more[2]


def _count(corpus: Path) -> tuple[int, int, int]:
    """Inputs, branches met and all, counted in a process that has imported nothing yet."""
    command = [sys.executable, str(HERE / "fuzzing.py"), "bale-csv", "--branches"]
    answer = subprocess.run(
        [*command, "--corpus", str(corpus)],
        check=True,
        capture_output=True,
        text=True,
        env=dict(os.environ, PYTHONPATH=str(HERE.parent)),
    )
    inputs, met, every = re.findall(r"\d+", answer.stdout)
    return int(inputs), int(met), int(every)
