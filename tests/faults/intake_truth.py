"""What must be true of a home after any fault: nothing lost, nothing twice, no litter."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from balewright.flows.read_book import BookQuery, read_book
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import Dataset

HEAD = "machine,bale_no,counter_epoch,tipped_at,job,mass_kg"
MACHINES = ("HAZE-1", "HAZE-2", "HAZE-3")


@dataclass(frozen=True)
class Season:
    """Files of `rows` bales each, every one sharing `overlap` bales with the one before it."""

    rows: int
    overlap: int
    files: tuple[Path, ...]

    def bales_of(self, name: str) -> set[int]:
        """Numbers of the bales that a file holds."""
        first = int(name.removesuffix(".csv")) * (self.rows - self.overlap)
        return set(range(first, first + self.rows))


def write_season(folder: Path, count: int, rows: int, overlap: int) -> Season:
    """Make the files."""
    folder.mkdir()
    files = []
    for number in range(count):
        first = number * (rows - overlap)
        lines = (
            f"{MACHINES[bale % 3]},{bale},0,{_time(bale)},J{number},{500 + bale % 300}"
            for bale in range(first, first + rows)
        )
        path = folder / f"{number:03d}.csv"
        path.write_text("\n".join([HEAD, *lines, ""]))
        files.append(path)
    return Season(rows, overlap, tuple(files))


def _time(bale: int) -> str:
    day, minute = divmod(bale, 1_000)
    month, day = 5 + day // 28, 1 + day % 28
    return f"2031-{month:02d}-{day:02d}T{minute // 60:02d}:{minute % 60:02d}:00Z"


def open_home(home: Path) -> Workplace:
    """As the next start does."""
    return open_workplace(load_settings({**_database(), "BALEWRIGHT_HOME": str(home)}))


def _database() -> dict[str, str]:
    """The database the harness says, if it says one."""
    name = "BALEWRIGHT_DATABASE"
    return {name: os.environ[name]} if name in os.environ else {}


def check_home(home: Path, season: Season, acknowledged: set[str]) -> set[str]:
    """Open the home as the next start does and hold everything against what was promised.

    acknowledged: names of files of which somebody was told that they are in. Gives the names of
    the files that are in. Raises AssertionError for anything lost, doubled or left lying.
    """
    place = open_home(home)
    try:
        taken = {entry.name: entry for entry in place.register.load_intakes()}
        assert acknowledged <= set(taken), f"lost: {sorted(acknowledged - set(taken))}"
        assert all(entry.kept == season.rows for entry in taken.values()), "half a file"
        rows = sum(part.rows for part in place.register.load_parts(Dataset.BALES))
        assert rows == season.rows * len(taken), "half a file, or one twice"
        _check_litter(place, home, {entry.sha256 for entry in taken.values()})
        expected = set().union(*(season.bales_of(name) for name in taken)) if taken else set()
        got = [
            int(number)
            for machine in MACHINES
            for number in place.journal.read_bales(machine, ["bale_no"]).column("bale_no")
        ]
        assert sorted(got) == sorted(expected), "a bale is lost or stands twice"
        book = read_book(place, BookQuery())
        assert book.bales == len(expected), "the book counts otherwise than the journal"
        return set(taken)
    finally:
        place.register.close()


def _check_litter(place: Workplace, home: Path, hashes: set[str]) -> None:
    root = place.journal.root
    listed = place.register.load_part_paths()
    lying = {str(path.relative_to(root)) for path in root.rglob("*.parquet*")}
    assert lying == listed, f"not as listed: {sorted(lying ^ listed)[:5]}"
    kept = {path.name for path in (home / "originals").glob("*")}
    for path in (home / "originals").glob("*/*"):
        content = hashlib.sha256(path.read_bytes()).hexdigest()
        assert content == path.parent.name, "an original is not what was handed over"
    assert sum(1 for _ in (home / "originals").glob("*/*")) == len(kept), "an original is empty"
    assert kept == hashes, f"originals are not those of the ledger: {sorted(kept ^ hashes)[:5]}"
    assert place.journal.running() == frozenset(), "a mark of a dead intake stays"


def take_all(home: Path, files: Sequence[Path]) -> None:
    """Take every file in, as somebody does who does not know which arrived."""
    place = open_home(home)
    for file in files:
        assert take_in_file(place, file).state in ("taken", "already taken")
    place.register.close()
