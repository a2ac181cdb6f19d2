"""A power cut at any moment of an intake loses nothing that was said to be in, and doubles nothing.

A sample of what `power_cuts.py` looks at; see there.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from balewright.quantities.errors import BadInput
from faults.disk_model import everything, nothing, write_image
from faults.disk_replay import Disk
from faults.disk_trace import Call, is_there
from faults.intake_truth import Season, check_home, write_season
from faults.power_cuts import check, cuts, record

EVERY = 400

Recorded = tuple[Path, Season, str, tuple[Call, ...]]


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Recorded:
    """Three files taken in under the tracer."""
    if not is_there():
        pytest.skip("strace is not there or may not be used")
    folder = tmp_path_factory.mktemp("power")
    season = write_season(folder / "files", 3, 60, 20)
    home, calls = record(folder, season)
    return folder, season, home, calls


@pytest.mark.law
def test_the_replayed_disk_is_the_real_one(recorded: Recorded, tmp_path: Path) -> None:
    """Every call done again, nothing lost: the same files with the same bytes as the process left.

    The register's shared memory is left out: it is not written but mapped, and made anew.
    """
    _, _, home, calls = recorded
    disk = Disk(home)
    assert sum(1 for _ in disk.replay(calls)) > 500
    write_image(disk.root, tmp_path / "image", everything)
    real = {path.relative_to(home): path for path in Path(home).rglob("*") if path.is_file()}
    again = {path.relative_to(tmp_path / "image"): path for path in tmp_path.rglob("*")
             if path.is_file()}  # fmt: skip
    left_out = {Path("register.sqlite3-shm")}
    assert real.keys() - left_out == again.keys() - left_out
    for name in again.keys() - left_out:
        assert real[name].read_bytes() == again[name].read_bytes(), name


@pytest.mark.law
def test_a_cut_at_any_point_heals(recorded: Recorded) -> None:
    """What was said to be in is in, once; a file that was not may come again; no litter stays."""
    folder, season, home, calls = recorded
    looked, had = 0, set()
    for cut in cuts(home, calls, folder, EVERY):
        looked += 1
        had.add(len(check(cut, season, whole=looked % 10 == 0)))
    assert looked > 20
    assert had >= {0, 1, 2}, "points before, between and after the commits were met"


@pytest.mark.law
@pytest.mark.parametrize("unflushed", ["/journal/", "/originals/", "register.sqlite3"])
def test_the_harness_would_see_a_missing_flush(
    recorded: Recorded, tmp_path: Path, unflushed: str
) -> None:
    """With the flushes of one part of the home left out, the last image is seen to be wrong."""
    _, season, home, calls = recorded
    careless = [
        call
        for call in calls
        if call.name not in ("fsync", "fdatasync") or unflushed not in call.handle(0)[1]
    ]
    disk = Disk(home)
    for _ in disk.replay(careless):
        pass
    write_image(disk.root, tmp_path / "image", nothing)
    (tmp_path / "image" / "said").unlink(missing_ok=True)
    with pytest.raises((AssertionError, BadInput)):
        check_home(tmp_path / "image", season, {file.name for file in season.files})
