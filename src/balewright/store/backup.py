"""Register, journal, originals and photos in one file, as they stood at one moment; and back again.

The file is a plain tar. Its last member lists every other with its hash: a backup that was cut
has none and is refused. The register's copy says which column files belong to it, so both are
always of the same moment.
"""

from __future__ import annotations

import fcntl
import hashlib
import io
import json
import os
import sqlite3
import tarfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Final, cast

from balewright import __version__
from balewright.quantities.errors import BadInput, Fault
from balewright.store.flushing import flush_folder
from balewright.store.reading_lease import reading
from balewright.store.running import cannot_write

CONTENTS: Final = "contents.json"
FORM: Final = "balewright backup"
FORM_VERSION: Final = 1
REGISTER: Final = "register.sqlite3"
_TRIES: Final = 5
_CHUNK: Final = 1 << 20

Tell = Callable[[int, int | None], None]


@dataclass(frozen=True)
class Backup:
    """A backup that was written. members: files in it; originals_gone: contents whose original
    is not there any more, by rule or by loss."""

    path: Path
    members: int
    size_bytes: int
    originals_gone: int


class _Moved(Exception):
    """A column file went away between the register's copy and its own: look again."""


def back_up(home: Path, register_file: Path | None, target: Path, tell: Tell) -> Backup:
    """Write everything that is kept to `target`, whole or not at all; the desk may go on working.

    home: of the workplace; register_file: the register, None where a database server keeps it;
    target: a new file; tell: bytes written of bytes in all. Raises BadInput where the target is
    there already or cannot be written, or the register is not a file.
    """
    if register_file is None:
        need, cure = "a register in a file", "Back the database up with its own tool, desk stopped."
        raise BadInput(Fault("BALEWRIGHT_DATABASE", need, "a database server", cure))
    part, copy = unfinished_names(target)
    try:
        with _alone_at(part) as file:
            if target.exists():
                need, cure = "a file that is not there yet", "Give another name: a backup is never "
                raise BadInput(Fault(str(target), need, "one that is", f"{cure}written over."))
            try:
                return _try_to_write((home, register_file), (copy, target), file, tell)
            finally:
                _remove_copy(copy)
    except OSError as error:
        raise cannot_write(target.parent, error) from error


def unfinished_names(target: Path) -> tuple[Path, Path]:
    """The names under which a backup lies while it is written: it, and the register's copy."""
    return target.with_name(f".{target.name}.part"), target.with_name(f".{target.name}.register")


@contextmanager
def _alone_at(part: Path) -> Iterator[IO[bytes]]:
    """The unfinished file, empty and ours alone; what a killed backup left there is written over.

    It goes at the end unless it was given another name.
    """
    # For nobody but who backs up: what is in it opens accounts.
    with os.fdopen(os.open(part, os.O_RDWR | os.O_CREAT, 0o600), "r+b") as file:
        if not _take(file) or not _is_still(part, file):  # or another one has ended just now
            cure = "Wait until it is written, or give another name."
            given = "another backup that is being written there"
            raise BadInput(Fault(str(part), "a place of its own", given, cure))
        try:
            yield file
        finally:
            if _is_still(part, file):
                part.unlink()


def _take(file: IO[bytes]) -> bool:
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _is_still(part: Path, file: IO[bytes]) -> bool:
    try:
        return os.path.samestat(part.stat(), os.fstat(file.fileno()))
    except FileNotFoundError:
        return False


def _remove_copy(copy: Path) -> None:
    for name in ("", "-journal", "-wal", "-shm"):  # a full disk may leave the database's own
        copy.with_name(copy.name + name).unlink(missing_ok=True)


def _try_to_write(
    kept: tuple[Path, Path], places: tuple[Path, Path], file: IO[bytes], tell: Tell
) -> Backup:
    (home, register_file), (copy, target) = kept, places
    for _ in range(_TRIES):
        with reading(home / "journal"):  # no file that is listed goes meanwhile
            _copy_register(register_file, copy)
            try:
                return _write(home, copy, (file, target), tell)
            except _Moved:
                continue
    cure = "Look at `balewright doctor`: a column file that the register lists is not there."
    raise BadInput(Fault(str(home / "journal"), "a journal that holds still", "one at work", cure))


def _copy_register(source: Path, copy: Path) -> None:
    """The register as of one moment, by the database's own means: its log is in it."""
    _remove_copy(copy)
    copy.touch(mode=0o600)
    try:
        with (
            closing(sqlite3.connect(f"file:{source}?mode=ro", uri=True)) as read,
            closing(sqlite3.connect(copy)) as written,
        ):
            read.backup(written)
            written.execute("pragma journal_mode = delete")
    except sqlite3.Error as error:
        need = f"a register that can be copied to {copy.parent}"
        cure = "Free space there; where there is room, see `balewright doctor`."
        raise BadInput(Fault(str(source), need, str(error), cure)) from error


@dataclass(frozen=True)
class _Member:
    name: str
    path: Path
    sha256: str | None  # as the register has it, None where it has none


def _write(home: Path, copy: Path, places: tuple[IO[bytes], Path], tell: Tell) -> Backup:
    file, target = places
    members, gone = _members(home, copy)
    total = sum(member.path.stat().st_size for member in members)
    listed: list[dict[str, Any]] = []
    done = 0
    file.seek(0)
    file.truncate()
    with tarfile.open(fileobj=file, mode="w", format=tarfile.PAX_FORMAT) as tar:
        for member in members:
            sha256, size = _add(tar, member)
            if member.sha256 not in (None, sha256):
                cure = "Restore that file from an older backup, or see `balewright doctor`."
                given = "another content than the register lists"
                raise BadInput(Fault(str(member.path), "a whole file", given, cure))
            listed.append({"name": member.name, "sha256": sha256, "size_bytes": size})
            done += size
            tell(done, total)
        _add_contents(tar, listed)
    file.flush()
    os.fsync(file.fileno())
    unfinished_names(target)[0].rename(target)
    flush_folder(target.parent)
    return Backup(target, len(listed), target.stat().st_size, gone)


def _members(home: Path, copy: Path) -> tuple[list[_Member], int]:
    """What belongs to the copied register, and how many originals are not there."""
    with closing(sqlite3.connect(copy)) as register:
        parts = register.execute("select path, sha256 from store_part order by path").fetchall()
        contents = register.execute(
            "select sha256 from store_intake where state = 'taken' order by sha256"
        ).fetchall()
        photos = register.execute(
            "select sha256 from store_casephoto where gone_at is null order by sha256"
        ).fetchall()
    members = [_Member(REGISTER, copy, None)]
    for path, sha256 in parts:
        place = home / "journal" / path
        if not place.is_file():
            raise _Moved
        members.append(_Member(f"journal/{path}", place, sha256))
    gone = 0
    for (sha256,) in contents:
        folder = home / "originals" / sha256
        gone += not folder.is_dir()
        members += [
            _Member(f"originals/{sha256}/{path.relative_to(folder).as_posix()}", path, None)
            for path in sorted(folder.rglob("*"))
            if path.is_file() and not path.is_symlink()
        ]
    places = [(sha256, home / "photos" / sha256) for (sha256,) in photos]
    members += [_Member(f"photos/{key}", path, key) for key, path in places if path.is_file()]
    return members, gone


def _add(tar: tarfile.TarFile, member: _Member) -> tuple[str, int]:
    try:
        file = member.path.open("rb")
    except FileNotFoundError as error:
        raise _Moved from error
    with file:
        info = tarfile.TarInfo(member.name)
        info.size = os.fstat(file.fileno()).st_size
        info.mode = 0o600
        hashing = _Hashing(file)
        tar.addfile(info, cast(IO[bytes], hashing))  # it asks for nothing but reads
    return hashing.sha256.hexdigest(), info.size


class _Hashing:
    """Hashes a file while somebody else reads it."""

    def __init__(self, file: io.BufferedIOBase) -> None:
        self._file = file
        self.sha256 = hashlib.sha256()

    def read(self, size: int = -1) -> bytes:
        """As the file's own."""
        chunk = self._file.read(size)
        self.sha256.update(chunk)
        return chunk


def _add_contents(tar: tarfile.TarFile, listed: list[dict[str, Any]]) -> None:
    body = {"form": FORM, "version": FORM_VERSION, "balewright": __version__, "members": listed}
    content = json.dumps(body, indent=1).encode()
    info = tarfile.TarInfo(CONTENTS)
    info.size, info.mode = len(content), 0o600
    tar.addfile(info, io.BytesIO(content))


@contextmanager
def opened(archive: Path) -> Iterator[tarfile.TarFile]:
    """A backup to read. Raises BadInput where it is none or cannot be opened."""
    try:
        with tarfile.open(archive, "r:") as tar:
            yield tar
    except (tarfile.TarError, EOFError) as error:
        cure = "Give the file that `balewright backup` wrote; copy it again if it was cut."
        raise BadInput(Fault(str(archive), "a backup", str(error), cure)) from error
    except OSError as error:
        said = error.strerror or str(error)
        raise BadInput(Fault(str(archive), "a file to read", said, "Check the path.")) from error
