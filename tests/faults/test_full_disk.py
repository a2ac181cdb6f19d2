"""A disk that is full at any moment of any work, one that cannot be written, one of somebody else.

A real disk of a few megabytes is filled so that so many bytes are left, and given room again.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest

from balewright.flows.back_up_house import back_up_house
from balewright.flows.compact_journal import compact_journal
from balewright.flows.correct_bales import Asked, correct_bales
from balewright.flows.erase_personal import Erasing, ErasureKind, erase_personal, see_held
from balewright.flows.examine_house import examine_shut_house
from balewright.flows.restore_house import restore_house
from balewright.flows.take_in_file import take_in_file
from balewright.flows.take_in_pieces import UploadRequest, add_piece, begin_upload
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.store.health.lines import HealthState
from faults.intake_truth import Season, check_home, open_home, write_season
from faults.small_disk import SmallDisk, may_mount, small_disk

NOBODY: Final = 65_534
WIDEST_BYTES: Final = 8 << 20
PIECE: Final = b"x" * 600_000
ERASING: Final = Erasing(ErasureKind.OPERATOR, "Wren")


@dataclass(frozen=True)
class Ground:
    """A disk with a home on it: two files in, a third and a backup beside the disk."""

    disk: SmallDisk
    season: Season
    beside: Path

    @property
    def home(self) -> Path:
        """The home."""
        return self.disk.root / "home"


@pytest.fixture
def ground(tmp_path: Path) -> Iterator[Ground]:
    """The disk, taken away at the end."""
    if not may_mount(tmp_path / "trial"):
        pytest.skip("a disk may not be mounted here")
    season = write_season(tmp_path / "files", 3, 600, 100)
    (tmp_path / "disk").mkdir()
    with small_disk(tmp_path / "disk", 16) as disk:
        made = Ground(disk, season, tmp_path)
        place = open_home(made.home)
        for file in season.files[:2]:
            take_in_file(place, file)
        place.register.close()
        yield made


def _compact(place: Workplace, _: Ground) -> None:
    compact_journal(place)


def _correct(place: Workplace, _: Ground) -> None:
    correct_bales(place, Asked("HAZE-1", ("3",), "mass_kg", "611", "weighed", mark="m1"))


def _take_in(place: Workplace, ground: Ground) -> None:
    assert take_in_file(place, ground.season.files[2]).state == "taken"


def _back_up(place: Workplace, ground: Ground) -> None:
    back_up_house(place, ground.home / "kept.tar")


def _erase(place: Workplace, _: Ground) -> None:
    if see_held(place, ERASING).is_nothing:
        correct_bales(place, Asked("HAZE-1", ("3", "6"), "operator", "Wren", "said", mark="m2"))
        compact_journal(place)
    erase_personal(place, ERASING)


def _upload(place: Workplace, _: Ground) -> None:
    asked = UploadRequest("a.csv", len(PIECE), "0" * 64, "somebody", len(PIECE))
    entry, offset = begin_upload(place, asked)
    chunks = (PIECE[at : at + 65_536] for at in range(offset, len(PIECE), 65_536))
    assert add_piece(place, entry, offset, chunks) == len(PIECE)


def _restore(place: Workplace, ground: Ground) -> None:
    restore_house(ground.beside / "kept.tar", ground.disk.root / "again")


WORK: Final[dict[str, Callable[[Workplace, Ground], None]]] = {
    "take in": _take_in,
    "compact": _compact,
    "correct": _correct,
    "back up": _back_up,
    "erase": _erase,
    "upload": _upload,
    "restore": _restore,
}


def _lying(ground: Ground) -> set[str]:
    """Files that neither the ledger nor the manifest knows."""
    place = open_home(ground.home)
    known = {str(ground.home / "journal" / path) for path in place.register.load_part_paths()}
    place.register.close()
    names = ("register.sqlite3*", "reading.lock", "*.csv", "*.part")
    found = (path for path in ground.disk.root.rglob("*") if path.is_file())
    return {
        str(path)
        for path in found
        if str(path) not in known and not any(path.match(name) for name in names)
    }


@pytest.mark.law
@pytest.mark.parametrize("name", WORK)
def test_a_full_disk_stops_work_and_room_lets_it_go_on(
    ground: Ground, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From no room upwards until it is enough: each time plain words, nothing lost, nothing half.

    With room again the same work is done, and all that was in before is in.
    """
    monkeypatch.setattr("balewright.flows.take_in_pieces.SPARE_BYTES", -WIDEST_BYTES)
    work, place = WORK[name], open_home(ground.home)
    if name == "restore":
        back_up_house(place, ground.beside / "kept.tar")
    in_before = {file.name for file in ground.season.files[:2]}
    cures, free_bytes, done = list[str](), 0, False
    while not done and free_bytes < WIDEST_BYTES:
        ground.disk.fill(free_bytes)
        try:
            work(place, ground)
            done = True
        except BadInput as error:
            cures.append(error.faults[0].cure)
        finally:
            ground.disk.free()
        if not done:
            before_sweep = {path.name for path in (ground.home / "originals").iterdir()}
            assert len(before_sweep) == 2, "the room of what was refused is not given back"
            place.register.close()
            assert check_home(ground.home, ground.season, in_before) == in_before
            assert _lying(ground) == set()
        free_bytes = 32_768 if not free_bytes else free_bytes * 2
    assert cures, "it never was full"
    assert all(cures)
    assert done, "it was never enough"
    work_done = in_before | ({ground.season.files[2].name} if name == "take in" else set())
    place.register.close()
    assert check_home(ground.home, ground.season, in_before) == work_done


@pytest.mark.law
def test_a_disk_that_cannot_be_written_changes_nothing(ground: Ground) -> None:
    """Every work says so, a new start says so, the doctor says so; written again, all goes on."""
    place = open_home(ground.home)
    back_up_house(place, ground.beside / "kept.tar")
    place.register.close()
    ground.disk.shut()
    try:
        for work in WORK.values():
            with pytest.raises(BadInput, match=r"ead-only|cannot be written|unable to open"):
                work(place, ground)
        with pytest.raises(BadInput, match="cannot be written") as shut:
            open_home(ground.home)
        health = examine_shut_house(ground.home, shut.value, place.clock())
        assert {"open", "home"} <= {
            line.key for line in health.lines if line.state is HealthState.BROKEN
        }
    finally:
        place.register.close()
        ground.disk.open()
    work_once = [work for name, work in WORK.items() if name != "upload"]
    for work in work_once:
        work(place, ground)
    place.register.close()
    names = {file.name for file in ground.season.files}
    assert check_home(ground.home, ground.season, names) == names


@pytest.mark.law
def test_a_home_of_another_user_is_told_and_left_alone(tmp_path: Path) -> None:
    """Somebody who may not write there gets a plain error, and not a byte is another."""
    if os.geteuid() != 0:
        pytest.skip("only root may become another user")
    season = write_season(tmp_path / "files", 2, 60, 20)
    place = open_home(tmp_path / "home")
    take_in_file(place, season.files[0])
    place.register.close()
    for folder in (tmp_path, *tmp_path.parents[:2]):
        folder.chmod(0o755)
    before = _bytes_of(tmp_path / "home")
    with _as(NOBODY):
        with pytest.raises(BadInput, match="Permission denied"):
            open_home(tmp_path / "home")
        with pytest.raises(BadInput, match="Permission denied"):
            take_in_file(place, season.files[1])
        place.register.close()
    assert _bytes_of(tmp_path / "home") == before
    assert check_home(tmp_path / "home", season, {season.files[0].name}) == {season.files[0].name}


class _as:  # noqa: N801  reads as a word
    """This process as another user for a while."""

    def __init__(self, user: int) -> None:
        self._user = user

    def __enter__(self) -> None:
        os.seteuid(self._user)

    def __exit__(self, *_: Any) -> None:
        os.seteuid(0)


def _bytes_of(folder: Path) -> dict[str, bytes]:
    return {
        str(path): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.endswith(("-shm", "-wal"))
    }
