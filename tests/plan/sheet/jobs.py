"""Machines and conditions with which the tests of the sheet's rules make sheets."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.keeping.additive import Product
from balewright.plan.keeping.climate import CLIMATES
from balewright.plan.machine import Machine
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Additive, Conditions, GateReading, Row, Sheet, SheetLine
from balewright.readers.profile import shipped_profiles

RING, TABLE, PLAIN = (
    shipped_profiles()[key] for key in ("mossgrinder-m2", "thistlewick-t1", "plainrow-p0")
)
MAKES = (RING, TABLE, PLAIN)
FILM = Film(width_m=0.75, thickness_m=25e-6, roll_m=1500.0, pre_stretch_frac=0.70)
SECOND_CUT = Conditions(
    crop=Crop.GRASS_SILAGE,
    moisture_frac=0.62,
    windrow_kg_m=4.0,
    speed_m_s=2.5,
    slope_frac=0.02,
    dusty=False,
    stony=False,
    film=FILM,
    net_roll_m=3000.0,
    storage_months=7.0,
    bales=200,
)


def sheet_for(machine: Machine, **changed: Any) -> Sheet:
    """The sheet for the second cut with some conditions changed."""
    return plan_bale(machine, replace(SECOND_CUT, **changed), None, "test")


def number(sheet: Sheet, key: str) -> float:
    """A line's number; the test fails when there is none."""
    value = sheet.number(key)
    assert value is not None, key
    return value


def line_of(sheet: Sheet, key: str) -> SheetLine:
    """A line; the test fails when there is none."""
    line = sheet.line(key)
    assert line is not None, key
    return line


readings = st.builds(
    GateReading,
    opening_mm=st.floats(5.0, 60.0),
    setting_mm=st.floats(5.0, 40.0),
    feed_t_h=st.floats(5.0, 80.0),
) | st.builds(
    GateReading,
    opening_mm=st.floats(5.0, 60.0),
    setting_mm=st.floats(5.0, 40.0),
    row=st.sampled_from(list(Row)),
)
additives = st.builds(
    Additive, rate_l_t=st.floats(0.5, 10.0), tank_l=st.none() | st.floats(50.0, 1000.0)
) | st.builds(Additive, acid=st.just(Product(0.55, 1.02)))
wrapped_conditions = st.builds(
    Conditions,
    crop=st.sampled_from([Crop.GRASS_SILAGE, Crop.HAYLAGE, Crop.LUCERNE]),
    moisture_frac=st.floats(0.15, 0.80),
    windrow_kg_m=st.floats(1.0, 9.0),
    speed_m_s=st.floats(1.0, 5.0),
    slope_frac=st.floats(0.0, 0.3),
    dusty=st.booleans(),
    stony=st.booleans(),
    film=st.one_of(st.none(), st.just(FILM)),
    net_roll_m=st.one_of(st.none(), st.just(2000.0)),
    storage_months=st.floats(1.0, 24.0),
    bales=st.integers(1, 5000),
    climate=st.none() | st.sampled_from(sorted(CLIMATES)),
    additive=st.none() | additives,
    row_width_m=st.none() | st.floats(0.4, 2.5),
    weighed=st.booleans(),
    gate_readings=st.lists(readings, max_size=5).map(tuple),
)
dry_conditions = st.builds(
    replace,
    wrapped_conditions,
    crop=st.sampled_from([Crop.HAY, Crop.STRAW]),
    moisture_frac=st.floats(0.08, 0.25),
)
any_conditions = st.one_of(wrapped_conditions, dry_conditions)
makes = st.sampled_from(MAKES)
