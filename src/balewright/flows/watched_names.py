"""What lies in a watched folder: whole files and task-data folders, not what is still written."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from balewright.flows.watched_memory import Signature
from balewright.quantities.errors import BadInput, Fault

DEEPEST: Final = 6
"""Folders in folders that are looked into."""

_UNFINISHED_ENDS: Final = (
    *(".part", ".partial", ".tmp", ".temp", ".crdownload", ".download", ".filepart"),
    *(".swp", ".lock", ".opdownload", ".!ut"),
)
_UNFINISHED_BEGINNINGS: Final = (".", "~$", "~")
_NO_RECORDS: Final = frozenset(("desktop.ini", "thumbs.db"))
_TASK_DATA: Final = "taskdata.xml"


@dataclass(frozen=True)
class Found:
    """A file or task-data folder. name: below the watched folder, with slashes."""

    name: str
    path: Path
    signature: Signature
    inode: int


@dataclass
class Contents:
    """Whole files, and the inodes of those that are still written."""

    files: list[Found] = field(default_factory=list)
    unfinished: list[int] = field(default_factory=list)


def is_unfinished(name: str) -> bool:
    """Whether a name is one that programs give to what they still write, or hide."""
    lower = name.lower()
    return lower.startswith(_UNFINISHED_BEGINNINGS) or lower.endswith(_UNFINISHED_ENDS)


def find_files(folder: Path, done: Path | None = None) -> Contents:
    """Everything in a folder and the folders in it, by name; links are not followed.

    done: a folder that is left out. Raises BadInput where the folder itself cannot be looked at.
    """
    left_out = None if done is None else done.resolve()
    found = Contents()
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as error:
        need, cure = "a folder that can be looked at", "Check the network and who may read it."
        raise BadInput(Fault(str(folder), need, error.strerror or str(error), cure)) from error
    _gather(entries, "", left_out, found)
    return found


def _gather(
    entries: list[os.DirEntry[str]], below: str, left_out: Path | None, found: Contents
) -> None:
    for entry in entries:
        try:
            _gather_one(entry, f"{below}{entry.name}", left_out, found)
        except OSError:
            continue  # it went while we looked, or may not be looked into: the next look tells


def _gather_one(entry: os.DirEntry[str], name: str, left_out: Path | None, found: Contents) -> None:
    about = entry.stat(follow_symlinks=False)
    if is_unfinished(entry.name):
        found.unfinished.append(about.st_ino)
    elif stat.S_ISREG(about.st_mode) and entry.name.lower() not in _NO_RECORDS:
        signature = Signature(about.st_size, about.st_mtime_ns)
        found.files.append(Found(name, Path(entry.path), signature, about.st_ino))
    elif stat.S_ISDIR(about.st_mode) and Path(entry.path).resolve() != left_out:
        inside = sorted(os.scandir(entry.path), key=lambda one: one.name)
        if any(one.name.lower() == _TASK_DATA for one in inside):
            signature = _signature_of(Path(entry.path))
            found.files.append(Found(name, Path(entry.path), signature, about.st_ino))
        elif name.count("/") < DEEPEST:
            _gather(inside, f"{name}/", left_out, found)


def _signature_of(folder: Path) -> Signature:
    about = list(_walk(folder))
    return Signature(
        size_bytes=sum(one.st_size for one in about),
        changed_ns=max((one.st_mtime_ns for one in about), default=0),
        files=len(about),
    )


def _walk(folder: Path) -> Iterator[os.stat_result]:
    for here, _folders, files in os.walk(folder):
        for name in files:
            yield (Path(here) / name).lstat()
