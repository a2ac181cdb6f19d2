"""Power cuts: an intake's writes replayed up to a point, then cut in every way a disk may cut.

python tests/faults/power_cuts.py            # every point, four ways each; some minutes
python tests/faults/power_cuts.py --every 20 # each twentieth point
"""

from __future__ import annotations

import argparse
import hashlib
import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from faults import disk_model
from faults.disk_replay import Disk
from faults.disk_trace import Call, trace
from faults.intake_truth import Season, check_home, take_all, write_season

CHILD = Path(__file__).with_name("intake_child.py")
QUIET_CALLS = frozenset({"write", "pwrite64"})
"""A cut between two of these differs little from its neighbours: only each n-th is looked at."""


@dataclass(frozen=True)
class Cut:
    """One image: after which call the power went, what was lost of what was not sure yet."""

    place: int
    call: str
    way: str
    home: Path
    acknowledged: frozenset[str]


def record(folder: Path, season: Season) -> tuple[str, tuple[Call, ...]]:
    """Take the season in, traced. Gives the home's path and the calls."""
    home = folder / "home"
    home.mkdir()
    command = [sys.executable, str(CHILD), str(home), str(home / "said")]
    return str(home), trace([*command, *map(str, season.files)], folder / "trace")


def cuts(home: str, calls: tuple[Call, ...], folder: Path, every: int) -> Iterator[Cut]:
    """Images that differ, one after the other; each is removed once the next is asked for.

    every: of the points between two plain writes only each so manieth; of all others each
    `every // 10`-th at least.
    """
    disk, met, count = Disk(home), set(), 0
    for place, call in disk.replay(calls):
        count += 1
        rare = call.name not in QUIET_CALLS
        if count % (max(1, every // 10) if rare else every):
            continue
        said = disk.root.seen.get("said")
        names = bytes(said.seen).decode().split() if isinstance(said, disk_model.File) else []
        ways = {
            "all that was not sure is lost": disk_model.nothing,
            "everything is there": disk_model.everything,
            f"by chance {place}": disk_model.by_chance(place),
            f"by chance {-place - 1}": disk_model.by_chance(-place - 1),
        }
        for way, choice in ways.items():
            target = folder / "cut"
            disk_model.write_image(disk.root, target, choice)
            (target / "said").unlink(missing_ok=True)
            digest = _digest(target)
            if digest not in met:
                met.add(digest)
                yield Cut(place, call.name, way, target, frozenset(names))
            shutil.rmtree(target)


def _digest(folder: Path) -> str:
    hashed = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        hashed.update(f"{path.relative_to(folder)}\0{path.is_dir()}\0".encode())
        if path.is_file():
            hashed.update(hashlib.sha256(path.read_bytes()).digest())
    return hashed.hexdigest()


def check(cut: Cut, season: Season, whole: bool) -> set[str]:
    """Hold an image against what was promised; `whole` also takes everything in once more."""
    taken = check_home(cut.home, season, set(cut.acknowledged))
    if whole:
        take_all(cut.home, season.files)
        assert check_home(cut.home, season, set(cut.acknowledged)) == {
            file.name for file in season.files
        }
    return taken


def run(folder: Path, every: int, tell: Any = lambda *_: None) -> int:
    """Record, cut and check; how many different images were looked at."""
    season = write_season(folder / "files", 3, 60, 20)
    home, calls = record(folder, season)
    looked = 0
    for cut in cuts(home, calls, folder, every):
        looked += 1
        try:
            check(cut, season, whole=looked % 7 == 0)
        except Exception as error:
            error.add_note(f"power cut after call {cut.place} ({cut.call}), {cut.way}")
            raise
        tell(looked, cut)
    return looked


def main() -> None:
    """Run by hand."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--every", type=int, default=1)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        looked = run(
            Path(folder),
            options.every,
            lambda n, cut: print(f"\r{n} images, call {cut.place}", end="", flush=True),
        )
    print(f"\n{looked} different images: nothing lost, nothing twice")


if __name__ == "__main__":
    main()
