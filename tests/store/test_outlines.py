"""Outlines in the register: by file and by person, counted only once their file is in."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from balewright.flows.take_in_file import take_in_file
from balewright.records.outlines import Outline
from balewright.settings import load_settings, open_workplace
from balewright.store.register import open_register

RING = ((8.0, -38.0), (8.0, -37.998), (8.002, -37.998), (8.0, -38.0))
FIELD = Outline("Long field", (RING,), "Yard", "Umber")
POINTS = "".join(f'<PNT A="2" C="{lat}" D="{lon}"/>' for lat, lon in RING)
TASK_DATA = (
    '<ISO11783_TaskData VersionMajor="4" VersionMinor="2"><CTR A="CTR1" B="Umber"/>'
    '<FRM A="FRM1" B="Yard" I="CTR1"/><PFD A="PFD1" C="Long field" D="1" E="CTR1" F="FRM1">'
    f'<PLN A="1"><LSG A="1">{POINTS}</LSG></PLN></PFD></ISO11783_TaskData>'
)


@pytest.mark.law
def test_outlines_come_back_as_they_were_kept(tmp_path: Path) -> None:
    """Two customers' fields of one name are two; the same one again takes the place of the first;
    parts of one field are one; a file's count only once it is taken in."""
    other = replace(FIELD, customer="Nettle")
    nameless = Outline("Long field", (RING, RING))
    with open_register(tmp_path / "register.sqlite3") as register:
        assert register.save_outlines([FIELD, other, nameless]) == 3
        assert set(register.load_outlines()) == {FIELD, other, nameless}
        smaller = replace(FIELD, rings=(RING[:3],))
        assert register.save_outlines([smaller]) == 1
        assert set(register.load_outlines()) == {smaller, other, nameless}
        assert register.save_outlines([nameless, nameless]) == 1
        assert len(register.load_outlines()) == 3
        register.save_outlines([FIELD], source="0" * 64)
        assert len(register.load_outlines()) == 3
        assert register.remove_outline(nameless)
        assert not register.remove_outline(nameless)
        assert set(register.load_outlines()) == {smaller, other}


@pytest.mark.derived
def test_the_fields_of_task_data_are_kept_with_it(tmp_path: Path) -> None:
    """A set that draws a field: its outline is in the register, from that file, once."""
    workplace = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    (tmp_path / "TASKDATA.XML").write_text(TASK_DATA)
    report = take_in_file(workplace, tmp_path / "TASKDATA.XML")
    assert report.state == "taken"
    assert workplace.register.load_outlines() == (replace(FIELD, source=report.sha256),)
    take_in_file(workplace, tmp_path / "TASKDATA.XML")
    assert len(workplace.register.load_outlines()) == 1
    workplace.register.close()
