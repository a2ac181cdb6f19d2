"""Every package that is installed to run stands in the list with its licence."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.law
def test_every_package_needed_to_run_is_listed_with_its_licence() -> None:
    """A new dependency is a decision: it cannot slip in unlisted."""
    listed = (ROOT / "THIRD-PARTY.md").read_text()
    pinned = re.findall(r"^([a-z0-9-]+)==", (ROOT / "requirements.txt").read_text(), re.MULTILINE)
    assert len(pinned) > 20
    for name in pinned:
        assert re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", listed), name
