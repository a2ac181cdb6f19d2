"""Many processes at one home: the same file, files that overlap, merging, correcting, reading."""

from __future__ import annotations

import multiprocessing
import runpy
from multiprocessing.process import BaseProcess
from pathlib import Path

import pytest

from balewright.store.entries import IntakeState
from faults.intake_truth import check_home, open_home, write_season

CHILD = Path(__file__).with_name("crowd_child.py")
FILES = 6


def _start(home: Path, files: list[Path], what: str, end: Path) -> BaseProcess:
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(
        ["balewright.flows.take_in_file", "balewright.settings", "pandas", "pyarrow.dataset"]
    )
    asked = {"asked": (home, files, what, end)}
    process = context.Process(target=runpy.run_path, args=(str(CHILD), asked, "crowd_child"))
    process.start()
    return process


@pytest.mark.law
def test_four_take_in_while_one_merges_one_corrects_and_one_reads(tmp_path: Path) -> None:
    """Two begin with the same file, all take all, in other orders: each file is in once, each bale
    once, every correction counts, and no reader ever sees a bale twice or fewer than before."""
    home, end = tmp_path / "home", tmp_path / "end"
    season = write_season(tmp_path / "files", FILES, 300, 100)
    open_home(home).register.close()
    files = list(season.files)
    orders = (files, list(files), files[::-1], files[3:] + files[:3])
    crowd = [_start(home, [], what, end) for what in ("merge", "correct", "read")]
    takers = [_start(home, order, "take in", end) for order in orders]
    for process in takers:
        process.join(120)
    end.touch()
    for process in crowd:
        process.join(120)
    assert [process.exitcode for process in (*takers, *crowd)] == [0] * 7
    assert check_home(home, season, {file.name for file in files}) == {file.name for file in files}
    place = open_home(home)
    ledger = place.register.load_intakes()
    assert [entry.state for entry in ledger] == [IntakeState.TAKEN] * FILES
    put_right = {int(one.key[1:]) for one in place.register.load_corrections("HAZE-1")}
    assert put_right, "nobody came to correct"
    bales = place.journal.read_bales("HAZE-1", ["bale_no", "mass_kg"])
    masses = dict(zip(bales.column("bale_no").tolist(), bales.column("mass_kg"), strict=True))
    assert {number for number, mass in masses.items() if mass == 1111} == put_right
    assert place.register.load_lifetime("HAZE-1") == max(masses)
    place.register.close()
