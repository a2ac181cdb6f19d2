"""A backup back into an empty home: everything is checked before anything counts."""

from __future__ import annotations

import hashlib
import json
import os
import re
import secrets
import shutil
import sqlite3
import tarfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Final

from balewright.quantities.errors import BadInput, Fault
from balewright.store.backup import CONTENTS, FORM, FORM_VERSION, REGISTER, opened
from balewright.store.flushing import flush_tree

_CHUNK: Final = 1 << 20
_MAX_CONTENTS: Final = 256 << 20
_NAME: Final = re.compile(
    r"register\.sqlite3|journal/(?:[\w=.-]+/)*[\w=.-]+\.parquet|originals/[0-9a-f]{64}/.+"
    r"|photos/[0-9a-f]{64}",
    re.DOTALL,  # a file's own name may hold any letter
)
Tell = Callable[[int, int | None], None]


@dataclass(frozen=True)
class Restored:
    """What came back. members: files; size_bytes: of all; written_by: version of the program."""

    home: Path
    members: int
    size_bytes: int
    written_by: str


def restore(archive: Path, home: Path, tell: Tell) -> Restored:
    """Make `home` what it was when the backup was written.

    archive: from `back_up`; home: a folder that is absent or empty; tell: bytes done of all.
    Each file is held against its hash in a folder beside, which takes its place at the end: a
    restore that was stopped leaves `home` as it was. Raises BadInput for anything that is not
    right, and then nothing has changed.
    """
    if home.exists() and (not home.is_dir() or any(home.iterdir())):
        cure = "Give an empty folder as BALEWRIGHT_HOME; nothing that is there is ever replaced."
        raise BadInput(Fault(str(home), "a folder that is absent or empty", "one in use", cure))
    beside = home.with_name(f".{home.name}.restoring-{secrets.token_hex(6)}")
    try:
        beside.mkdir(mode=0o700, parents=True)
        with opened(archive) as tar:
            contents = _unpack(tar, archive, beside, tell)
        _check_register(archive, beside)
        flush_tree(beside)
        if home.exists():
            home.rmdir()
        beside.rename(home)
    except OSError as error:
        cure = "Free space or give write permission, then restore again: nothing has changed."
        need = "a folder that can be written"
        raise BadInput(Fault(str(home), need, error.strerror or str(error), cure)) from error
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    sizes = [each["size_bytes"] for each in contents["members"]]
    return Restored(home, len(sizes), sum(sizes), str(contents.get("balewright", "?")))


def _unpack(tar: tarfile.TarFile, archive: Path, beside: Path, tell: Tell) -> dict[str, Any]:
    """Every member to its place, hashed; then all of them held against the list at the end."""
    total = os.stat(archive).st_size
    seen: dict[str, tuple[str, int]] = {}
    contents: dict[str, Any] | None = None
    for member in tar:
        if contents is not None:
            raise _bad(archive, "the list of contents as its last member", member.name)
        file = tar.extractfile(member) if member.isreg() else None
        if file is None:
            raise _bad(archive, "plain files alone", f"{member.name}, which is none")
        if member.name == CONTENTS:
            contents = _read_contents(archive, file, member.size)
            continue
        if not _is_safe(member.name) or member.name in seen:
            raise _bad(archive, "files of a workplace, each once", repr(member.name))
        seen[member.name] = _place(file, beside / member.name), member.size
        tell(min(member.offset_data + member.size, total), total)
    if contents is None:
        raise _bad(archive, "a list of contents at its end", "none: it was cut")
    listed = {each["name"]: (each["sha256"], each["size_bytes"]) for each in contents["members"]}
    if listed != seen:
        wrong = sorted(name for name in listed.keys() | seen if listed.get(name) != seen.get(name))
        raise _bad(
            archive, "every file as it was written", f"{len(wrong)} others, {wrong[0]} first"
        )
    return contents


def _is_safe(name: str) -> bool:
    return bool(_NAME.fullmatch(name)) and not {"", ".", ".."} & set(name.split("/"))


def _place(file: IO[bytes], target: Path) -> str:
    target.parent.mkdir(parents=True, exist_ok=True)
    sha256 = hashlib.sha256()
    with target.open("xb") as written:
        while chunk := file.read(_CHUNK):
            sha256.update(chunk)
            written.write(chunk)
        written.flush()
        os.fsync(written.fileno())
    return sha256.hexdigest()


def _read_contents(archive: Path, file: IO[bytes], size: int) -> dict[str, Any]:
    if size > _MAX_CONTENTS:
        raise _bad(archive, "a list of contents", f"{size} bytes of it")
    try:
        found = json.loads(file.read())
        version, members = found["version"], found["members"]
        whole = found["form"] == FORM and all(
            {"name", "sha256", "size_bytes"} <= set(each) for each in members
        )
    except (ValueError, KeyError, TypeError) as error:
        raise _bad(archive, "a list of contents", str(error)) from error
    if not whole:
        raise _bad(archive, f"a {FORM}", "another list")
    if version != FORM_VERSION:
        need, cure = f"version {FORM_VERSION} of the form", "Restore it with the newer Balewright."
        raise BadInput(Fault(str(archive), need, f"version {version}", cure))
    return dict(found)


def _check_register(archive: Path, beside: Path) -> None:
    """The register must be whole, and every column file it lists must be there."""
    try:
        with closing(sqlite3.connect(f"file:{beside / REGISTER}?mode=ro", uri=True)) as register:
            said = register.execute("pragma quick_check").fetchone()[0]
            paths = [path for (path,) in register.execute("select path from store_part")]
    except sqlite3.Error as error:
        raise _bad(archive, "a whole register", str(error)) from error
    if said != "ok":
        raise _bad(archive, "a whole register", said)
    missing = [path for path in paths if not (beside / "journal" / path).is_file()]
    if missing:
        given = f"{len(missing)} missing, {missing[0]} first"
        raise _bad(archive, "every column file that the register lists", given)


def _bad(archive: Path, need: str, given: str) -> BadInput:
    cure = "Use another backup; nothing was restored."
    return BadInput(Fault(str(archive), need, given, cure))
