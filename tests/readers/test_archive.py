"""A folder, a file or a zip is opened safely, and what is not read is named."""

from __future__ import annotations

import os
import stat
import zipfile
from pathlib import Path

import pytest

from balewright.quantities.errors import BadInput
from balewright.readers.archive import Limits, open_archive

pytestmark = pytest.mark.derived


def _pack(path: Path, members: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in members.items():
            packed.writestr(name, data)
    return path


def test_zip_members_are_read_without_unpacking(tmp_path: Path) -> None:
    """A member's bytes come back as packed, and no file appears beside the archive."""
    archive = open_archive(_pack(tmp_path / "a.zip", {"TASKDATA/TaskData.XML": b"<x/>"}))
    assert archive.read("TASKDATA/TaskData.XML") == b"<x/>"
    assert [path.name for path in tmp_path.iterdir()] == ["a.zip"]


def test_names_are_found_in_any_letter_case(tmp_path: Path) -> None:
    """TLG00001.BIN is found when the file is called tlg00001.bin."""
    (tmp_path / "tlg00001.bin").write_bytes(b"1")
    assert open_archive(tmp_path).find("", "TLG00001.BIN") == "tlg00001.bin"


def test_path_that_leaves_the_folder_is_listed_and_not_read(tmp_path: Path) -> None:
    """`../x` and `/etc/x` are never read; the rest of the archive still is."""
    members = {"../x.xml": b"1", "/etc/x": b"2", "C:\\x": b"3", "good.xml": b"4"}
    archive = open_archive(_pack(tmp_path / "a.zip", members))
    assert list(archive.sizes) == ["good.xml"]
    assert {item.why for item in archive.ignored} == {"its path leaves the folder: not read"}
    assert len(archive.ignored) == 3


def test_mac_companions_and_archives_inside_are_listed(tmp_path: Path) -> None:
    """`._TASKDATA.XML`, __MACOSX and nested zips are named as ignored, not opened."""
    names = {"._TASKDATA.XML": b"", "__MACOSX/TASKDATA.XML": b"", "in.zip": b"PK", "a.xml": b"1"}
    archive = open_archive(_pack(tmp_path / "a.zip", names))
    assert list(archive.sizes) == ["a.xml"]
    assert {item.name for item in archive.ignored} == set(names) - {"a.xml"}


def test_zip_bomb_is_refused_before_it_unpacks(tmp_path: Path) -> None:
    """Twenty mebibytes of zeros, packed about 1000 to 1, are refused by their ratio."""
    path = _pack(tmp_path / "bomb.zip", {"TASKDATA.XML": bytes(20 * 1024 * 1024)})
    with pytest.raises(BadInput, match="zip bomb"):
        open_archive(path)


def test_too_many_members_and_too_many_bytes_are_refused(tmp_path: Path) -> None:
    """Limits on the number of members and on the unpacked sum hold."""
    path = _pack(tmp_path / "a.zip", {f"{n}": b"12345" for n in range(9)})
    with pytest.raises(BadInput, match="at most 8 files"):
        open_archive(path, Limits(members=8))
    with pytest.raises(BadInput, match="at most 0 MiB"):
        open_archive(path, Limits(unpacked_bytes=44))


def test_one_member_beyond_its_limit_is_refused_when_read(tmp_path: Path) -> None:
    """A file of 5 bytes under a limit of 4 is refused by name, whatever its directory says."""
    (tmp_path / "a.bin").write_bytes(b"12345")
    archive = open_archive(tmp_path, Limits(member_bytes=4))
    with pytest.raises(BadInput, match=r"a\.bin: needs at most"):
        archive.read("a.bin")


def test_locked_member_is_listed(tmp_path: Path) -> None:
    """A member locked with a password (flag bit 0, APPNOTE 4.4.4) is named, not guessed at."""
    path = _pack(tmp_path / "a.zip", {"a.xml": b"1"})
    data = bytearray(path.read_bytes())
    data[data.find(b"PK\x01\x02") + 8] |= 1
    data[6] |= 1
    path.write_bytes(bytes(data))
    assert "password" in open_archive(path).ignored[0].why


def test_links_are_not_followed(tmp_path: Path) -> None:
    """A link in a folder or in a zip is listed and not followed."""
    folder = tmp_path / "data"
    folder.mkdir()
    (tmp_path / "secret.xml").write_text("secret")
    os.symlink(tmp_path / "secret.xml", folder / "TASKDATA.XML")
    assert open_archive(folder).ignored[0].why == "a link: not followed"
    linked = zipfile.ZipInfo("TASKDATA.XML")
    linked.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as packed:
        packed.writestr(linked, "/etc/passwd")
    assert open_archive(tmp_path / "a.zip").ignored[0].why == "a link: not followed"


@pytest.mark.parametrize("keep", [2, 30, -10])
def test_cut_off_zip_is_refused_with_the_cure(tmp_path: Path, keep: int) -> None:
    """A zip without its end is no archive; the message says to copy it again."""
    path = _pack(tmp_path / "a.zip", {"a.xml": b"12345" * 50})
    path.write_bytes(path.read_bytes()[:keep])
    with pytest.raises(BadInput, match="Copy it again"):
        open_archive(path)


def test_member_damaged_inside_a_zip_is_refused_when_read(tmp_path: Path) -> None:
    """A flipped byte fails the member's checksum and is a typed error with the member's name."""
    path = tmp_path / "a.zip"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("a.xml", b"<abcdefgh/>")
    path.write_bytes(path.read_bytes().replace(b"<abcdefgh/>", b"<abcdXfgh/>"))
    with pytest.raises(BadInput, match=r"a\.xml.*pack it again"):
        open_archive(path).read("a.xml")


def test_missing_path_says_what_to_check(tmp_path: Path) -> None:
    """A path that is not there is a plain message."""
    with pytest.raises(BadInput, match="Check the path"):
        open_archive(tmp_path / "nowhere")


def test_member_without_a_name_is_listed(tmp_path: Path) -> None:
    """A directory entry whose name is empty cannot be read and is said."""
    path = _pack(tmp_path / "a.zip", {"a": b"1", "b.xml": b"2"})
    data = bytearray(path.read_bytes())
    entry = data.find(b"PK\x01\x02")
    data[entry + 28] = 0  # length of the name
    del data[entry + 46]
    end = data.find(b"PK\x05\x06")
    data[end + 12] -= 1  # size of the directory
    path.write_bytes(bytes(data))
    archive = open_archive(path)
    assert list(archive.sizes) == ["b.xml"]
    assert archive.ignored[0].why == "it has no name"
