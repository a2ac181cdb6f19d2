"""A disk on which only what was flushed is sure: images of it as a power cut could leave them.

A file's bytes are sure after `fsync` of the file, a name after `fsync` of its folder, and nothing
else is: each write and each change of a name since then is there, or is not, or (a write) is there
in part, in any combination. No file system does worse than that; most do much better.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

SECTOR: Final = 512


@dataclass(eq=False)
class Change:
    """Something that is not sure yet. Of a name in several folders it is one change."""


@dataclass(eq=False)
class Write(Change):
    """Bytes at an offset; `data` None cuts or stretches the file to `offset`."""

    offset: int
    data: bytes | None


@dataclass(eq=False)
class Name(Change):
    """Names set (to a node) or taken away (None) in folders, together or not at all."""

    sets: tuple[tuple[Folder, str, Node | None], ...]


@dataclass(eq=False)
class File:
    """A file's bytes: as the process sees them, as they surely are, and what lies between."""

    seen: bytearray = field(default_factory=bytearray)
    sure: bytes = b""
    pending: list[Write] = field(default_factory=list)

    def write(self, offset: int, data: bytes | None) -> None:
        """Write, or with None set the length."""
        _put(self.seen, offset, data)
        self.pending.append(Write(offset, data))

    def flush(self) -> None:
        """All of it is sure now."""
        self.sure, self.pending = bytes(self.seen), []


@dataclass(eq=False)
class Folder:
    """A folder's names, likewise."""

    seen: dict[str, Node] = field(default_factory=dict)
    sure: dict[str, Node] = field(default_factory=dict)
    pending: list[Name] = field(default_factory=list)

    def flush(self) -> None:
        """All of its names are sure now; those that moved between folders in both."""
        for change in self.pending:
            for folder, name, node in change.sets:
                _set(folder.sure, name, node)
                if folder is not self:
                    folder.pending = [one for one in folder.pending if one is not change]
        self.pending = []


Node = File | Folder
Choice = Callable[[Change], float]
"""How much of a change is there: 0 nothing, 1 all, between: part of a write, from its start."""


def rename(change_in: tuple[Folder, str], to: tuple[Folder, str]) -> None:
    """Move a name, in one step, over what stood there."""
    (source, old), (target, new) = change_in, to
    node = source.seen[old]
    _change((source, old, None), (target, new, node))


def set_name(folder: Folder, name: str, node: Node | None) -> None:
    """Make a name, or take one away."""
    _change((folder, name, node))


def _change(*sets: tuple[Folder, str, Node | None]) -> None:
    change = Name(sets)
    for folder, name, node in sets:
        _set(folder.seen, name, node)
        if all(one is not change for one in folder.pending):
            folder.pending.append(change)


def _set(names: dict[str, Node], name: str, node: Node | None) -> None:
    if node is None:
        names.pop(name, None)
    else:
        names[name] = node


def _put(content: bytearray, offset: int, data: bytes | None) -> None:
    end = offset if data is None else offset + len(data)
    if len(content) < end:
        content.extend(bytes(end - len(content)))
    if data is None:
        del content[offset:]
    else:
        content[offset:end] = data


def write_image(folder: Folder, target: Path, choice: Choice) -> None:
    """Lay one image of a folder down at `target`, which must not be there."""
    target.mkdir()
    names = dict(folder.sure)
    for change in folder.pending:
        if choice(change) >= 0.5:
            for where, name, node in change.sets:
                if where is folder:
                    _set(names, name, node)
    for name, node in names.items():
        if isinstance(node, Folder):
            write_image(node, target / name, choice)
        else:
            (target / name).write_bytes(_content(node, choice))


def _content(file: File, choice: Choice) -> bytes:
    content = bytearray(file.sure)
    for write in file.pending:
        share = choice(write)
        if share <= 0:
            continue
        data = write.data
        if data is not None and share < 1:
            data = data[: int(len(data) * share) // SECTOR * SECTOR]
            if not data:
                continue
        _put(content, write.offset, data)
    return bytes(content)


def nothing(_: Change) -> float:
    """Only what is sure is there."""
    return 0.0


def everything(_: Change) -> float:
    """All is there, as after a kill."""
    return 1.0


def by_chance(seed: int) -> Choice:
    """Each change is there, or not, or in part; the same change the same way throughout."""
    chance, chosen = random.Random(seed), {}

    def choose(change: Change) -> float:
        if change not in chosen:
            draw = chance.random()
            chosen[change] = 0.0 if draw < 0.4 else 1.0 if draw < 0.8 else chance.random()
        return chosen[change]

    return choose
