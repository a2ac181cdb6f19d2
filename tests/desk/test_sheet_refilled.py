"""From a kept sheet's conditions to the form and back: nothing that was said is lost."""

from __future__ import annotations

import re
from dataclasses import fields as fields_of
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qsl, urlencode

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.desk.test_sheet import beside, fields, result

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.keeping.additive import Product
from balewright.plan.machine import BindingKind
from balewright.plan.sheet.sheet import Additive, Conditions, GateReading, Row

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

READINGS = (
    GateReading(24.0, 18.0, 36.0),
    GateReading(27.5, 18.0, None, Row.LIGHT),
    GateReading(21.0, 16.5, 48.25),
)
EVERYTHING = Conditions(
    crop=Crop.LUCERNE,
    moisture_frac=0.513,
    windrow_kg_m=10.0 / 3.0,
    speed_m_s=2.3,
    slope_frac=0.07,
    dusty=True,
    stony=True,
    film=Film(0.75, 25e-6, 1500.0, 0.65, neck_in_exponent=0.31),
    net_roll_m=2950.5,
    storage_months=7.5,
    bales=93,
    climate="warm-dry",
    rolls_left_m=(350.5, 900.0),
    additive=Additive(rate_l_t=2.25, tank_l=180.0),
    row_width_m=1.05,
    weighed=True,
    gate_readings=READINGS,
    diameter_spread_m=0.0173,
    binding=BindingKind.NET,
)
ACID = Additive(acid=Product(0.55, 1.02), tank_l=200.0)
HAY = replace(EVERYTHING, crop=Crop.HAY, moisture_frac=0.24, additive=ACID)
BARE = Conditions(Crop.STRAW, 0.13, 3.0, 2.5, 0.0, False, False, None, None, 0.0, 1)


def again(conditions: Conditions) -> Conditions:
    """What the form makes of the address that those conditions give."""
    from balewright.desk.sheet.forms import ConditionsForm
    from balewright.desk.sheet.refilled import refill

    known = {
        name: value for name, value in refill(conditions).items() if value not in (None, False)
    }
    form = ConditionsForm(dict(parse_qsl(urlencode(known))))
    assert form.is_valid(), form.errors
    return form.conditions()


def test_the_example_says_everything() -> None:
    """Every condition is set in it, so that one which is added later is missed here."""
    for one in fields_of(Conditions):
        assert getattr(EVERYTHING, one.name) not in (None, (), False), one.name


@pytest.mark.parametrize("conditions", [EVERYTHING, HAY, BARE], ids=["all", "acid", "bare"])
def test_the_form_makes_the_kept_conditions_again(desk: Desk, conditions: Conditions) -> None:
    """With all of it said, with hay acid, with as little as can be: equal to the last digit."""
    assert again(conditions) == conditions


@settings(max_examples=60, deadline=None)
@given(
    speed_m_s=st.floats(0.2, 8.0),
    moisture_frac=st.floats(0.05, 0.8),
    width_m=st.floats(0.1, 1.4),
    opening_mm=st.floats(0.0, 300.0),
)
def test_any_number_comes_back(
    desk_ready: Any, speed_m_s: float, moisture_frac: float, width_m: float, opening_mm: float
) -> None:
    """Whatever the digits: to a part in 10^15, which is all that a change of unit can lose."""
    film = replace(EVERYTHING.film or Film(0.75, 25e-6, 1500.0, 0.7), width_m=width_m)
    readings = (GateReading(opening_mm, 20.0, 30.0),)
    given_ones = replace(EVERYTHING, speed_m_s=speed_m_s, moisture_frac=moisture_frac, film=film,
                         gate_readings=readings)  # fmt: skip
    back = again(given_ones)
    assert back.speed_m_s == pytest.approx(speed_m_s, rel=1e-15)
    assert back.moisture_frac == pytest.approx(moisture_frac, rel=1e-15)
    assert back.film is not None
    assert back.film.width_m == pytest.approx(width_m, rel=1e-15)
    assert back.gate_readings == readings


@pytest.mark.parametrize("conditions", [EVERYTHING, BARE], ids=["all", "bare"])
def test_a_kept_sheet_is_made_again_as_it_was(desk: Desk, conditions: Conditions) -> None:
    """ "Change and make again" leads to the same sheet, and so does the way over the pictures,
    also where the machine's own sheet says more than the one that is looked at.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.flows.make_sheet import SheetRequest, keep_sheet, load_sheet, make_sheet
    from balewright.store.entries import MachineEntry

    workplace = the_workplace()
    workplace.register.save_machine(MachineEntry("K-9", "Nine", "mossgrinder-m2", "Etc/UTC", None))
    sheet = make_sheet(workplace, SheetRequest(conditions, serial="K-9"))
    sheet_id = keep_sheet(workplace, sheet)
    keep_sheet(workplace, make_sheet(workplace, SheetRequest(HAY, serial="K-9")))
    page = desk.technician.get(f"/sheet/{sheet_id}").content.decode().replace("&amp;", "&")
    straight = re.search(r'href="/sheet\?([^"]*)"', page)
    pictures = re.search(r'href="(/machines/K-9/outlook\?[^"]*)"', page)
    assert straight is not None
    assert pictures is not None
    shown = desk.technician.get(pictures[1]).content.decode().replace("&amp;", "&")
    over_pictures = re.search(r'href="/sheet\?([^"]*)"', shown)
    assert over_pictures is not None
    for query in (straight[1], over_pictures[1]):
        kept = desk.post(desk.technician, "/sheet/keep", **dict(parse_qsl(query)))
        assert kept.status_code == 302, kept.content.decode()
        kept_id = kept.headers["Location"].rpartition("/")[2]
        assert load_sheet(workplace, kept_id).conditions == conditions


def test_readings_and_acid_reach_the_sheet(desk: Desk) -> None:
    """Three readings give a fitted size setting; an acid gives litres and its cautions."""
    lines = "24, 18, 36\n27 18 Light\n\n21;16.5;48"
    fitted = result(desk, readings=lines)
    assert "3 readings" in fitted.replace("\N{NO-BREAK SPACE}", " ")
    acid = result(desk, crop="hay", moisture=24, acid_active=55, acid_density=1.02, tank=200)
    assert (
        "acid" not in result(desk, crop="hay", moisture=24).partition("What to expect")[0].lower()
    )
    assert "acid" in acid.partition("What to expect")[0].lower()
    assert "l/t" in acid


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ("24, 18", "Line 1: give opening mm"),
        ("24, 18, 36\n24, 18, often", "Line 2: give opening mm"),
        ("24, 18, 36\n\n24, 18, 36, 4", "Line 2: give opening mm"),
        ("24, 18, 36\n900, 18, 36", "Line 2: Needs a number from 0 to 300"),
        ("nan, 18, 36", "Line 1: Needs a number from 0 to 300"),
        ("24, 18, inf", "Line 1: Needs a number from 0.5 to 200"),
        ("24, 18, 0", "Line 1: Needs a number from 0.5 to 200"),
        ("24, -1, 30", "Line 1: Needs a number from 0 to 300"),
        ("\n".join(["24, 18, 36"] * 41), "at most 40 readings"),
    ],
)
def test_a_wrong_reading_is_told_beside_the_field(desk: Desk, lines: str, said: str) -> None:
    """The line that is wrong is named by its number, in the form and by the rules of the sheet."""
    assert said in beside(result(desk, readings=lines), "readings")


@pytest.mark.parametrize(
    ("sent", "field", "said"),
    [
        ({"additive": 2, "acid_active": 55, "acid_density": 1.02}, "additive", "not both"),
        ({"acid_active": 55}, "acid_density", "and its density"),
        ({"acid_density": 1.02}, "acid_active", "and its density"),
        ({"tank": 200}, "tank", "what is in it"),
        ({"acid_active": 300, "acid_density": 1.02}, "acid_active", "less than or equal to 100"),
    ],
)
def test_a_wrong_additive_is_told_beside_its_field(
    desk: Desk, sent: dict[str, float], field: str, said: str
) -> None:
    """One label's numbers, all of them; the part of the form stands open."""
    page = desk.technician.get("/sheet?" + urlencode(fields(**sent))).content.decode()
    assert '<details class="more" open>' in page
    assert said in beside(result(desk, **sent), field)


def test_a_binding_can_be_asked_for(desk: Desk) -> None:
    """Net is bound with where it is asked for; what a machine has not is told beside the field."""
    assert "Bind with" in desk.technician.get("/sheet").content.decode()
    assert result(desk, binding_kind="net") != result(desk, binding_kind="film")
    assert "this machine binds with" in beside(result(desk, binding_kind="twine"), "binding_kind")


def test_a_spread_of_the_record_is_told_and_looked_for_again(desk: Desk) -> None:
    """The page says of how many bales it is; made again, it is not passed off as given."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.make_sheet import SheetRequest, keep_sheet, make_sheet

    workplace = the_workplace()
    given_one = make_sheet(workplace, SheetRequest(EVERYTHING, profile_key="mossgrinder-m2"))
    seen = keep_sheet(workplace, replace(given_one, spread_bales=93))
    page = desk.technician.get(f"/sheet/{seen}").content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert "as its last 93 bales did" in page
    assert "spread=" not in page
    plain = keep_sheet(workplace, given_one)
    page = desk.technician.get(f"/sheet/{plain}").content.decode()
    assert "its last" not in page
    assert "spread=17.3" in page
