"""Photos of cases, under the hash of their content."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.store.flushing import flush_folder
from balewright.store.running import cannot_write

LARGEST_BYTES: Final = 4 << 20
"""A phone's own picture made smaller is a tenth of it."""
_INCOMING: Final = ".incoming-"


class Photos:
    """The folder of photos."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def keep(self, content: bytes) -> str:
        """Keep a photo, whole or not at all; its hash. One that is there already stays."""
        sha256 = hashlib.sha256(content).hexdigest()
        place = self.root / sha256
        if place.is_file():
            return sha256
        part = self.root / f"{_INCOMING}{os.getpid()}-{sha256}"
        try:
            self.root.mkdir(mode=0o700, parents=True, exist_ok=True)
            with part.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            part.replace(place)
            flush_folder(self.root)
        except OSError as error:
            part.unlink(missing_ok=True)
            raise cannot_write(self.root, error) from error
        return sha256

    def read(self, sha256: str) -> bytes:
        """A photo's content. Raises BadInput where its file is not there or is another."""
        try:
            content = (self.root / sha256).read_bytes()
        except OSError as error:
            cure = "Look at `balewright doctor`; bring the file back from a backup."
            given = error.strerror or "none"
            raise BadInput(Fault(f"photos/{sha256}", "a photo's file", given, cure)) from error
        if hashlib.sha256(content).hexdigest() != sha256:
            cure = "Bring the file back from a backup."
            raise BadInput(Fault(f"photos/{sha256}", "the photo that arrived", "another", cure))
        return content

    def let_go(self, sha256: str) -> None:
        """Remove a photo's file."""
        (self.root / sha256).unlink(missing_ok=True)
