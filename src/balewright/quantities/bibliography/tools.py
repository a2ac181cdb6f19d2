"""Libraries that check ours in the tests."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source

ENTRIES: Final[tuple[Source, ...]] = ()
