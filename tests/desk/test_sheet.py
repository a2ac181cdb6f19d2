"""The setup-sheet page: form, live result, keeping, the card."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import pytest

from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

FILM = {"film_width": 750, "film_thickness": 25, "film_roll": 1500, "stretch": 70}
FIELDS = {
    "crop": "grass silage",
    "moisture": 55,
    "windrow": 4,
    "speed": 9,
    "slope": 3,
    "net_roll": 3000,
    "storage": 10,
    "bales": 200,
    **FILM,
}


def fields(**changed: object) -> dict[str, object]:
    """A good form for a wrapping make, with some fields changed."""
    from balewright.desk.workplace import the_workplace

    wraps = next(key for key, made in the_workplace().profiles.items() if made.wrapper)
    return {"machine": f"make:{wraps}", **FIELDS, **changed}


LIVE = {"HX-Request": "true"}


def result(desk: Desk, **changed: object) -> str:
    """The live result for those fields."""
    answer = desk.technician.get("/sheet/result?" + urlencode(fields(**changed)), headers=LIVE)
    assert answer.status_code == 200
    return str(answer.content.decode())


def test_manager_and_technician_make_sheets_a_reader_does_not(desk: Desk) -> None:
    """The form is for those who answer for settings."""
    assert desk.manager.get("/sheet").status_code == 200
    assert desk.technician.get("/sheet").status_code == 200
    assert desk.reader.get("/sheet").status_code == 403
    assert desk.post(desk.reader, "/sheet/keep", **fields()).status_code == 403


def test_a_first_sheet_shows_at_once(desk: Desk) -> None:
    """A newcomer sees a whole sheet before typing anything."""
    page = desk.technician.get("/sheet").content.decode()
    assert "Cautions first" in page
    assert "Wrap turns" in page


def test_cautions_stand_before_every_setting(desk: Desk) -> None:
    """What can hurt is read first."""
    page = result(desk)
    assert page.index("Cautions first") < page.index("What to expect") < page.index("Settings")


@pytest.mark.derived
def test_speed_and_moisture_reach_the_sheet_in_their_units(desk: Desk) -> None:
    """4 kg/m x 9 km/h is 36 t/h, by hand: 4 kg/m x 9000 m/h = 36,000 kg/h."""
    assert "Feeds 36\N{NO-BREAK SPACE}t/h" in result(desk)
    assert "Feeds 18\N{NO-BREAK SPACE}t/h" in result(desk, speed=4.5)


def test_what_is_wrong_is_named_with_its_field(desk: Desk) -> None:
    """An impossible number names the field, and no sheet is shown."""
    page = result(desk, moisture=150)
    assert "The sheet cannot be made yet" in page
    assert "Moisture" in page
    assert "less than or equal to 100" in page
    assert "Cautions first" not in page


def beside(page: str, field: str) -> str:
    """What a live result puts beside a field."""
    found = re.search(
        rf'<p class="wrong" id="id_{field}_error"[^>]*hx-swap-oob[^>]*>(.*?)</p>', page
    )
    assert found is not None
    return found[1]


def test_a_live_result_tells_what_is_wrong_beside_its_field(desk: Desk) -> None:
    """The word stands beside the field that is wrong, and leaves the other fields clean; also
    where only the rules of the sheet find it out.
    """
    page = result(desk, moisture=150)
    assert "less than or equal to 100" in beside(page, "moisture")
    assert beside(page, "windrow") == ""
    assert "moisture from 0.03 to 0.4" in beside(result(desk, crop="hay"), "moisture")
    assert "which fits this machine" in beside(result(desk, film_width=300), "film_width")
    assert beside(result(desk), "moisture") == ""


def test_without_a_script_a_wrong_field_comes_back_with_its_page(desk: Desk) -> None:
    """The card of a sheet that cannot be made is the whole page with the form, not a piece."""
    answer = desk.technician.get("/sheet/result?" + urlencode(fields(card=1, moisture=150)))
    page = answer.content.decode()
    assert "<!doctype html>" in page
    assert 'aria-describedby="id_moisture_helptext id_moisture_error"' in page


@pytest.mark.parametrize("given", ["nan", "inf", "-1", "abc", ""])
def test_no_number_of_the_form_can_be_nonsense(desk: Desk, given: str) -> None:
    """NaN, infinity, negative and empty are refused before anything is computed."""
    assert "The sheet cannot be made yet" in result(desk, windrow=given)


def test_half_a_film_roll_is_refused(desk: Desk) -> None:
    """All of a roll's numbers or none; without any, the sheet says that it cannot tell."""
    assert "needs all of width, thickness" in result(desk, stretch="")
    without = result(desk, **dict.fromkeys(FILM, ""))
    assert "without its label there are no turns" in without


def test_a_kept_sheet_is_the_same_one_again(desk: Desk) -> None:
    """Kept, opened by a reader, and offered to be made again with the same fields."""
    from balewright.desk.workplace import the_workplace

    workplace = the_workplace()
    workplace.register.save_machine(
        MachineEntry("K-9", "Nine", fields()["machine"].removeprefix("make:"), "Etc/UTC", None)  # type: ignore[attr-defined]
    )
    answer = desk.post(desk.technician, "/sheet/keep", **fields(machine="machine:K-9"))
    assert answer.status_code == 302
    kept = answer.headers["Location"]
    page = desk.reader.get(kept).content.decode()
    assert "Cautions first" in page
    assert 'href="/machines/K-9"' in page
    assert "Change and make again" not in page
    ahead = re.search(r'href="(/machines/K-9/outlook[^"]*)"', page)
    assert ahead is not None
    shown = desk.reader.get(ahead[1].replace("&amp;", "&")).content.decode()
    assert 'name="moisture" value="55"' in shown
    assert "For the conditions as they are set here" in shown
    again = desk.technician.get(kept).content.decode()
    assert "moisture=55&amp;windrow=4&amp;speed=9" in again


def test_the_card_is_a_pdf(desk: Desk) -> None:
    """Of the form's sheet and of a kept one alike; readers may print too."""
    kept = desk.post(desk.technician, "/sheet/keep", **fields()).headers["Location"]
    for client, url in (
        (desk.reader, f"{kept}/card.pdf"),
        (desk.technician, "/sheet/result?" + urlencode(fields(card=1))),
    ):
        answer = client.get(url)
        assert answer.headers["Content-Type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF-")


def test_an_unknown_sheet_is_not_there(desk: Desk) -> None:
    """A cut-off address meets the 404 page."""
    assert desk.reader.get("/sheet/S-none").status_code == 404
    assert desk.reader.get("/sheet/S-none/card.pdf").status_code == 404
