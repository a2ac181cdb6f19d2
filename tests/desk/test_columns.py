"""Saying at the desk what the columns of another program's table mean."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

TABLE = (
    "Ballenbericht\r\n"
    "Maschine;Ballen-Nr.;Zeit;Gewicht [lb];Zustand\r\n"
    "Z-9;1;14.06.2031 09:30:00;1.410,5;gut\r\n"
    "Z-9;2;14.06.2031 09:31:00;1.420,5;naß\r\n"
    "Z-9;3;14.06.2031 09:32:00;schwer;gut\r\n"
).encode("cp1252")


def send(client: Any, url: str, field: str, name: str, content: bytes) -> Any:
    """Send one file by a form."""
    file = io.BytesIO(content)
    file.name = name
    return client.post(url, {field: file})


def answers(page: str) -> dict[str, str]:
    """What the form on the page would send, as a browser reads it."""
    found = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', page))
    found |= dict(re.findall(r'<input type="text" name="(\w+)" value="([^"]*)"', page))
    for name, options in re.findall(r'<select[^>]* ?name="(\w+)".*?>(.*?)</select>', page, re.S):
        chosen = re.search(r'<option value="([^"]*)" selected', options)
        found[name] = chosen[1] if chosen else ""
    found.pop("csrfmiddlewaretoken", None)
    return found


def table(desk: Desk) -> tuple[str, dict[str, str]]:
    """A table that waits to be explained: its address and the form's answers."""
    held = send(desk.technician, "/columns", "table", "bericht.csv", TABLE).headers["Location"]
    return held, answers(desk.technician.get(held).content.decode())


def test_a_reader_may_not_and_a_technician_may(desk: Desk) -> None:
    """Column maps belong to taking in."""
    assert desk.technician.get("/columns").status_code == 200
    assert desk.reader.get("/columns").status_code == 403
    assert send(desk.reader, "/columns", "table", "a.csv", TABLE).status_code == 403
    assert desk.technician.get(f"/columns/tables/{'0' * 32}").status_code == 404
    assert desk.technician.get("/columns/maps/M-none").status_code == 404


def test_a_table_is_guessed_and_what_is_open_is_asked(desk: Desk) -> None:
    """Columns, units and words are proposed; letters and zone are asked; nothing is kept yet."""
    held, given = table(desk)
    page = desk.technician.get(held).content.decode()
    assert given["target_3"] == "mass_kg"
    assert (given["unit_3"], given["zone"], given["decimal"]) == ("lb", "", ",")
    assert "only the likeliest" in page
    assert "Zustand: these words are not known yet: naß" in page
    assert "Kept: 1. Refused: 2. Doubtful: 0." in page
    assert "640\N{NO-BREAK SPACE}kg" in page
    assert not desk.technician.get("/columns").content.decode().count("bericht</strong>")


def test_the_preview_answers_each_change(desk: Desk) -> None:
    """A word that was explained keeps its row; a target that changed gets its units anew."""
    held, given = table(desk)
    words = {name for name in given if name.startswith("word_4_")}
    changed = given | dict.fromkeys(words, "ok") | {"zone": "Europe/Berlin"}
    page = desk.post(desk.technician, f"{held}/preview", **changed).content.decode()
    assert "Kept: 2. Refused: 1." in page
    assert "Needs a number in lb with a decimal comma" in page
    other = given | {"target_3": "film_m"}
    page = desk.post(desk.technician, f"{held}/preview", **other).content.decode()
    assert 'id="unit-3" hx-swap-oob="true"' in page
    assert '<option value="yd"' in page
    double = given | {"target_3": "bale_no"}
    page = desk.post(desk.technician, f"{held}/preview", **double).content.decode()
    assert "needs one column, was given several" in page


def test_nothing_is_kept_before_what_is_open_is_answered(desk: Desk) -> None:
    """Without zone and confirmed letters the form comes back with what is needed."""
    held, given = table(desk)
    refused = desk.post(desk.technician, held, **given, do="keep")
    assert refused.status_code == 422
    page = refused.content.decode()
    assert "The table does not say it: choose." in page
    assert "tick this" in page
    assert desk.technician.get(held).status_code == 200


def test_a_confirmed_map_takes_the_file_in_and_reads_the_next_by_itself(desk: Desk) -> None:
    """The bales are kept in SI; a later table with the same headings needs no answer."""
    from tests.desk.test_intake import send as send_in
    from tests.desk.test_intake import work

    held, given = table(desk)
    confirmed = given | {"zone": "Europe/Berlin", "letters": "on", "name": "Hofbericht"}
    answer = desk.post(desk.technician, held, **confirmed, do="take")
    assert answer.status_code == 302
    work()
    done = desk.technician.get(answer.headers["Location"]).content.decode()
    assert "table by a map" in done
    assert desk.technician.get(held).status_code == 404
    again = TABLE.replace(b";1;", b";11;")
    ticket = send_in(desk.technician, ("next.csv", again)).headers["Location"]
    work()
    assert "table by a map" in desk.technician.get(ticket).content.decode()
    listed = desk.technician.get("/columns").content.decode()
    key = re.search(r"M-[0-9a-f]{12}", listed)
    assert key is not None
    text = desk.technician.get(f"/columns/maps/{key[0]}").content
    assert b'name = "Hofbericht"' in text
    gone = desk.technician.post(f"/columns/maps/{key[0]}/withdraw")
    assert gone.status_code == 302
    assert "<strong>Hofbericht</strong>" not in desk.technician.get("/columns").content.decode()
    taken = send(desk.technician, "/columns/import", "map", "hof.toml", text)
    assert taken.status_code == 302
    assert "<strong>Hofbericht</strong>" in desk.technician.get("/columns").content.decode()
    wrong = send(desk.technician, "/columns/import", "map", "x.toml", b"name = 1")
    assert wrong.status_code == 422


def test_a_table_that_was_not_understood_waits_to_be_explained(desk: Desk) -> None:
    """An upload refused for its unknown columns offers the page, and the file is still there."""
    from tests.desk.test_intake import send as send_in
    from tests.desk.test_intake import work

    other = TABLE.replace(b"Zustand", b"Qualit\xe4t")
    ticket = send_in(desk.technician, ("fremd.csv", other)).headers["Location"]
    work()
    page = desk.technician.get(ticket).content.decode()
    assert "Say what its columns mean" in page
    way = re.search(r"/columns/tables/[0-9a-f]{32}", page)
    assert way is not None
    (report,) = set(re.findall(r"/intake/reports/[0-9a-f]{64}", page))
    for leads in (report.removesuffix("/report.json"), "/columns"):
        assert way[0] in desk.technician.get(leads).content.decode(), leads
    state = desk.technician.get(f"{ticket}/state").json()
    assert "say there what they mean" in state["words"]
    assert "Gewicht [lb]" in desk.technician.get(way[0]).content.decode()
