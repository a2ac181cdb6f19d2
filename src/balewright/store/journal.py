"""The journal: column files in a folder, of which only those in the manifest count."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from balewright.store.register import Register


class Journal:
    """Bales and events, kept for good. root: the folder of the column files."""

    def __init__(self, root: Path, register: Register) -> None:
        self.root = root
        self.register = register

    def sweep(self) -> tuple[str, ...]:
        """Clear away files that no intake will ever list; their paths."""
        return ()
