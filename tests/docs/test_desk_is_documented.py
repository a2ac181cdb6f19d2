"""What can be set and done at the desk stands in its page of the documentation."""

from __future__ import annotations

from pathlib import Path

import pytest

pytestmark = pytest.mark.law

DESK = (Path(__file__).parents[2] / "docs" / "desk.md").read_text()


def test_every_setting_is_documented() -> None:
    """The names that are read and the names in the table are the same."""
    from balewright.settings import _NAMES

    listed = {line.split("`")[1] for line in DESK.splitlines() if line.startswith("| `BALEWRIGHT_")}
    assert listed == {f"BALEWRIGHT_{name}" for name in _NAMES}


def test_limits_are_the_documented_ones() -> None:
    """Numbers in the text are those of the code."""
    import django
    from django.conf import settings

    django.setup()  # changes nothing where an earlier test did it
    from balewright.desk.sign_in.page import MAX_FAILURES, WAIT_S

    size_mb = settings.UPLOAD_FILE_BYTES // 1024**2
    assert f"{settings.UPLOAD_FILES} files at once and {size_mb} MB each" in DESK
    assert (MAX_FAILURES, WAIT_S) == (5, 15 * 60)
    assert "Five failed sign-ins" in DESK
