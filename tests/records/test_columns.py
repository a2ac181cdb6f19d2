"""The columns of the bale table: complete, and documented as they are."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from balewright.records.columns import (
    BY_NAME,
    CHAMBER_PHASES,
    COLUMNS,
    WRAPPER_PHASES,
    Column,
    Kind,
)
from balewright.records.events import EVENT_COLUMNS

DOCS = Path(__file__).parents[2] / "docs" / "bale-table.md"
ROW = re.compile(r"^\| `(\w+)` \| (\w+) \| (.+?) \| (.+) \|$", re.MULTILINE)

# The form as it was agreed before it was built, column by column.
AGREED = re.findall(
    r"\w+",
    """
machine bale_no counter_epoch job operator sheet
closed_at full_at bind_start_at bind_end_at gate_open_at on_wrapper_at wrap_start_at wrap_end_at
tipped_at binding binding_turns binding_m
gate_opening_mm chamber_bar density_dial knife_bar knives_in
wrap_turns wrap_bale_turns wrap_rpm
said_layers said_overlap_frac said_stretch_frac film_width_m
film1_m film2_m film_m film1_breaks film2_breaks film_breaks rolls_on roll_lost roll_lost_turn
binding_tries film_start_tries overloads
diameter_m diameter_left_m diameter_right_m mass_kg moisture_frac moisture_max_frac additive_l
diameter_how mass_how moisture_how
mode status tip_side crop
speed_m_s pto_rpm pto_torque_nm pitch_frac roll_frac supply_min_v oil_c air_c
lat lon codes
""",
)


def allowed(column: Column) -> str:
    """What the documentation says may stand in a column."""
    if column.choices:
        return ", ".join(f"`{choice}`" for choice in column.choices)
    if column.low is not None:
        return f"{column.low:.12g} to {column.high:.12g}"
    return "1970 to 2099" if column.kind is Kind.TIME else "any"


@pytest.mark.own
def test_columns_are_those_that_were_agreed() -> None:
    """No column of version 1 is missing, none is added in silence."""
    assert sorted(BY_NAME) == sorted(AGREED)
    assert len(COLUMNS) == len(AGREED)


@pytest.mark.law
def test_documentation_lists_every_column_as_it_is() -> None:
    """The tables in the documentation are the columns of the code: name, kind, range, meaning."""
    expected = [
        (column.name, str(column.kind), allowed(column), column.meaning)
        for column in (*COLUMNS, *EVENT_COLUMNS)
    ]
    assert ROW.findall(DOCS.read_text(encoding="utf-8")) == expected


@pytest.mark.law
def test_numbers_have_a_range_and_a_unit() -> None:
    """A number without a range could not be refused, and every range has an inside."""
    for column in COLUMNS:
        if column.kind in (Kind.INT, Kind.FLOAT):
            assert column.low is not None
            assert column.high is not None
            assert column.low < column.high
        else:
            assert column.low is None
            assert column.high is None


@pytest.mark.law
def test_phases_are_all_the_times() -> None:
    """Each time belongs to one station, in the order of the columns."""
    times = [column.name for column in COLUMNS if column.kind is Kind.TIME]
    assert [*CHAMBER_PHASES, *WRAPPER_PHASES] == times
