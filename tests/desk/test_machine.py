"""One machine's page."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

SERIAL = "K-77"
HEADER = "machine,bale_no,job,closed_at,tipped_at,wrap_turns,diameter_m,moisture_frac,status\n"


@pytest.fixture
def machine(desk: Desk, tmp_path: Path) -> str:
    """Path of the page of a wrapping machine with 60 bales, none of which was weighed."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    workplace = the_workplace()
    wraps = next(key for key, made in workplace.profiles.items() if made.wrapper)
    workplace.register.save_machine(MachineEntry(SERIAL, "Seventy-seven", wraps, "Etc/GMT-2"))
    start, rows = datetime(2031, 6, 1, 22, 30, tzinfo=UTC), []
    for place in range(60):
        closed = start + timedelta(minutes=2 * place)
        tipped = closed + timedelta(seconds=80)
        measured = "" if place == 59 else "0.5512"
        rows.append(
            f"{SERIAL},{4001 + place},east,{closed.isoformat()},{tipped.isoformat()},12,1.25,"
            f"{measured},ok\n"
        )
    records = tmp_path / "bales.csv"
    records.write_text(HEADER + "".join(rows))
    assert take_in_file(workplace, records).kept == 60
    return f"/machines/{SERIAL}"


def test_everybody_with_a_role_sees_it_and_a_reader_is_offered_nothing_more(
    desk: Desk, machine: str
) -> None:
    """The way to a new setup sheet is shown to those who may make one."""
    for client in (desk.manager, desk.technician):
        assert f'href="/sheet?machine={SERIAL}"' in client.get(machine).content.decode()
    page = desk.reader.get(machine)
    assert page.status_code == 200
    assert "/sheet?machine" not in page.content.decode()


def test_an_unknown_serial_is_not_there(desk: Desk) -> None:
    """No machine is made up from an address."""
    assert desk.reader.get("/machines/NOT-THERE").status_code == 404


def test_counters_and_what_cannot_be_told_are_said(desk: Desk, machine: str) -> None:
    """Lifetime by the machine's own counter, at least, for nobody told of swaps; the journal's
    count, and what goes unwatched.
    """
    page = desk.reader.get(machine).content.decode()
    assert "<dt>Lifetime bales</dt><dd>at least 4,060</dd>" in page
    assert "<dt>Bales in the journal</dt><dd>60</dd>" in page
    assert "What these records cannot tell" in page


def test_the_newest_bale_stands_first_at_its_own_local_time(desk: Desk, machine: str) -> None:
    """Etc/GMT-2 is two hours ahead of UTC; fifty rows a page."""
    first = desk.reader.get(machine).content.decode()
    assert '<th scope="row">4060</th><td class="day">2031-06-02 02:29</td>' in first
    assert first.count('<th scope="row">40') == 50
    second = desk.reader.get(f"{machine}?page=2").content.decode()
    assert second.count('<th scope="row">40') == 10


def test_an_unknown_value_is_a_dash_in_the_table_and_a_gap_in_the_chart(
    desk: Desk, machine: str
) -> None:
    """The last bale's moisture was not sensed: it is drawn nowhere, least of all at zero."""
    page = desk.reader.get(machine).content.decode()
    block = page.partition('<script id="bale-charts" type="application/json">')[2]
    charts = json.loads(block.partition("</script>")[0])
    assert charts["rows"][0]["moisture_frac"] == 0.5512
    assert "moisture_frac" not in charts["rows"][-1]
    assert "mass_kg" not in charts["specs"]
    assert '<td class="number">–</td>' in page


def test_layers_are_the_first_chart_and_the_newest_bale_is_drawn_as_recorded(
    desk: Desk, tmp_path: Path
) -> None:
    """Bales of a kept sheet: the chart of layers comes first, its values stand in the table, and
    the picture says which bale it is; the plan follows below. A reader's look saves nothing.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.flows.fill_demo import fill_demo

    workplace = the_workplace()
    fill_demo(workplace)
    reviewed = workplace.register.load_reviews()
    page = desk.reader.get("/machines/TT-2002").content.decode()
    block = page.partition('<script id="bale-charts" type="application/json">')[2]
    charts = json.loads(block.partition("</script>")[0])
    assert next(iter(charts["specs"])) == "layers"
    newest = charts["rows"][-1]
    assert newest["layers"] < newest["layers_wanted"] == 6
    assert f'<td class="number">{newest["layers"]} of 6</td>' in page
    assert f"As recorded, bale {int(newest['number']):,}" in page
    assert page.index("As recorded") < page.index('id="outlook"')
    assert "drawn at the planned diameter" in page
    assert "Read from wrap turns" in page
    assert "film1_m" not in page.partition('id="chart"')[0]
    assert workplace.register.load_reviews() == reviewed


def test_a_name_cannot_break_out_of_the_page(desk: Desk, tmp_path: Path) -> None:
    """A job that looks like markup stays text, also inside the charts' data."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    workplace = the_workplace()
    entry = MachineEntry("X-1", "</script><b>", next(iter(workplace.profiles)), "UTC", None)
    workplace.register.save_machine(entry)
    records = tmp_path / "odd.csv"
    records.write_text(HEADER + "X-1,1,</script><img>,2031-06-01T10:00:00Z,,,1.2,,ok\n")
    take_in_file(workplace, records)
    page = desk.reader.get("/machines/X-1").content.decode()
    assert "<img>" not in page
    assert "</script><b>" not in page
