"""What a watched folder has had already, so that a restart does not read it all again.

Only a shortcut: should it be lost, the ledger knows every content all the same.
"""

from __future__ import annotations

import json
import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

_VERSION: Final = 1


@dataclass(frozen=True)
class Signature:
    """By which a file is taken for unchanged: bytes, time of the last change, files in it."""

    size_bytes: int
    changed_ns: int
    files: int = 1


@dataclass
class Memory:
    """Names below the folder, each with its signature and the hash of its content."""

    path: Path
    seen: dict[str, tuple[Signature, str]] = field(default_factory=dict)

    @classmethod
    def load(cls, path: Path) -> Memory:
        """What was noted; nothing where the file is missing or damaged."""
        try:
            body = json.loads(path.read_text("utf-8"))
            files = body["files"] if body["version"] == _VERSION else {}
            seen = {
                name: (Signature(size_bytes, changed_ns, count), sha256)
                for name, (size_bytes, changed_ns, count, sha256) in files.items()
            }
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            seen = {}
        return cls(path, seen)

    def knows(self, name: str, signature: Signature) -> bool:
        """Whether that file was dealt with as it is now."""
        return name in self.seen and self.seen[name][0] == signature

    def note(self, name: str, signature: Signature, sha256: str) -> None:
        """Note a file that was dealt with, for good."""
        self.seen[name] = signature, sha256
        files = {
            name: [one.size_bytes, one.changed_ns, one.files, hashed]
            for name, (one, hashed) in self.seen.items()
        }
        fresh = self.path.with_suffix(".new")
        fresh.write_text(json.dumps({"version": _VERSION, "files": files}), "utf-8")
        os.replace(fresh, self.path)
