"""Which reader a path needs is told by what is in it."""

from __future__ import annotations

import gzip
import os
import socket
import zipfile
from pathlib import Path

import pytest

from balewright.quantities.errors import BadInput
from balewright.readers.open_records import BALE_CSV, EVENT_CSV, TASK_DATA, open_records

pytestmark = pytest.mark.derived

BALES = b"machine,bale_no\nMW-07,1\n"
EVENTS = b"machine,kind,bale\nMW-07,software set,1\n"


@pytest.mark.parametrize(
    ("name", "data", "form"),
    [
        ("bales.csv", BALES, BALE_CSV),
        ("events.csv", EVENTS, EVENT_CSV),
        ("misleading.xml", BALES, BALE_CSV),
        ("no-suffix", b"# balewright events 1\n" + EVENTS, EVENT_CSV),
        ("packed", gzip.compress(BALES), BALE_CSV),
        ("packed.csv", gzip.compress(EVENTS), EVENT_CSV),
    ],
)
def test_the_content_decides(name: str, data: bytes, form: str, tmp_path: Path) -> None:
    """Names and suffixes say nothing; the line of names says which form it is."""
    (tmp_path / name).write_bytes(data)
    records = open_records(tmp_path / name)
    assert records.form == form
    (batch,) = records.batches
    assert (batch.bales.rows, len(batch.events)) == ((1, 0) if form == BALE_CSV else (0, 1))
    assert batch.refusals == ()


def test_what_is_neither_is_refused_with_what_was_seen(tmp_path: Path) -> None:
    """A text that is no table of ours is named, with what would do."""
    path = tmp_path / "notes.txt"
    path.write_text("Dear all,\nthe baler is fine.\n")
    with pytest.raises(BadInput) as caught:
        open_records(path)
    assert str(caught.value) == (
        "notes.txt, line 1: needs a line of column names of the bale table or events, "
        "was given Dear all,. Put the names in the first line."
    )


def test_missing_path_is_named(tmp_path: Path) -> None:
    """A path that does not exist says so."""
    with pytest.raises(BadInput, match=r"gone\.csv: needs a file that can be read, was given no"):
        open_records(tmp_path / "gone.csv")


def test_link_to_itself_is_refused(tmp_path: Path) -> None:
    """A link that leads nowhere is a plain refusal."""
    (tmp_path / "loop.csv").symlink_to(tmp_path / "loop.csv")
    with pytest.raises(BadInput, match="too many levels of symbolic links"):
        open_records(tmp_path / "loop.csv")


def test_name_with_nul_is_refused() -> None:
    """A name that no file can have is a plain refusal."""
    with pytest.raises(BadInput, match="needs a file that can be read"):
        open_records(Path("bales\x00.csv"))


def test_pipe_is_refused_without_waiting(tmp_path: Path) -> None:
    """A pipe would wait for its writer: it is not opened."""
    os.mkfifo(tmp_path / "pipe.csv")
    with pytest.raises(BadInput, match=r"pipe\.csv: needs a file, was given a pipe"):
        open_records(tmp_path / "pipe.csv")


def test_device_is_refused() -> None:
    """A device may never end: it is not read."""
    with pytest.raises(BadInput, match="zero: needs a file, was given a device"):
        open_records(Path("/dev/zero"))


def test_socket_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A socket is no file."""
    monkeypatch.chdir(tmp_path)  # the name of a socket must be short
    with socket.socket(socket.AF_UNIX) as one:
        one.bind("talk.csv")
        with pytest.raises(BadInput, match=r"talk\.csv: needs a file, was given a socket"):
            open_records(Path("talk.csv"))


def test_folder_of_tables_is_refused(tmp_path: Path) -> None:
    """A folder of CSV files is not guessed at; what is in it is said."""
    (tmp_path / "a.csv").write_bytes(BALES)
    with pytest.raises(
        BadInput, match=r"needs one file, .* with a\.csv\. Give the path of one CSV"
    ):
        open_records(tmp_path)


def test_folder_with_nothing_of_ours_is_refused(tmp_path: Path) -> None:
    """A folder without task data names what it has."""
    (tmp_path / "notes.txt").write_text("hello")
    with pytest.raises(BadInput, match=r"needs task data \(TASKDATA\.XML\), was given notes\.txt"):
        open_records(tmp_path)


TASKS = (
    b'<?xml version="1.0" encoding="UTF-8"?>\n'
    b'<ISO11783_TaskData VersionMajor="4" VersionMinor="0" DataTransferOrigin="1">'
    b'<TSK A="TSK1" B="Low Meadow" G="1"/></ISO11783_TaskData>'
)


def test_task_data_is_told_as_folder_zip_and_file(tmp_path: Path) -> None:
    """Task data is found in a folder, in a zip with a misleading name, and as the file itself."""
    folder = tmp_path / "set"
    folder.mkdir()
    (folder / "TaskData.xml").write_bytes(TASKS)
    packed = tmp_path / "set.csv"
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("TASKDATA/TASKDATA.XML", TASKS)
    for path in (folder, packed, folder / "TaskData.xml"):
        records = open_records(path)
        assert records.form == TASK_DATA
        assert sum(batch.bales.rows for batch in records.batches) == 0


def test_file_that_may_not_be_read_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Lacking rights are said, not traced. The denial is made here: the tests may run as root."""
    path = tmp_path / "locked.csv"
    path.write_bytes(BALES)

    def deny(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", deny)
    with pytest.raises(BadInput, match=r"locked\.csv: needs .* permission denied"):
        open_records(path)
