"""What a machine would give: the pictures on its page, and the form that moves them."""

from __future__ import annotations

import re
import time
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import pytest

from balewright.store.entries import MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

LIVE = {"HX-Request": "true"}
SERIAL = "K-88"
SHEET = {
    "machine": f"machine:{SERIAL}",
    "crop": "lucerne",
    "moisture": 51,
    "windrow": 3,
    "speed": 8,
    "slope": 2,
    "net_roll": 3000,
    "storage": 7,
    "bales": 90,
    "film_width": 750,
    "film_thickness": 25,
    "film_roll": 1500,
    "stretch": 70,
}
KEYS = ("layers", "keeping", "pace", "cost", "optimum")


def add(profile_key: str, serial: str = SERIAL) -> str:
    """A machine of that make without a sheet; the path of its outlook."""
    from balewright.desk.workplace import the_workplace

    the_workplace().register.save_machine(MachineEntry(serial, serial, profile_key, "UTC"))
    return f"/machines/{serial}/outlook"


def pictures(desk: Desk, place: str, **asked: object) -> str:
    """The live answer to those fields."""
    query = f"?{urlencode(asked)}" if asked else ""
    answer = desk.reader.get(f"{place}/pictures{query}", headers=LIVE)
    assert answer.status_code == 200
    return str(answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")


def beside(page: str, field: str) -> str:
    """What a live answer puts beside a field."""
    found = re.search(rf'id="id_{field}_error"[^>]*hx-swap-oob[^>]*>(.*?)</p>', page)
    assert found is not None
    return found[1]


def card(page: str, key: str) -> str:
    """What stands in one card."""
    return page.partition(f'id="card-{key}"')[2].partition("</section>")[0]


def test_every_role_sees_it_and_only_makers_of_sheets_are_led_to_one(desk: Desk) -> None:
    """Looking ahead is for everybody who may see; without a role or a sign-in there is nothing."""
    place = add("mossgrinder-m2")
    for client in (desk.manager, desk.technician):
        page = client.get(place).content.decode()
        assert f'href="/sheet?machine=machine%3A{SERIAL}' in page.replace("&amp;", "&")
    page = desk.reader.get(place).content.decode()
    assert 'id="card-layers"' in page
    assert "/sheet?" not in page
    assert desk.without_role.get(place).status_code == 403
    assert desk.nobody.get(place).status_code == 302
    assert desk.reader.get("/machines/NOT-THERE/outlook").status_code == 404
    assert desk.reader.get("/machines/NOT-THERE/outlook/pictures").status_code == 404


@pytest.mark.parametrize("make", ["mossgrinder-m2", "thistlewick-t1", "plainrow-p0"])
def test_a_machine_without_a_sheet_is_shown_an_example_that_says_so(desk: Desk, make: str) -> None:
    """Made-up conditions are never passed off as the machine's own; every card is there."""
    page = pictures(desk, add(make))
    assert "the conditions are made up" in page
    for key in KEYS:
        assert f'id="card-{key}"' in page
    wraps = make != "plainrow-p0"
    drawn = {key for key in KEYS if "<svg" in card(page, key)}
    assert drawn == ({*KEYS} if wraps else {"keeping", "pace", "cost"})


def test_the_conditions_are_those_of_the_sheet_in_force(desk: Desk) -> None:
    """Every machine of the demo: by the sheet its newest bales name, and its own page asks for
    the pictures by themselves.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.flows.demo_fleet import DEMO_FLEET
    from balewright.flows.fill_demo import fill_demo

    fill_demo(the_workplace())
    for demo in DEMO_FLEET:
        own = f"/machines/{demo.entry.serial}"
        assert f'hx-get="{own}/outlook/pictures"' in desk.reader.get(own).content.decode()
        page = pictures(desk, f"{own}/outlook")
        assert "the sheet that the newest bales were made by" in page
        assert f"{demo.conditions.moisture_frac:.0%} moisture".replace("%", " %") in page
        assert "No answer for these conditions" not in page
        for key in KEYS:
            assert f'id="card-{key}"' in page


def test_bales_differ_as_their_own_records_show_where_they_were_measured(
    desk: Desk, tmp_path: Path
) -> None:
    """Twenty bales of the sheet that differ by 30 mm either way: their spread is used and named;
    before them, and where too few were measured, it is assumed.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    place = add("mossgrinder-m2")
    before = card(pictures(desk, place), "layers")
    assert "Assumed: 20 mm in diameter" in before
    kept = desk.post(desk.technician, "/sheet/keep", **SHEET).headers["Location"]
    sheet = kept.rpartition("/")[2]
    rows = [
        f"{SERIAL},{number},2031-06-01T10:{number:02d}:00Z,{(1.22, 1.28)[number % 2]},{sheet}\n"
        for number in range(1, 21)
    ]
    records = tmp_path / "bales.csv"
    records.write_text("machine,bale_no,closed_at,diameter_m,sheet\n" + "".join(rows))
    assert take_in_file(the_workplace(), records).kept == 20
    page = card(pictures(desk, place), "layers")
    assert "31 mm in diameter on the last 20 measured" in page  # 30 mm x sqrt(20 / 19)


def test_a_kept_sheet_is_taken_before_an_example(desk: Desk) -> None:
    """No bale names it yet, and the words say that it is only kept."""
    place = add("mossgrinder-m2")
    assert desk.post(desk.technician, "/sheet/keep", **SHEET).status_code == 302
    page = pictures(desk, place)
    assert "the newest sheet kept for this machine" in page
    assert "lucerne, 51 % moisture" in page


def test_pictures_follow_the_form_and_its_address_can_be_passed_on(desk: Desk) -> None:
    """A fatter bale at the same turns comes short, and opening the address shows the same."""
    place = add("mossgrinder-m2")
    enough = pictures(desk, place, crop="grass silage", diameter=1.25, wrap_turns=12)
    assert "6 layers or more on every spot of a bale 1.25 m across" in enough
    asked = {"crop": "grass silage", "diameter": 1.45, "wrap_turns": 12}
    short = pictures(desk, place, **asked)
    assert "of the round side of a bale 1.45 m across short of 6 layers" in short
    assert "fewer than 1 % of them get 6 layers all round" in short
    answer = desk.reader.get(f"{place}/pictures?{urlencode(asked)}", headers=LIVE)
    assert answer.headers["HX-Replace-Url"] == f"{place}?{urlencode(asked)}"
    whole = desk.reader.get(f"{place}?{urlencode(asked)}").content.decode()
    assert "1.45\N{NO-BREAK SPACE}m across short of 6 layers" in whole
    without_script = desk.reader.get(f"{place}/pictures?{urlencode(asked)}")
    assert "<!doctype html>" in without_script.content.decode()


def test_no_value_breaks_the_page_and_a_wrong_one_is_told_beside_its_field(desk: Desk) -> None:
    """The page stands, the word is beside the field, its group is open, nothing is drawn."""
    place = add("mossgrinder-m2")
    nonsense = ("nan", "inf", "-inf", "-1", "1e309", "abc", "1e12", "%00", "<b>")
    fields = ("moisture", "diameter", "wrap_turns", "film_width", "film_price", "years", "waited")
    for field in fields:
        for given in nonsense:
            page = pictures(desk, place, **{field: given})
            assert beside(page, field) != "", (field, given)
            assert beside(page, "windrow") == "", (field, given)
            assert "<svg" not in page, (field, given)
    for field in fields:
        whole = desk.reader.get(f"{place}?{urlencode({field: 'nan'})}").content.decode()
        assert f'aria-describedby="id_{field}' in whole
        group = whole.rpartition(f'id="id_{field}"')[0].rpartition("<details")[2]
        assert group.startswith(' class="more" open'), field


def test_a_value_that_only_the_rules_refuse_is_told_beside_its_field(desk: Desk) -> None:
    """Film too wide for this machine, and hay too damp to be hay; odd names are passed over."""
    place = add("thistlewick-t1")
    assert "which fits this machine" in beside(pictures(desk, place, film_width=500), "film_width")
    damp = pictures(desk, place, crop="hay", moisture=60)
    assert "moisture from 0.03 to 0.4" in beside(damp, "moisture")
    assert beside(pictures(desk, place, crop="moss"), "crop") != ""
    assert "the conditions are made up" in pictures(desk, place, nonsense="<b>")


def test_unknown_stays_unknown(desk: Desk) -> None:
    """Without a roll's label there is no strip to count; hay gets no film, and both are said."""
    place = add("mossgrinder-m2")
    empty = dict.fromkeys(("film_width", "film_thickness", "film_roll", "stretch"), "")
    page = pictures(desk, place, crop="grass silage", **empty)
    assert "Unknown: no roll of film is named" in page
    assert "hay keeps by being dry" in pictures(desk, place, crop="hay", moisture=15)


EVERY_PRICE = {
    "film_price": 90,
    "net_price": 200,
    "fuel_price": 1.2,
    "wage": 20,
    "gathered": 7,
    "machine_price": 90_000,
    "tractor_price": 120_000,
    "tractor_power": 110,
    "years": 8,
    "tractor_hours": 700,
    "interest": 4,
    "shelter": 1,
    "season": 4000,
}


def test_a_price_nobody_gave_is_asked_for_and_never_assumed(desk: Desk) -> None:
    """Without prices a bale is told in metres and minutes; diesel is unknown without a tractor;
    each price that is given is told by itself; only with all of them there is a cost.
    """
    place = add("mossgrinder-m2")
    bare = card(pictures(desk, place), "cost")
    assert "What that costs is unknown until prices are given" in bare
    assert "Diesel is unknown" in bare
    assert "unknown" in bare.partition("<svg")[2]
    some = card(pictures(desk, place, film_price=90, tractor_power=110), "cost")
    assert "Film comes to" in some
    assert "Diesel is unknown" not in some
    assert "Assumed: the machine weighs 6 t" in some
    every = EVERY_PRICE
    whole = card(pictures(desk, place, **every), "cost")
    assert "A bale costs" in whole
    assert "in the currency of your prices" in whole
    for name in every:
        left = {key: value for key, value in every.items() if key != name}
        assert "A bale costs" not in card(pictures(desk, place, **left), "cost"), name


@pytest.mark.derived
def test_film_a_bale_costs_its_share_of_a_roll(desk: Desk) -> None:
    """By hand: 12 turns of 2 rolls round 2 x (1.25 + 1.23) m at 70 % stretch are 70.02 m of a
    roll of 1500 m, so of 90 a roll 4.2.
    """
    place = add("mossgrinder-m2")
    asked = {"diameter": 1.25, "wrap_turns": 12, "film_price": 90}
    page = card(pictures(desk, place, crop="grass silage", **asked), "cost")
    assert "A bale takes 70 m of film" in page
    assert "Film comes to 4.20 a bale" in page


def test_keeping_follows_the_store_and_shows_both_schools(desk: Desk) -> None:
    """Fewer layers lose more; the assumed place is said; damp silage and damp hay carry their
    caution before anything else in the card.
    """
    place = add("mossgrinder-m2")
    page = card(pictures(desk, place, wrap_turns=12), "keeping")
    assert "by well-made trials" in page
    assert "a cool and moist kind of place and was wrapped in June" in page
    warm = card(pictures(desk, place, wrap_turns=12, climate="warm-dry", month=8), "keeping")
    assert "a warm and dry kind of place and was wrapped in August" in warm
    wet = card(pictures(desk, place, moisture=72), "keeping")
    assert wet.index("botulism") < wet.index("of the dry matter is lost")
    damp = card(pictures(desk, add("plainrow-p0", "K-89"), moisture=19), "keeping")
    assert damp.index("can heat until it burns") < damp.index("too damp for every source")
    dry = card(pictures(desk, "/machines/K-89/outlook", moisture=12), "keeping")
    assert "dry enough for every source" in dry
    assert "can heat until it burns" not in dry


def test_pace_says_what_holds_it_back(desk: Desk) -> None:
    """Filling at a walk, the wrapper when the row is heavy and fast; what is assumed is said."""
    place = add("thistlewick-t1")
    slow = card(pictures(desk, place, speed=4), "pace")
    assert "filling sets the pace" in slow
    assert "all film rolls are changed in 3 min" in slow
    fast = card(pictures(desk, place, speed=13, windrow=6), "pace")
    assert "the wrapper sets the pace" in fast
    said = card(pictures(desk, place, change=5, run=300), "pace")
    assert "Assumed: all film rolls" not in said
    assert "Turns at the field" not in said


def test_power_is_told_where_a_tractor_is_named_cautions_first(desk: Desk) -> None:
    """No tractor, no card; a strong one covers the need, a weak one does not; shafts and steep
    ground are warned of before anything else.
    """
    place = add("mossgrinder-m2")
    assert 'id="card-power"' not in pictures(desk, place)
    strong = card(pictures(desk, place, tractor_power=400), "power")
    assert strong.index("drive shaft") < strong.index("cover all of that")
    assert "Oil for the wrapper is not in it" in strong
    weak = card(pictures(desk, place, tractor_power=10, slope=20), "power")
    assert "are too little even at the low end" in weak


def test_what_pays_needs_no_price_to_show_what_a_layer_saves(desk: Desk) -> None:
    """In kilograms of film and feed; the settings that cost least stay unknown without prices."""
    place = add("mossgrinder-m2")
    page = card(pictures(desk, place, wrap_turns=12), "optimum")
    assert "Layer 7 would take" in page
    assert "unknown until the form has every price" in page


def test_with_every_price_the_settings_that_cost_least_are_told_caution_first(desk: Desk) -> None:
    """Layers, turns, density and speed with how much they can be wrong by; what is assumed too."""
    place = add("mossgrinder-m2")
    assert "unknown until the form has every price" in card(
        pictures(desk, place, **EVERY_PRICE), "optimum"
    )
    page = card(pictures(desk, place, feed_price=180, **EVERY_PRICE), "optimum")
    assert page.index("come before any least cost") < page.index("of dry matter")
    assert "wrap turns" in page
    assert "of the bales then have no spot of the round side under" in page
    assert "Assumed: bales differ by 20 mm in diameter" in page
    assert "<svg" in page
    weak = card(
        pictures(desk, place, feed_price=180, **{**EVERY_PRICE, "tractor_power": 5}), "optimum"
    )
    assert "tractor too weak" in weak
    assert "<svg" not in weak


def test_the_pictures_come_soon(desk: Desk) -> None:
    """Warm, all five of them together are drawn in well under a second, so the page can follow."""
    place = add("mossgrinder-m2")
    pictures(desk, place)
    begun = time.process_time()  # of this process alone: others may be busy
    pictures(desk, place, diameter=1.31)
    assert time.process_time() - begun < 1.0


def test_prices_are_remembered_for_a_sign_in_and_for_nobody_else(desk: Desk) -> None:
    """A whole form's prices hold for the next machine until they are emptied; another person,
    and a form with a fault in it, see and change nothing of them.
    """
    place, other = add("mossgrinder-m2"), add("thistlewick-t1", "K-90")
    whole = {"crop": "grass silage", **EVERY_PRICE}
    assert "A bale costs" in card(pictures(desk, place, **whole), "cost")
    elsewhere = pictures(desk, other)
    assert "prices and row width as you last set them" in elsewhere
    assert "A bale costs" in card(elsewhere, "cost")
    pictures(desk, place, **{**whole, "film_price": 55, "moisture": 400})
    assert 'name="film_price" value="90"' in desk.reader.get(other).content.decode()
    desk.reader.get(f"{place}?{urlencode({**whole, 'film_price': 66})}")  # an address passed on
    assert 'name="film_price" value="90"' in desk.reader.get(other).content.decode()
    nobody = desk.technician.get(other).content.decode()
    assert 'name="film_price" value="90"' not in nobody
    assert "unknown until prices are given" in nobody
    left = card(pictures(desk, place, **{**whole, "film_price": ""}), "cost")
    assert "one price or figure is missing" in left
    assert "A bale costs" not in card(pictures(desk, other), "cost")
    pictures(desk, place, crop="grass silage")
    assert "as you last set them" not in pictures(desk, other)


def test_a_machine_whose_profile_is_gone_has_no_outlook(desk: Desk) -> None:
    """Nothing is guessed for a make that this desk does not know."""
    assert desk.reader.get(add("no-such-make")).status_code == 404


def test_a_bale_that_did_not_go_to_plan_is_told_how_to_make_it_good(desk: Desk) -> None:
    """A roll that breaks: what is short, how far the other must go, what to do with a tipped bale,
    cautions first; words that are no event are told beside the field.
    """
    place = add("mossgrinder-m2")
    assert 'id="card-went"' not in pictures(desk, place)
    page = card(
        pictures(desk, place, wrap_turns=12, happened="roll 2 breaks at 6, stop at 7"), "went"
    )
    assert "of the round side is short of 6 layers" in page
    assert "With roll 1 alone the round side is good at turn" in page
    assert "With both rolls the round side is good at turn" in page
    assert "wrap it again" in page
    assert page.index("say harm") < page.index("<svg")
    wrong = pictures(desk, place, happened="the dog ate it")
    assert "an event such as" in beside(wrong, "happened")
    late = card(pictures(desk, place, wrap_turns=12, happened="roll 2 breaks at 60"), "went")
    assert "up to the last one" in late
    hay = pictures(desk, add("plainrow-p0", "K-91"), happened="roll 1 breaks at 6")
    assert "no film is laid" in card(hay, "went")
