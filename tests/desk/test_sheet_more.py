"""What nobody has to say in the sheet's form, and what becomes of it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import pytest
from tests.desk.test_sheet import beside, fields, result

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

MORE = {
    "climate_kind": "cool-moist",
    "row_width": 1.0,
    "spread": 15,
    "additive": 2,
    "weighed": "on",
}


def test_what_is_known_reaches_the_sheet(desk: Desk) -> None:
    """Climate, row, spread, additive and scale change their lines."""
    plain, known = result(desk), result(desk, storage=7, **MORE)
    assert "Drive along the row" in known
    assert "make a barrel or a cone: weave" in known
    assert "make a barrel or a cone: weave" not in plain
    assert "Cool and moist" in known
    assert "of bales as they differ" in known
    assert "l/t" in known


def test_the_form_keeps_what_was_said(desk: Desk) -> None:
    """A kept sheet is made again from the same conditions, these too."""
    answer = desk.post(desk.technician, "/sheet/keep", **fields(storage=7, **MORE))
    assert answer.status_code == 302
    page = desk.technician.get(answer.headers["Location"]).content.decode()
    for name, value in (("climate_kind", "cool-moist"), ("row_width", "1"), ("additive", "2")):
        assert f'name="{name}" value="{value}' in page or f"{name}={value}" in page, name


def test_a_wrong_one_is_told_beside_its_field(desk: Desk) -> None:
    """The part opens, and the field says what it needs."""
    page = desk.technician.get("/sheet?" + urlencode(fields(row_width=60))).content.decode()
    assert '<details class="more" open>' in page
    quiet = desk.technician.get("/sheet?" + urlencode(fields())).content.decode()
    assert '<details class="more" open>' not in quiet.split('id="result"')[0]


def test_what_pulls_two_ways_and_what_to_measure_stands_on_the_page(desk: Desk) -> None:
    """Conflicts, the first measures and roll changes have a part of their own, where there are
    any.
    """
    page = result(desk, slope=20, dusty="on", stony="on")
    for key in ("conflicts", "measures", "rolls"):
        assert f'id="day-{key}"' in page
    assert "Stones win" in page
    assert 'id="day-conflicts"' not in result(desk)
    assert ">Other<" not in page


def test_what_is_left_on_the_rolls_moves_their_first_change(desk: Desk) -> None:
    """70 m a bale off two rolls are 35 m off each: with 350 m left on both they end about bale
    10; a word, or one roll for two dispensers, is told beside the field; it is kept.
    """
    page = result(desk, rolls_left="350 350")
    assert re.search(
        r"Film roll 1 ends during bale 1[01] ", page.replace("\N{NO-BREAK SPACE}", " ")
    )
    assert "with a space between" in beside(result(desk, rolls_left="half"), "rolls_left")
    assert "each of 2 dispensers" in beside(result(desk, rolls_left="350"), "rolls_left")
    assert "from 0 to 20000" in beside(result(desk, rolls_left="350 nan"), "rolls_left")
    kept = desk.post(desk.technician, "/sheet/keep", **fields(rolls_left="350, 900"))
    again = desk.technician.get(kept.headers["Location"]).content.decode()
    assert "rolls_left=350%20900" in again


def test_the_pictures_lie_where_the_sheet_says(desk: Desk) -> None:
    """The place that a sheet names is where its pictures reckon keeping, and what nobody has to
    say goes along to the next sheet.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.store.entries import MachineEntry

    entry = MachineEntry("K-9", "Nine", "mossgrinder-m2", "Etc/UTC", None)
    the_workplace().register.save_machine(entry)
    given = fields(machine="machine:K-9", climate_kind="warm-dry", row_width=1.0)
    assert desk.post(desk.technician, "/sheet/keep", **given).status_code == 302
    page = desk.technician.get("/machines/K-9/outlook").content.decode()
    assert '<option value="warm-dry" selected>' in page
    assert "climate_kind=warm-dry" in page
    assert re.search(r'row_width=1["&]', page)


def test_what_the_pictures_do_not_ask_stays_as_it_is(desk: Desk) -> None:
    """A field that the pictures' form does not show goes along hidden, and no answer is sent
    beside a field that is not there.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.store.entries import MachineEntry

    entry = MachineEntry("K-9", "Nine", "mossgrinder-m2", "Etc/UTC", None)
    the_workplace().register.save_machine(entry)
    place = "/machines/K-9/outlook"
    page = desk.technician.get(f"{place}?row_width=0.9&weighed=True").content.decode()
    assert re.search(r'<input type="hidden" name="row_width" value="0.9"', page)
    assert re.search(r'<input type="hidden" name="weighed" value="True"', page)
    live = desk.technician.get(f"{place}/pictures?row_width=0.9", headers={"HX-Request": "true"})
    sent = live.content.decode()
    assert 'id="id_windrow_error"' in sent
    assert 'id="id_row_width_error"' not in sent
