"""The page Health: for managers, and it tells what is wrong."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def test_only_a_manager_opens_it(desk: Desk) -> None:
    """Manager yes; technician and reader meet the 403 page."""
    assert desk.manager.get("/health").status_code == 200
    assert desk.technician.get("/health").status_code == 403
    assert desk.reader.get("/health").status_code == 403
    assert desk.nobody.get("/health").status_code == 302


def test_it_tells_what_is_wrong_and_how_to_mend_it(desk: Desk) -> None:
    """An original that went away without a rule stands first, with its cure."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    file = desk.home / "june.csv"
    file.write_text("machine,bale_no,tipped_at\nH-1,1,2031-06-14T09:00:00Z\n")
    take_in_file(the_workplace(), file)
    file.unlink()
    page = desk.manager.get("/health").content.decode()
    assert "Every column file is there: 1, rows of bales: 1." in page
    shutil.rmtree(desk.home / "originals")
    page = desk.manager.get("/health").content.decode()
    assert "Originals missing though no rule let them go: 1 (june.csv)." in page
    assert "Copy the folder back from a backup." in page
