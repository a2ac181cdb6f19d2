"""A sheet as JSON and back, exactly; anything else is refused by its place."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.cards.sheet_json import sheet_from_json, sheet_to_json
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.errors import BadInput
from balewright.readers.profile import shipped_profiles

films = st.builds(
    Film,
    width_m=st.floats(0.60, 0.75),
    thickness_m=st.floats(19e-6, 30e-6),
    roll_m=st.floats(1000.0, 2000.0),
    pre_stretch_frac=st.floats(0.5, 0.8),
)
conditions = st.builds(
    Conditions,
    crop=st.sampled_from(list(Crop)),
    moisture_frac=st.floats(0.10, 0.39),
    windrow_kg_m=st.floats(1.0, 9.0),
    speed_m_s=st.floats(1.0, 5.0),
    slope_frac=st.floats(0.0, 0.3),
    dusty=st.booleans(),
    stony=st.booleans(),
    film=st.one_of(st.none(), films),
    net_roll_m=st.one_of(st.none(), st.floats(1000.0, 4000.0)),
    storage_months=st.floats(0.0, 24.0),
    bales=st.integers(1, 5000),
)


CONDITIONS_1 = (
    "crop",
    "moisture_frac",
    "windrow_kg_m",
    "speed_m_s",
    "slope_frac",
    "dusty",
    "stony",
    "film",
    "net_roll_m",
    "storage_months",
    "bales",
)
"""The conditions that a sheet of version 1 had."""


def a_sheet() -> Sheet:
    """One sheet with film."""
    film = Film(0.75, 25e-6, 1500.0, 0.70)
    given = Conditions(Crop.GRASS_SILAGE, 0.6, 4.0, 2.5, 0.02, False, False, film, None, 7.0, 200)
    return plan_bale(shipped_profiles()["mossgrinder-m2"], given, "TIN-7", "9.9")


@pytest.mark.law
@settings(max_examples=30, deadline=None)
@given(
    key=st.sampled_from(sorted(shipped_profiles())),
    asked=conditions,
    serial=st.one_of(st.none(), st.text(min_size=1, max_size=9)),
)
def test_a_sheet_survives_the_round_trip(key: str, asked: Conditions, serial: str | None) -> None:
    """Text written and read back gives an equal sheet, to the last bit of every number."""
    sheet = plan_bale(shipped_profiles()[key], asked, serial, "9.9")
    text = json.dumps(sheet_to_json(sheet), allow_nan=False)
    back = sheet_from_json(json.loads(text))
    assert back == sheet
    assert json.dumps(sheet_to_json(back), allow_nan=False) == text


@pytest.mark.own
def test_a_kept_sheet_names_its_form() -> None:
    """The version stands first, and another one is refused with a cure."""
    raw = sheet_to_json(a_sheet())
    assert next(iter(raw)) == "sheet_version"
    with pytest.raises(BadInput, match="sheet_version: needs 1 or 2, was given 3"):
        sheet_from_json({**raw, "sheet_version": 3})
    with pytest.raises(BadInput, match="sheet_version: needs 1 or 2, was given None"):
        sheet_from_json({})


@pytest.mark.own
def test_a_sheet_kept_in_version_1_is_still_read() -> None:
    """Without the parts that version 2 brought it reads as a sheet in which they are empty."""
    sheet = replace(a_sheet(), conflicts=(), measures=(), roll_changes=(), lost_rolls=())
    raw = json.loads(json.dumps(sheet_to_json(sheet)))
    raw["sheet_version"] = 1
    for name in ("conflicts", "measures", "roll_changes", "lost_rolls"):
        assert raw.pop(name) == []
    for name in [name for name in raw["conditions"] if name not in CONDITIONS_1]:
        del raw["conditions"][name]
    assert sheet_from_json(raw) == sheet


@pytest.mark.own
@pytest.mark.parametrize(
    ("path", "wrong", "message"),
    [
        (("conditions", "crop"), "moss", r"sheet\.conditions\.crop: needs one of grass silage"),
        (("conditions", "bales"), "many", r"sheet\.conditions\.bales: needs int"),
        (("conditions", "dusty"), 1, r"sheet\.conditions\.dusty: needs bool"),
        (("expected", "mass_kg"), 600, r"sheet\.expected\.mass_kg: needs an object"),
        (("lines",), {}, r"sheet\.lines: needs a list"),
        (("lines", 0, "reason"), "because", r"sheet\.lines\[0\]\.reason: needs an object"),
        (("unknown", 0, "values"), [["one"]], r"values\[0\]: needs a list of 2"),
        (("more",), 1, r"sheet\.more: needs a known key"),
    ],
)
def test_a_wrong_value_is_refused_by_its_place(
    path: tuple[str | int, ...], wrong: object, message: str
) -> None:
    """What no sheet writes is refused with the dotted place."""
    raw: Any = json.loads(json.dumps(sheet_to_json(a_sheet())))
    holder = raw
    for step in path[:-1]:
        holder = holder[step]
    holder[path[-1]] = wrong
    with pytest.raises(BadInput, match=message):
        sheet_from_json(raw)


@pytest.mark.own
def test_a_missing_key_is_named() -> None:
    """A sheet without its expectations is refused; one without an own word is not."""
    raw = json.loads(json.dumps(sheet_to_json(a_sheet())))
    del raw["lines"][0]["own_word"]
    assert sheet_from_json(raw).lines[0].own_word is None
    del raw["expected"]
    with pytest.raises(BadInput, match="needs every key, was given 'nothing for expected"):
        sheet_from_json(raw)
