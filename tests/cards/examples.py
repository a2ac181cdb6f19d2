"""Sheets for the tests of cards: short and long, for every make, and a full day around them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from balewright.cards.issue import Issue, issue_of
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.machine import Machine
from balewright.plan.profile.checks import ranges
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import (
    Conditions,
    Conflict,
    LostRoll,
    Measure,
    RollChange,
    Sheet,
)
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason
from balewright.readers.profile import shipped_profiles

MADE = date(2026, 6, 30)
LINK = "https://desk.example/s/abcdefghijklmnopqrstuv"
PLAIN = Conditions(
    crop=Crop.GRASS_SILAGE,
    moisture_frac=0.55,
    windrow_kg_m=4.0,
    speed_m_s=2.5,
    slope_frac=0.03,
    dusty=False,
    stony=False,
    film=Film(0.75, 25e-6, 1500.0, 0.70),
    net_roll_m=3000.0,
    storage_months=10.0,
    bales=200,
)
LONG = Conditions(
    crop=Crop.GRASS_SILAGE,
    moisture_frac=0.721,
    windrow_kg_m=8.25,
    speed_m_s=3.05,
    slope_frac=0.235,
    dusty=True,
    stony=True,
    film=Film(0.745, 25.4e-6, 1828.8, 0.735),
    net_roll_m=4572.3,
    storage_months=18.5,
    bales=100000,
)
HAY = Conditions(Crop.HAY, 0.16, 2.0, 2.8, 0.08, True, False, None, 3000.0, 8.0, 60)
ASKED = {"plain": PLAIN, "long": LONG, "hay": HAY}


def long_winded(machine: Machine) -> Machine:
    """The machine with a word of 20 letters on every setting."""
    words = tuple((setting, "long word on a panel") for setting in ranges(machine))
    return replace(machine, title="Mossgrinder of the Long Name, Mark 2000", own_words=words)


def sheet_for(key: str, asked: Conditions = PLAIN, *, winded: bool = False) -> Sheet:
    """A sheet of a shipped make, as it comes."""
    machine = shipped_profiles()[key]
    serial = "TINHEN-2000-0071-B-LEFT" if winded else "TIN-7"
    return plan_bale(long_winded(machine) if winded else machine, asked, serial, "10.20.30")


def full_day(sheet: Sheet) -> Sheet:
    """The sheet with two conflicts, seven measures, many roll changes and two lost rolls."""
    reason = Reason("sheet.windrow")
    conflict = Conflict(sheet.lines[0].key, (reason, reason), reason, "practice")
    keys = [line.key for line in sheet.lines if isinstance(line.value, float)]
    measures = tuple(Measure(key, 1.0, 0.5, 1.5, reason, "practice") for key in keys[:7])
    rolls = ("film 1", "film 2", "net")
    changes = tuple(
        RollChange(roll, Interval(bale - 4.0, float(bale), bale + 5.0, 0.95))
        for bale in range(44, 500, 44)
        for roll in rolls
    )
    return replace(
        sheet,
        conflicts=(conflict, conflict),
        measures=measures,
        roll_changes=changes,
        lost_rolls=(LostRoll(0, 25), LostRoll(6, 19)),
    )


def issued(sheet: Sheet) -> Issue:
    """Its usual issue with a link."""
    return issue_of(sheet, MADE, LINK)
