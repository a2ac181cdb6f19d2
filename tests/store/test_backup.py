"""A backup holds one moment whole; a restore is all or nothing."""

from __future__ import annotations

import io
import json
import shutil
import tarfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from balewright.flows.back_up_house import back_up_house
from balewright.flows.examine_house import examine_house
from balewright.flows.read_book import BookQuery, read_book
from balewright.flows.restore_house import restore_house
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store import backup
from balewright.store.health.lines import HealthState

ROWS = [f"HAZE-{1 + n % 3},{n},upper,2031-06-14T09:{n % 60:02}:00Z" for n in range(120)]


def workplace_at(home: Path) -> Workplace:
    """A workplace of its own."""
    return open_workplace(load_settings({"BALEWRIGHT_HOME": str(home)}))


@pytest.fixture
def full(tmp_path: Path) -> Workplace:
    """Two files taken in, the second one partly of the same bales."""
    place = workplace_at(tmp_path / "home")
    for name, rows in (("june.csv", ROWS[:80]), ("july.csv", ROWS[40:])):
        path = tmp_path / name
        path.write_text("machine,bale_no,job,tipped_at\n" + "\n".join(rows) + "\n")
        take_in_file(place, path)
    return place


@pytest.mark.derived
def test_names_of_any_letters_come_back(full: Workplace, tmp_path: Path) -> None:
    """A folder with a file whose name breaks a line is kept, backed up and restored."""
    kept = full.home / "originals" / full.register.load_intakes()[0].sha256 / "a\nb é.csv"
    kept.write_bytes(b"x")
    made = back_up_house(full, tmp_path / "one.tar")
    restore_house(made.path, tmp_path / "other")
    again = tmp_path / "other" / kept.relative_to(full.home)
    assert again.read_bytes() == b"x"


@pytest.mark.law
def test_a_restored_workplace_answers_as_the_one_backed_up(full: Workplace, tmp_path: Path) -> None:
    """Book, sources and originals are the same, and a file taken in before is known there."""
    made = back_up_house(full, tmp_path / "one.tar")
    (tmp_path / "other").mkdir()
    done = restore_house(made.path, tmp_path / "other")
    assert done.members == made.members
    assert made.path.stat().st_mode & 0o077 == 0, "whoever reads it can sign in"
    other = workplace_at(tmp_path / "other")
    assert read_book(other, BookQuery()) == read_book(full, BookQuery())
    first, second = full.journal.read_sources("HAZE-1"), other.journal.read_sources("HAZE-1")
    assert (first.source, first.source_row.tolist()) == (
        second.source,
        second.source_row.tolist(),
    )
    assert take_in_file(other, tmp_path / "june.csv").state == "already taken"
    assert examine_house(other, deep=True).state is not HealthState.BROKEN
    assert not list(tmp_path.glob(".*")), "nothing is left lying"


@pytest.mark.law
def test_a_backup_is_never_written_over(full: Workplace, tmp_path: Path) -> None:
    """An earlier backup stays as it is, and the error says so."""
    (tmp_path / "one.tar").write_text("precious")
    with pytest.raises(BadInput, match="never written over"):
        back_up_house(full, tmp_path / "one.tar")
    assert (tmp_path / "one.tar").read_text() == "precious"


@pytest.mark.law
def test_a_backup_that_cannot_be_finished_leaves_nothing(
    full: Workplace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fills up half way: a typed error, no file under the name, no part of one."""

    def full_disk(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup, "_add_contents", full_disk)
    with pytest.raises(BadInput, match="No space left"):
        back_up_house(full, tmp_path / "one.tar")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["home", "july.csv", "june.csv"]
    assert full.register.load_rule("backup.last") is None


@pytest.mark.law
def test_a_journal_file_that_goes_away_meanwhile_is_looked_for_anew(
    full: Workplace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files merged away between the register's copy and their own are taken from a new copy."""
    tries = []
    members = backup._members

    def moving(home: Path, copy: Path) -> Any:
        tries.append(1)
        if len(tries) < 3:
            raise backup._Moved
        return members(home, copy)

    monkeypatch.setattr(backup, "_members", moving)
    assert back_up_house(full, tmp_path / "one.tar").members > 3
    assert len(tries) == 3


@pytest.mark.law
def test_a_damaged_column_file_stops_a_backup(full: Workplace, tmp_path: Path) -> None:
    """A backup never passes damage on in silence; nothing is written."""
    part = next((full.home / "journal").rglob("*.parquet"))
    part.write_bytes(part.read_bytes()[:-1] + b"x")
    with pytest.raises(BadInput, match="another content"):
        back_up_house(full, tmp_path / "one.tar")
    assert not (tmp_path / "one.tar").exists()
    state = {line.key: line.state for line in examine_house(full, deep=True).lines}
    assert state["parts"] is HealthState.BROKEN


def _edit(source: Path, target: Path, change: Callable[[dict[str, bytes]], None]) -> None:
    """A tar with its members changed."""
    with tarfile.open(source) as tar:
        held = {m.name: (tar.extractfile(m) or io.BytesIO()).read() for m in tar}
    change(held)
    with tarfile.open(target, "w") as tar:
        for name, content in held.items():
            info = tarfile.TarInfo(name)
            info.size = len(content)
            tar.addfile(info, io.BytesIO(content))


def _turn_a_byte(held: dict[str, bytes]) -> None:
    name = next(name for name in held if name.startswith("journal/"))
    held[name] = held[name][:50] + bytes([held[name][50] ^ 1]) + held[name][51:]


def _drop_a_member(held: dict[str, bytes]) -> None:
    del held[next(name for name in held if name.startswith("originals/"))]


def _climb(held: dict[str, bytes]) -> None:
    contents = held.pop("contents.json")
    held["journal/../../escaped.parquet"] = b"x"
    held["contents.json"] = contents


def _go_to_root(held: dict[str, bytes]) -> None:
    contents = held.pop("contents.json")
    held["/tmp/escaped.parquet"] = b"x"
    held["contents.json"] = contents


def _newer(held: dict[str, bytes]) -> None:
    said = json.loads(held["contents.json"])
    held["contents.json"] = json.dumps({**said, "version": 2}).encode()


@pytest.mark.law
@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_turn_a_byte, "every file as it was written"),
        (_drop_a_member, "every file as it was written"),
        (_climb, "files of a workplace"),
        (_go_to_root, "files of a workplace"),
        (_newer, "version 2"),
        (lambda held: held.pop("contents.json"), "it was cut"),
        (lambda held: held.update({"contents.json": b"[1"}), "a list of contents"),
    ],
)
def test_a_backup_that_is_not_right_restores_nothing(
    full: Workplace, tmp_path: Path, change: Callable[[dict[str, bytes]], None], said: str
) -> None:
    """Turned bytes, missing members, names that lead out, newer forms: the home stays absent."""
    made = back_up_house(full, tmp_path / "one.tar")
    _edit(made.path, tmp_path / "bad.tar", change)
    with pytest.raises(BadInput, match=said):
        restore_house(tmp_path / "bad.tar", tmp_path / "other")
    assert not (tmp_path / "other").exists()
    assert not list(tmp_path.glob(".*"))
    assert not (tmp_path / "escaped.parquet").exists()


@pytest.mark.law
def test_a_backup_cut_anywhere_restores_nothing(full: Workplace, tmp_path: Path) -> None:
    """However much of it is missing, the error is typed and the home stays as it was."""
    content = back_up_house(full, tmp_path / "one.tar").path.read_bytes()
    for kept in (0, 1, 511, 512, 5000, len(content) // 2, len(content) - 12_000):
        cut = tmp_path / "cut.tar"
        cut.write_bytes(content[:kept])
        with pytest.raises(BadInput):
            restore_house(cut, tmp_path / "other")
        assert not (tmp_path / "other").exists()


@pytest.mark.law
def test_a_home_in_use_is_never_replaced(full: Workplace, tmp_path: Path) -> None:
    """One file in the folder is enough to refuse."""
    before = read_book(full, BookQuery())
    made = back_up_house(full, tmp_path / "one.tar")
    with pytest.raises(BadInput, match="absent or empty"):
        restore_house(made.path, full.home)
    assert read_book(full, BookQuery()) == before


@pytest.mark.law
@pytest.mark.parametrize(
    ("harm", "key", "state"),
    [
        (lambda home: shutil.rmtree(home / "originals"), "originals", HealthState.LOOK),
        (
            lambda home: next((home / "journal").rglob("*.parquet")).unlink(),
            "parts",
            HealthState.BROKEN,
        ),
        (
            lambda home: home.with_name(f".{home.name}.restoring-00ff").mkdir(),
            "left_over",
            HealthState.LOOK,
        ),
        (lambda home: (home / "secret_key").touch(0o644), "key", HealthState.LOOK),
    ],
)
def test_the_doctor_sees_each_harm(
    full: Workplace, harm: Callable[[Path], Any], key: str, state: HealthState
) -> None:
    """What was well before is told, with a cure, and only that."""
    before = {line.key: line.state for line in examine_house(full).lines}
    assert before.get(key, HealthState.GOOD) is HealthState.GOOD
    harm(full.home)
    after = {line.key: line for line in examine_house(full).lines}
    assert after[key].state is state
    assert after[key].cure is not None
    assert {k: line.state for k, line in after.items() if k != key} == {
        k: v for k, v in before.items() if k != key
    }


@pytest.mark.law
def test_the_doctor_sees_a_clock_that_was_set_back(full: Workplace) -> None:
    """Something noted later than now is told as a clock that is behind."""
    from dataclasses import replace

    early = replace(full, clock=lambda: datetime(2001, 1, 1, tzinfo=UTC))
    state = {line.key: line.state for line in examine_house(early).lines}
    assert state["clock"] is HealthState.LOOK
