"""A watched folder: what has stopped growing is taken in, once, and nothing is looped on."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from balewright.cli.entry import run
from balewright.flows.take_in_folder import (
    FIRST_RETRY_S,
    FolderWatch,
    Outcome,
    Watch,
    watching,
)
from balewright.flows.watched_names import is_unfinished
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

pytestmark = pytest.mark.own

CSV = "machine,bale_no,tipped_at\nZ-1,{number},2031-06-14T09:00:00Z\n"


@dataclass
class Bench:
    """A workplace, a folder, and a clock that goes on when told to."""

    workplace: Workplace
    inbox: Path
    now_s: float = 0.0

    def put(self, name: str, number: int = 1) -> Path:
        """A file with one bale."""
        path = self.inbox / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(CSV.format(number=number))
        return path

    def look(self, folder: FolderWatch, after_s: float = 0.0) -> list[Outcome]:
        """Look after so many seconds."""
        self.now_s += after_s
        return list(folder.look(lambda: self.now_s))


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """An empty workplace and an empty folder."""
    workplace = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    yield Bench(workplace, inbox)
    workplace.register.close()


def names(outcomes: list[Outcome]) -> list[tuple[str, str]]:
    """Name and state of each."""
    return [(one.name, "not taken" if one.report is None else one.report.state) for one in outcomes]


def test_a_file_is_taken_once_it_stops_growing(bench: Bench) -> None:
    """Each time it grows it has to settle anew; then it is taken in once, and again only when it
    has changed.
    """
    with watching(bench.workplace, Watch(bench.inbox, settle_s=10)) as folder:
        path = bench.put("a.csv")
        assert bench.look(folder) == bench.look(folder, 9) == []
        path.write_text(CSV.format(number=1) + "Z-1,2,2031-06-14T09:01:00Z\n")
        assert bench.look(folder, 9) == []
        assert folder.pending == ("a.csv",)
        (taken,) = bench.look(folder, 10)
        assert taken.report is not None
        assert (taken.report.state, taken.report.kept) == ("taken", 2)
        assert bench.look(folder, 99) == []
        path.write_text(CSV.format(number=1) + "Z-1,2,2031-06-14T09:01:00Z\nZ-1,3,\n")
        assert bench.look(folder, 1) == []
        (more,) = bench.look(folder, 10)
        assert more.report is not None
        assert [one.new for one in more.report.notes.machines] == [1]


def test_what_is_still_written_is_left_alone_and_a_rename_ends_it(bench: Bench) -> None:
    """Under a passing name nothing is touched; renamed, the whole file is taken in at once."""
    for name in ("a.csv.part", "b.tmp", "~$c.csv", ".hidden.csv", "d.crdownload", "Thumbs.db"):
        assert is_unfinished(name) or name == "Thumbs.db"
        bench.put(name)
    (bench.inbox / "empty.csv").touch()
    with watching(bench.workplace, Watch(bench.inbox, settle_s=10)) as folder:
        assert bench.look(folder) == bench.look(folder, 20) == []
        (bench.inbox / "a.csv.part").rename(bench.inbox / "a.csv")
        assert names(bench.look(folder, 1)) == [("a.csv", "taken")]


def test_a_restart_remembers_and_content_is_known(bench: Bench) -> None:
    """A new watch says nothing of what was dealt with; without its memory, and for a copy, the
    ledger knows the content.
    """
    bench.put("a.csv")
    watch = Watch(bench.inbox, settle_s=0)
    with watching(bench.workplace, watch) as folder:
        assert names(bench.look(folder)) == [("a.csv", "taken")]
    with watching(bench.workplace, watch) as folder:
        assert bench.look(folder) == []
        bench.put("copy.csv")
        assert names(bench.look(folder)) == [("copy.csv", "already taken")]
    for memory in (bench.workplace.home / "watched").glob("*.json"):
        memory.write_text("{ broken")
    with watching(bench.workplace, watch) as folder:
        assert {state for _, state in names(bench.look(folder))} == {"already taken"}
    assert bench.workplace.journal.read_bales("Z-1").rows == 1


def test_two_watches_do_not_fight(bench: Bench) -> None:
    """The second on one folder is refused, also by another way to it; another folder is free."""
    link = bench.inbox.with_name("way")
    link.symlink_to(bench.inbox)
    with watching(bench.workplace, Watch(bench.inbox)):
        for way in (bench.inbox, link):
            with pytest.raises(BadInput, match="watched"), watching(bench.workplace, Watch(way)):
                pass
        with watching(bench.workplace, Watch(bench.workplace.home)):
            pass
    with watching(bench.workplace, Watch(bench.inbox)):
        pass


def test_a_refused_file_is_said_once(bench: Bench) -> None:
    """Junk is refused and not read again until it changes, also after a restart."""
    (bench.inbox / "photo.jpg").write_bytes(b"\xff\xd8\xff\xe0" + bytes(range(256)))
    for expected in ([("photo.jpg", "refused")], []):
        with watching(bench.workplace, Watch(bench.inbox, settle_s=0)) as folder:
            assert names(bench.look(folder)) == expected
            assert bench.look(folder, 9) == []


def test_what_cannot_be_read_is_said_once_and_tried_again(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file that nobody may read yet: one line, no loop, and taken in once it can be read."""
    from balewright.store import originals

    bench.put("a.csv")
    copy, tries = originals._copy, []

    def refuse(given: Path, target: Path, tell: object) -> str:
        tries.append(given)
        raise BadInput(originals.Fault(str(given), "a file that can be read", "no", "Ask."))

    with watching(bench.workplace, Watch(bench.inbox, settle_s=0)) as folder:
        with monkeypatch.context() as patch:
            patch.setattr(originals, "_copy", refuse)
            assert names(bench.look(folder)) == [("a.csv", "not taken")]
            assert bench.look(folder, 5) == bench.look(folder, FIRST_RETRY_S) == []
            assert bench.look(folder, 5) == []
            assert len(tries) == 2
        assert originals._copy is copy
        assert names(bench.look(folder, 2 * FIRST_RETRY_S)) == [("a.csv", "taken")]


def test_what_was_kept_is_moved_where_it_was_told(bench: Bench) -> None:
    """Only what is in the journal goes, beside what has the same name already; the place may lie in
    the folder itself.
    """
    done = bench.inbox / "done"
    (bench.inbox / "junk.bin").write_bytes(bytes(range(256)))
    with watching(bench.workplace, Watch(bench.inbox, settle_s=0, done=done)) as folder:
        bench.put("a.csv", 1)
        bench.look(folder)
        bench.put("a.csv", 2)
        (second,) = bench.look(folder)
        assert second.moved_to == done / "a (2).csv"
        assert bench.look(folder) == []
    assert sorted(path.name for path in done.iterdir()) == ["a (2).csv", "a.csv"]
    assert (bench.inbox / "junk.bin").exists()


def test_a_task_data_folder_is_one_and_folders_below_are_looked_into(bench: Bench) -> None:
    """A folder with TASKDATA.XML is taken in whole; a CSV two folders down by itself; links are
    not followed.
    """
    task = bench.inbox / "stick" / "TASKDATA"
    task.mkdir(parents=True)
    (task / "taskdata.xml").write_text("<?xml version='1.0'?><broken")
    (task / "TLG00001.BIN").write_bytes(b"1")
    bench.put("deep/er/a.csv")
    (bench.inbox / "loop").symlink_to(bench.inbox)
    with watching(bench.workplace, Watch(bench.inbox, settle_s=0)) as folder:
        found = names(bench.look(folder))
    assert found == [("deep/er/a.csv", "taken"), ("stick/TASKDATA", "refused")]


def test_a_folder_that_goes_away_is_said_and_comes_back(bench: Bench) -> None:
    """A network folder that is not there for a while is a fault that passes."""
    bench.put("a.csv")
    with watching(bench.workplace, Watch(bench.inbox, settle_s=0)) as folder:
        os.rename(bench.inbox, bench.inbox.with_name("gone"))
        with pytest.raises(BadInput, match="looked at"):
            bench.look(folder)
        shutil.move(bench.inbox.with_name("gone"), bench.inbox)
        assert names(bench.look(folder)) == [("a.csv", "taken")]


def test_the_command_says_a_line_a_file(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In words and as JSON lines; it ends by itself with --once."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(bench.workplace.home))
    bench.put("a.csv")
    line = ["watch-folder", str(bench.inbox), "--once", "--settle-s", "0"]
    assert run(line) == 0
    assert "a.csv: taken in; 1\N{NO-BREAK SPACE}bale (1 new)" in capsys.readouterr().out
    bench.put("b.csv", 2)
    (bench.inbox / "junk.bin").write_bytes(bytes(range(256)))
    assert run([*line, "--json"]) == 2
    told = [json.loads(text) for text in capsys.readouterr().out.splitlines()]
    assert [(one["file"], one["state"]) for one in told] == [
        ("b.csv", "taken"),
        ("junk.bin", "refused"),
    ]
    assert told[0]["report"]["kept"] == 1
    assert run([*line, "--every-s", "0"]) == 2


def test_senders_are_made_listed_and_withdrawn_in_a_shell(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The token that is said opens; withdrawn it does not; a deed or sender too many is refused."""
    from balewright.flows.senders import find_sender

    monkeypatch.setenv("BALEWRIGHT_HOME", str(bench.workplace.home))
    bench.workplace.register.save_machine(MachineEntry("Z-1", "Zed", "plainrow-p0"))
    assert run(["senders", "make", "--machine", "Z-1", "--label", "box", "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    key = made["sender"]["key"]
    assert find_sender(bench.workplace, key, made["token"]) is not None
    assert run(["senders", "list"]) == 0
    assert key in capsys.readouterr().out
    assert run(["senders", "withdraw", key]) == 0
    assert find_sender(bench.workplace, key, made["token"]) is None
    assert run(["senders", "withdraw", key]) == 2
    for line in (["senders", "sell"], ["senders", "withdraw"], ["senders", "make"]):
        assert run(line) == 2
