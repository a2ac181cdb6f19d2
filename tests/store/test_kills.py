"""Killed in the middle of an intake, twenty times: nothing lost, nothing twice, no litter.

`kill -9` says nothing of disks that lie about flushing; it says that no step of ours leaves a
state from which the next start does not recover.
"""

from __future__ import annotations

import multiprocessing
import runpy
import time
from multiprocessing.process import BaseProcess
from pathlib import Path

import numpy as np
import pytest

from balewright.flows.compact_journal import compact_journal
from balewright.flows.workplace import Workplace
from balewright.settings import load_settings, open_workplace
from balewright.store.compaction import list_due
from balewright.store.entries import Dataset

KILLS = 20
ROWS = 1_500
OVERLAP = 300
SEED = 20_310_601
CHILD = Path(__file__).with_name("kill_child.py")
MACHINES = ("HAZE-1", "HAZE-2", "HAZE-3")


def _files(folder: Path, count: int) -> list[Path]:
    """Files of ROWS bales, each sharing OVERLAP bales with the one before it."""
    folder.mkdir()
    files = []
    for number in range(count):
        first = number * (ROWS - OVERLAP)
        rows = (
            f"{MACHINES[bale % 3]},{bale},0,{_time(bale)},J{number},{500 + bale % 300}"
            for bale in range(first, first + ROWS)
        )
        path = folder / f"{number:03d}.csv"
        head = "machine,bale_no,counter_epoch,tipped_at,job,mass_kg"
        path.write_text("\n".join([head, *rows, ""]))
        files.append(path)
    return files


def _time(bale: int) -> str:
    day, minute = divmod(bale, 1_000)
    month, day = 5 + day // 28, 1 + day % 28
    return f"2031-{month:02d}-{day:02d}T{minute // 60:02d}:{minute % 60:02d}:00Z"


def _open(home: Path) -> Workplace:
    return open_workplace(load_settings({"BALEWRIGHT_HOME": str(home)}))


def _check(home: Path, said: Path) -> int:
    """Open anew, as the next start does, and hold everything against what was committed.

    Gives how many files are in.
    """
    before = _lying_about(home)
    workplace = _open(home)
    taken = {entry.name: entry for entry in workplace.register.load_intakes()}
    acknowledged = set(said.read_text().split()) if said.exists() else set()
    assert acknowledged <= set(taken), "an acknowledged file is lost"
    assert all(entry.kept == ROWS for entry in taken.values())
    parts = workplace.register.load_parts(Dataset.BALES)
    assert sum(part.rows for part in parts) == ROWS * len(taken), "half a file, or one twice"
    root = workplace.journal.root
    lying = {str(p.relative_to(root)) for p in root.rglob("*.parquet*")}
    listed = workplace.register.load_part_paths()
    assert lying == listed, f"orphans stayed; before the start there lay {before}"
    kept = {path.name for path in (home / "originals").glob("*")}
    assert kept == {entry.sha256 for entry in taken.values()}
    assert workplace.journal.running() == frozenset()
    expected: set[int] = set()
    for name in taken:
        first = int(name.removesuffix(".csv")) * (ROWS - OVERLAP)
        expected |= set(range(first, first + ROWS))
    found = [
        number
        for machine in MACHINES
        for number in workplace.journal.read_bales(machine, ["bale_no"]).column("bale_no").tolist()
    ]
    assert sorted(found) == sorted(expected), "a bale is lost or doubled"
    for place, machine in enumerate(MACHINES):
        highest = max((number for number in expected if number % 3 == place), default=None)
        assert workplace.register.load_lifetime(machine) == highest, "a mark without its bales"
    workplace.register.close()
    return len(taken)


def _lying_about(home: Path) -> list[str]:
    places = [home / "journal" / "running", *(home / "journal" / "bales").rglob("*.tmp")]
    places += (home / "originals").glob("incoming-*")
    running = list(places[0].iterdir()) if places[0].is_dir() else []
    return [path.name for path in (*running, *places[1:])]


def _start(home: Path, files: list[Path], said: Path, stop_at: str = "") -> BaseProcess:
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(
        ["balewright.flows.take_in_file", "balewright.settings", "pandas", "pyarrow.dataset"]
    )
    process = context.Process(
        target=runpy.run_path,
        args=(str(CHILD), {"asked": (home, files, said, stop_at)}, "kill_child"),
    )
    process.start()
    return process


@pytest.mark.law
def test_twenty_kills_lose_nothing_and_double_nothing(tmp_path: Path) -> None:
    """Every kill at a moment drawn by a seeded generator; every second time two work at once."""
    home, said = tmp_path / "home", tmp_path / "said.txt"
    _open(home).register.close()
    (home / "originals").mkdir()
    files = _files(tmp_path / "files", KILLS + 5)
    chance = np.random.default_rng(SEED)

    # How long one file takes here and now, so that the moments fall into the work. The first one
    # also waits until the server of processes has loaded everything.
    one_s = 0.0
    for count in (1, 2):
        began = time.monotonic()
        process = _start(home, files[:count], said)
        process.join(120)
        assert process.exitcode == 0
        one_s = time.monotonic() - began

    cut_short = 0
    for kill in range(KILLS):
        working = [_start(home, files, said) for _ in range(1 + kill % 2)]
        time.sleep(float(chance.uniform(0.1, 1.2)) * one_s)
        for process in working:
            process.kill()
            process.join(60)
            assert process.exitcode in {-9, 0}, "it failed before it was killed"

        cut_short += bool(_lying_about(home))
        _check(home, said)
    assert cut_short > 0, "no kill fell into an intake"

    process = _start(home, files, said)
    process.join(240)
    assert process.exitcode == 0
    assert _check(home, said) == len(files)


@pytest.mark.law
@pytest.mark.parametrize(
    ("stop_at", "taken"),
    [
        ("before balewright.store.intake_files IntakeFiles _write_held", 0),
        ("before balewright.store.intake_files IntakeFiles _finish", 0),
        ("after balewright.store.intake_files IntakeFiles _finish", 0),
        ("after balewright.store.intake_files IntakeFiles finish", 0),
        ("after balewright.store.originals Originals keep", 0),
        ("before balewright.store.shelves.register Register _widen_spans", 0),
        ("after balewright.store.shelves.register Register _widen_spans", 0),
        ("after balewright.store.shelves.register Register _add_jobs", 0),
        ("after balewright.store.shelves.register Register commit_intake", 1),
        ("before balewright.store.running RunningMark end", 1),
    ],
)
def test_a_kill_at_any_step_is_all_or_nothing(tmp_path: Path, stop_at: str, taken: int) -> None:
    """Up to the end of the one transaction nothing counts; from there on everything does."""
    home, said = tmp_path / "home", tmp_path / "said.txt"
    files = _files(tmp_path / "files", 1)
    process = _start(home, files, said, stop_at)
    process.join(120)
    assert process.exitcode == -9
    assert _check(home, said) == taken
    process = _start(home, files, said)
    process.join(120)
    assert process.exitcode == 0
    assert _check(home, said) == 1


@pytest.mark.law
@pytest.mark.parametrize(
    ("stop_at", "generation"),
    [
        ("after balewright.store.compaction _Written _write", 0),
        ("after balewright.store.compaction _Written write", 0),
        ("before balewright.store.shelves.register Register _lock_generation", 0),
        ("after balewright.store.shelves.register Register swap_parts", 1),
        ("before balewright.store.journal Journal retire", 1),
    ],
)
def test_a_kill_while_files_are_merged_leaves_the_old_or_the_new(
    tmp_path: Path, stop_at: str, generation: int
) -> None:
    """Bales, marks and files are right after the next start, which may merge what is left."""
    home, said = tmp_path / "home", tmp_path / "said.txt"
    files = _files(tmp_path / "files", 2)
    process = _start(home, files, said, stop_at)
    process.join(120)
    assert process.exitcode == -9
    assert _check(home, said) == 2
    workplace = _open(home)
    made = workplace.register.load_compacted().values()
    assert sum(line.generation for line in made) == generation
    compact_journal(workplace)
    assert list_due(workplace.journal, every=True) == ()
    workplace.register.close()
    assert _check(home, said) == 2
