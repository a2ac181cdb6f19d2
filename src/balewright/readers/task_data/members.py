"""The files of a set, found in any letter case without looking through all, and read one by one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from balewright.readers.archive import Archive


def nobody(done: int, total: int | None) -> None:
    """The listener that hears nothing."""


@dataclass
class Members:
    """An archive with an index of its names. tell: hears bytes read of bytes in all."""

    archive: Archive
    tell: Callable[[int, int | None], None] = nobody
    done_bytes: int = 0
    by_lower: dict[str, str] = field(init=False)
    all_bytes: int = field(init=False)

    def __post_init__(self) -> None:
        self.by_lower = {}
        self.all_bytes = sum(self.archive.sizes.values())
        for name in self.archive.sizes:
            self.by_lower.setdefault(name.lower(), name)

    def find(self, folder: str, base: str) -> str | None:
        """The member called `base` in `folder`, whatever the letter case; None if absent."""
        return self.by_lower.get((f"{folder}/{base}" if folder else base).lower())

    def read(self, name: str) -> bytes:
        """The bytes of one member; BadInput when it is too large, damaged or gone."""
        data = self.archive.read(name)
        self.done_bytes += len(data)
        self.tell(min(self.done_bytes, self.all_bytes), self.all_bytes)
        return data

    def all_read(self) -> None:
        """Say that nothing is left to read."""
        self.tell(self.all_bytes, self.all_bytes)
