"""What if one condition were another, and two kept sheets side by side, on the desk."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

import pytest

from balewright.desk.beside.forms import NAMES
from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

JOB = {
    "machine": "make:mossgrinder-m2",
    "crop": "grass silage",
    "moisture": 55,
    "windrow": 4,
    "speed": 9,
    "slope": 3,
    "net_roll": 3000,
    "storage": 10,
    "bales": 200,
    "film_width": 750,
    "film_thickness": 25,
    "film_roll": 1500,
    "stretch": 70,
}
LIVE = {"HX-Request": "true"}
PRICES = {
    "film_price": 90, "net_price": 200, "fuel_price": 1.2, "wage": 20, "gathered": 7,
    "season": 4000, "machine_price": 90_000, "tractor_price": 120_000, "tractor_power": 110,
    "years": 8, "tractor_hours": 700, "interest": 4, "shelter": 1,
}  # fmt: skip


def keep(desk: Desk, **changed: Any) -> str:
    """Address of a sheet kept for the job with some fields changed."""
    answer = desk.post(desk.technician, "/sheet/keep", **{**JOB, **changed})
    assert answer.status_code == 302, answer.content.decode()
    return str(answer.headers["Location"])


def ask(desk: Desk, kept: str, live: bool = True, **query: Any) -> str:
    """What the row of a kept sheet answers to a reader, with plain spaces."""
    headers = LIVE if live else {}
    answer = desk.reader.get(f"{kept}/what-if?{urlencode(query)}", headers=headers)
    assert answer.status_code == 200
    return str(answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")


def words_of(page: str) -> str:
    """The text without its marks."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_a_chosen_condition_is_tried_at_once_with_a_usual_value(desk: Desk) -> None:
    """Choosing "Slope" puts 15 % into its field and shows the new caution, then the effects, then
    what is set otherwise.
    """
    page = ask(desk, keep(desk), what="slope")
    assert 'id="what-if-to" hx-swap-oob="true"' in page
    assert re.search(r'name="to_slope" value="15"', page)
    text = words_of(page)
    order = [text.index(part) for part in
             ("Slope 15 % instead of 3 %", "New cautions", "Pace changes", "Layers stays",
              "settings change", "stay as they are")]  # fmt: skip
    assert order == sorted(order)
    assert "flat side → other" in text
    assert "position 4" in text


def test_a_typed_value_leaves_its_field_alone_and_moves_the_answer(desk: Desk) -> None:
    """The field a person types in is not swapped under their hands."""
    page = ask(desk, keep(desk), what="film_width", to_film_width=500)
    assert 'id="what-if-to"' not in page
    text = words_of(page)
    assert "99.2 m a bale instead of 70 m" in text
    assert "Left at the 12 wrap turns of before it would be 3 layers" in text
    assert "Wrap turns 12 17 ↑ more" in text


def test_a_value_never_goes_to_another_condition(desk: Desk) -> None:
    """What was typed for the film's width is not taken for the slope chosen after it."""
    page = ask(desk, keep(desk), what="slope", to_film_width=500)
    assert "Slope 15 % instead of 3 %" in words_of(page)


@pytest.mark.parametrize("what", [name for name in NAMES if name != "additive"])
def test_every_condition_can_be_asked_for(desk: Desk, what: str) -> None:
    """A usual value of each gives an answer and no fault; yes and no need no value."""
    page = ask(desk, keep(desk), what=what)
    text = words_of(page)
    assert "Answer up to date." in text, text
    assert "instead of" in text


@pytest.mark.parametrize(
    ("what", "to", "said"),
    [
        ("moisture", "150", "less than or equal to 100"),
        ("moisture", "nan", "Enter a number"),
        ("moisture", "", "required"),
        ("moisture", "90", "moisture from 0.03 to 0.85"),
        ("film_width", "300", "which fits this machine"),
        ("crop", "hay", "moisture from 0.03 to 0.4"),
        ("crop", "maize", "not one of the available choices"),
        ("bales", "2.5", "whole number"),
        ("speed", "-1", "greater than or equal to 0.5"),
    ],
)
def test_a_wrong_value_is_told_beside_its_field(desk: Desk, what: str, to: str, said: str) -> None:
    """With the word that would help, and no answer to a job that cannot be."""
    page = ask(desk, keep(desk), what=what, **{f"to_{what}": to})
    found = re.search(rf'id="what_to_{what}_error"[^>]*hx-swap-oob[^>]*>(.*?)</p>', page)
    assert found is not None
    assert said in found[1]
    assert "Answer up to date." not in page


def test_an_unknown_condition_is_refused_beside_the_choice(desk: Desk) -> None:
    """An address that was tampered with meets no fault of ours."""
    page = ask(desk, keep(desk), what="weather")
    assert "not one of the available choices" in page
    assert "Answer up to date." not in page


def test_without_a_script_it_is_a_page_with_a_button(desk: Desk) -> None:
    """The same answer on a page of its own that keeps what was chosen; it leads back."""
    kept = keep(desk)
    page = ask(desk, kept, live=False, what="slope", to_slope=12)
    assert "<!doctype html>" in page
    assert 'value="12"' in page
    assert f'href="{kept}"' in page
    assert re.search(r'<button class="button quiet">Show</button>', page)
    assert "Slope 12 % instead of 3 %" in words_of(page)


def test_the_form_can_be_asked_before_anything_is_kept(desk: Desk) -> None:
    """The row beside the form asks about what stands in it now; one that is not whole waits; a
    reader makes no sheets.
    """
    query = urlencode({**JOB, "slope": 5, "what": "slope", "to_slope": 10})
    page = desk.technician.get(f"/sheet/what-if?{query}", headers=LIVE).content.decode()
    assert "Slope 10" in page
    plain = desk.technician.get(f"/sheet/what-if?{query}").content.decode()
    assert '<input type="hidden" name="windrow" value="4">' in plain
    broken = urlencode({**JOB, "windrow": "x"})
    wait = desk.technician.get(f"/sheet/what-if?{broken}", headers=LIVE).content.decode()
    assert "Once the form has no fault" in wait
    assert desk.reader.get(f"/sheet/what-if?{query}").status_code == 403


def test_cost_is_in_money_once_the_prices_of_the_sign_in_are_there(desk: Desk) -> None:
    """Prices typed into the pictures' form are used here as well."""
    from balewright.desk.workplace import the_workplace

    entry = MachineEntry("K-9", "Nine", "mossgrinder-m2", "Etc/UTC", None)
    the_workplace().register.save_machine(entry)
    kept = keep(desk, machine="machine:K-9")
    assert "prices are missing" in ask(desk, kept, what="film_width")
    query = {name: value for name, value in JOB.items() if name != "machine"}
    query |= {"climate": "cool-moist", "month": 6, **PRICES}
    address = f"/machines/K-9/outlook/pictures?{urlencode(query)}"
    assert desk.reader.get(address, headers=LIVE).status_code == 200
    assert "a tonne of dry matter" in ask(desk, kept, what="film_width")


def test_a_sheet_for_the_changed_job_is_one_link_away(desk: Desk) -> None:
    """Whoever makes sheets gets the form filled with the changed value; a reader gets no link."""
    kept = keep(desk)
    answer = desk.technician.get(f"{kept}/what-if?what=slope&to_slope=12", headers=LIVE)
    link = re.search(r'href="/sheet\?([^"]+)"', answer.content.decode())
    assert link is not None
    assert "slope=12" in link[1]
    assert "moisture=55" in link[1]
    assert "Make this sheet" not in ask(desk, kept, what="slope")


def test_two_kept_sheets_stand_side_by_side(desk: Desk) -> None:
    """What was asked otherwise, what it gives, what is set: first and second, and the other way."""
    one, other = keep(desk), keep(desk, slope=15, stony="on")
    other_id = other.rpartition("/")[2]
    page = desk.reader.get(f"{one}/beside/{other_id}")
    assert page.status_code == 200
    text = words_of(page.content.decode())
    assert "Slope 3" in text
    assert "Stones no yes → other" in text
    assert "New cautions" in text
    assert f"{other}/beside/{one.rpartition('/')[2]}" in page.content.decode()
    turned = desk.reader.get(f"{other}/beside/{one.rpartition('/')[2]}").content.decode()
    assert "New cautions" not in turned
    assert "Cautions that fall away" in turned
    same = desk.reader.get(f"{one}/beside/{one.rpartition('/')[2]}").content.decode()
    assert "Nothing on the sheet changes" in same


def test_another_sheet_is_picked_from_a_list_and_a_wrong_one_told(desk: Desk) -> None:
    """The list names machine, crop and day; an id nobody kept comes back beside the field."""
    one = keep(desk)
    assert "No other sheet is kept yet" in desk.reader.get(f"{one}/beside").content.decode()
    other = keep(desk, slope=15).rpartition("/")[2]
    page = desk.reader.get(f"{one}/beside").content.decode()
    assert f'<option value="{other}">' in page
    assert "grass silage" in page
    chosen = desk.reader.get(f"{one}/beside?other={other}")
    assert (chosen.status_code, chosen.headers["Location"]) == (302, f"{one}/beside/{other}")
    wrong = desk.reader.get(f"{one}/beside?other=S-none")
    assert wrong.status_code == 422
    assert 'aria-describedby="other_error"' in wrong.content.decode()
    for gone in ("/sheet/S-none/beside", f"{one}/beside/S-none", "/sheet/S-none/what-if"):
        assert desk.reader.get(gone).status_code == 404


def test_a_kept_sheet_leads_to_both(desk: Desk) -> None:
    """From its page, also without a script."""
    kept = keep(desk)
    page = desk.reader.get(kept).content.decode()
    assert f'href="{kept}/what-if"' in page
    assert f'href="{kept}/beside"' in page
    assert 'href="#what-if"' in page
