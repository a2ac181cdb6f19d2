"""A folder, a single file or a zip, opened the same way: named members, read one at a time.

Nothing is unpacked to disk. A zip is never trusted: how many members, how large they unpack, how
hard they are squeezed and where their names point is checked before a byte of them is read, and
what a member really unpacks to is held against what it said.
"""

from __future__ import annotations

import lzma
import os
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path, PurePosixPath
from types import MappingProxyType
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.lines import require_file

_MIB: Final = 1024 * 1024
_MAC_FOLDERS: Final = frozenset({"__macosx", "_macosx"})
_SYSTEM_FILES: Final = frozenset({".ds_store", "thumbs.db", "desktop.ini"})
_END_OF_DIRECTORY: Final = b"PK\x05\x06"
_LONGEST_END: Final = 22 + 65_535
_ZIP_FAULTS: Final = (
    *(OSError, EOFError, ValueError, RuntimeError, NotImplementedError, IndexError),
    *(zipfile.BadZipFile, zlib.error, lzma.LZMAError, struct.error),
)
"""What the standard library raises on damaged archives; found by turning bytes at random."""


@dataclass(frozen=True)
class Limits:
    """What an archive may hold.

    members: how many; unpacked_bytes: all members together; member_bytes: one member;
    ratio: unpacked over packed of one member larger than a mebibyte; depth: folders in folders.
    """

    members: int = 20_000
    unpacked_bytes: int = 2048 * _MIB
    member_bytes: int = 64 * _MIB
    ratio: int = 200
    depth: int = 12


@dataclass(frozen=True)
class Ignored:
    """A file that was seen and not read: its name and why."""

    name: str
    why: str


@dataclass(frozen=True)
class Archive:
    """Members by name (forward slashes), and what was ignored. `name` is what a person calls it.

    `read` gives the bytes of one member; `find` looks a name up in any letter case.
    """

    name: str
    sizes: Mapping[str, int]
    ignored: tuple[Ignored, ...]
    limits: Limits
    root: Path
    zipped: bool = False

    def find(self, folder: str, base: str) -> str | None:
        """The member called `base` in `folder`, whatever the letter case; None if absent."""
        wanted = f"{folder}/{base}".lower() if folder else base.lower()
        return next((name for name in self.sizes if name.lower() == wanted), None)

    def inside(self, folder: str) -> Iterator[str]:
        """The members that lie directly in `folder` ("" is the top)."""
        for name in self.sizes:
            if folder_of(name) == folder:
                yield name

    def read(self, name: str) -> bytes:
        """The bytes of one member; BadInput when it is too large, damaged or gone."""
        most = self.limits.member_bytes
        if self.sizes[name] > most:
            raise _too_large(name, self.sizes[name], most)
        try:
            data = self._read_zipped(name, most) if self.zipped else self._read_plain(name, most)
        except _ZIP_FAULTS as error:
            raise BadInput(
                Fault(
                    place=name,
                    need="a member that can be read",
                    given=f"{type(error).__name__}: {error}",
                    cure="Copy or pack it again from the machine.",
                )
            ) from error
        if len(data) > most:
            raise _too_large(name, len(data), most)
        return data

    def _read_plain(self, name: str, most: int) -> bytes:
        with (self.root / name).open("rb") as stream:
            # Room for what is asked for is set aside at once: no more than the file has.
            size = os.fstat(stream.fileno()).st_size
            return stream.read(min(size, most) + 1)

    def _read_zipped(self, name: str, most: int) -> bytes:
        packed, members = self._packed
        info = members.get(name)
        if info is None:
            raise zipfile.BadZipFile("it is no longer there")
        with packed.open(info) as stream:
            return stream.read(most + 1)

    @cached_property
    def _packed(self) -> tuple[zipfile.ZipFile, dict[str, zipfile.ZipInfo]]:
        """The zip, opened once: its directory of thousands is not read again for each member."""
        packed = zipfile.ZipFile(self.root)
        members: dict[str, zipfile.ZipInfo] = {}
        for info in packed.infolist():
            members.setdefault(_posix(info.filename), info)
        return packed, members


def folder_of(name: str) -> str:
    """The folder part of a member's name, "" at the top."""
    return name.rpartition("/")[0]


def open_archive(path: Path, limits: Limits | None = None) -> Archive:
    """Open a folder, a zip or a single file for reading.

    path: what the person gave. A file named TASKDATA.XML stands for its folder, because its logs
    lie beside it. Raises BadInput for what is missing, unreadable, unsafe or beyond `limits`.
    """
    held = limits or Limits()
    try:
        if path.is_dir():
            return _open_folder(path, held)
        if path.exists():
            require_file(path)  # a pipe would be waited for
        with path.open("rb") as stream:
            head = stream.read(4)
    except (OSError, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput(
            Fault(
                place=str(path),
                need="a file or folder that can be read",
                given=getattr(error, "strerror", None) or str(error),
                cure="Check the path and whether you may read it.",
            )
        ) from error
    if head[:2] == b"PK":
        return _open_zip(path, held)
    if path.name.lower() == "taskdata.xml":
        return _open_folder(path.parent, held)
    sizes = {path.name: path.stat().st_size}
    return Archive(path.name, MappingProxyType(sizes), (), held, path.parent)


def _open_folder(root: Path, limits: Limits) -> Archive:
    sizes: dict[str, int] = {}
    ignored: list[Ignored] = []
    for entry, name in _walk(root, "", limits.depth, ignored):
        if entry.is_symlink():
            ignored.append(Ignored(name, "a link: not followed"))
        elif why := _why_ignored(name):
            ignored.append(Ignored(name, why))
        elif entry.is_file(follow_symlinks=False):
            sizes[name] = entry.stat(follow_symlinks=False).st_size
        if len(sizes) + len(ignored) > limits.members:
            raise _too_many(str(root), f"more than {limits.members}", limits.members)
    return Archive(root.name, MappingProxyType(sizes), tuple(ignored), limits, root)


def _walk(
    folder: Path, prefix: str, depth: int, ignored: list[Ignored]
) -> Iterator[tuple[os.DirEntry[str], str]]:
    with os.scandir(folder) as entries:
        listed = sorted(entries, key=lambda entry: entry.name)
    for entry in listed:
        name = prefix + entry.name
        if entry.is_dir(follow_symlinks=False):
            if depth == 0:
                ignored.append(Ignored(name, "too deep: folders in folders in folders"))
            else:
                yield from _walk(folder / entry.name, name + "/", depth - 1, ignored)
        else:
            yield entry, name


def _open_zip(path: Path, limits: Limits) -> Archive:
    _check_directory(path, limits)
    try:
        with zipfile.ZipFile(path) as packed:
            members = [info for info in packed.infolist() if not info.filename.endswith("/")]
    except _ZIP_FAULTS as error:
        raise _not_a_zip(path, str(error)) from error
    if len(members) > limits.members:
        raise _too_many(path.name, str(len(members)), limits.members)
    total = sum(info.file_size for info in members)
    if total > limits.unpacked_bytes:
        raise _too_large(path.name, total, limits.unpacked_bytes)
    sizes: dict[str, int] = {}
    ignored: list[Ignored] = []
    for info in members:
        name = _posix(info.filename)
        squeezed = info.file_size > _MIB and info.file_size > limits.ratio * info.compress_size
        if squeezed:
            raise _squeezed(name, info, limits)
        if why := _why_refused(info, name, sizes) or _why_ignored(name):
            ignored.append(Ignored(name, why))
        else:
            sizes[name] = info.file_size
    return Archive(path.name, MappingProxyType(sizes), tuple(ignored), limits, path, zipped=True)


def _check_directory(path: Path, limits: Limits) -> None:
    """Look at the end record first: a directory of millions is refused before it is loaded."""
    with path.open("rb") as stream:
        size = stream.seek(0, os.SEEK_END)
        stream.seek(max(0, size - _LONGEST_END))
        tail = stream.read()
    at = tail.rfind(_END_OF_DIRECTORY)
    if at < 0 or len(tail) - at < 22:
        raise _not_a_zip(path, "its directory at the end is missing (cut off?)")
    count = struct.unpack_from("<H", tail, at + 10)[0]
    if count > limits.members:
        raise _too_many(
            path.name, "65,535 or more" if count == 0xFFFF else str(count), limits.members
        )


def _posix(name: str) -> str:
    return name.replace("\\", "/")


def _why_refused(info: zipfile.ZipInfo, name: str, sizes: Iterable[str]) -> str | None:
    parts = PurePosixPath(name).parts
    if not parts:
        return "it has no name"
    if name.startswith("/") or ".." in parts or parts[0].endswith(":"):
        return "its path leaves the folder: not read"
    if stat.S_ISLNK(info.external_attr >> 16):
        return "a link: not followed"
    if info.flag_bits & 0x1:
        return "locked with a password: pack it again without one"
    if name in sizes:
        return "the name stands twice: only the first is read"
    return None


def _why_ignored(name: str) -> str | None:
    parts = [part.lower() for part in PurePosixPath(name).parts]
    base = parts[-1] if parts else ""
    if base.startswith("._") or _MAC_FOLDERS & set(parts):
        return "a macOS companion file"
    if base in _SYSTEM_FILES:
        return "a file of the operating system"
    if base.endswith((".zip", ".7z", ".rar", ".gz")):
        return "an archive inside: not opened; give it by itself"
    return None


def _not_a_zip(path: Path, given: str) -> BadInput:
    return BadInput(
        Fault(path.name, "a whole zip archive", given, "Copy it again from the machine.")
    )


def _too_many(place: str, given: str, most: int) -> BadInput:
    return BadInput(
        Fault(place, f"at most {most} files", given, "Give the folder of one machine's task data.")
    )


def _too_large(place: str, given: int, most: int) -> BadInput:
    need, cure = (
        f"at most {most // _MIB} MiB",
        "Give the task data alone; a file this large is none.",
    )
    return BadInput(Fault(place, need, f"{given / _MIB:.0f} MiB", cure))


def _squeezed(name: str, info: zipfile.ZipInfo, limits: Limits) -> BadInput:
    times = info.file_size / max(1, info.compress_size)
    need, given = (
        f"a member packed at most {limits.ratio} to 1",
        f"{times:.0f} to 1, as a zip bomb is",
    )
    return BadInput(
        Fault(name, need, given, "Do not open this archive; ask for the files unpacked.")
    )
