"""The A5 card: one page for every make, packaged font only, cautions first."""

from __future__ import annotations

import re
import zlib
from dataclasses import replace

import pytest

from balewright.cards.sheet_pdf import TEMPLATE, card_data, sheet_pdf, sheet_png
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.machine import Machine
from balewright.plan.profile_checks import ranges
from balewright.plan.sheet import Conditions, Sheet
from balewright.plan.sheet_rules import plan_bale
from balewright.readers.profile import shipped_profiles

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
A5_POINTS = (419.53, 595.28)  # ISO 216: 148 x 210 mm


def long_winded(machine: Machine) -> Machine:
    """The machine with a word of 20 letters on every setting."""
    words = tuple((setting, "long word on a panel") for setting in ranges(machine))
    return replace(machine, title="Mossgrinder of the Long Name, Mark 2000", own_words=words)


def sheet_of(machine: Machine) -> Sheet:
    """A sheet with long values everywhere."""
    return plan_bale(machine, LONG, "TINHEN-2000-0071-B-LEFT", "10.20.30")


def pages(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height in points of every page, from the file's own page objects."""
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)
    unpacked = [pdf]
    for stream in streams:
        try:
            unpacked.append(zlib.decompress(stream))
        except zlib.error:
            continue
    boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", b"\n".join(unpacked))
    return [(float(wide), float(high)) for wide, high in boxes]


@pytest.mark.published
@pytest.mark.parametrize("machine", shipped_profiles().values(), ids=lambda machine: machine.key)
def test_one_page_of_a5(machine: Machine) -> None:
    """Long values and long own words on every line still make one page of ISO A5."""
    pdf = sheet_pdf(sheet_of(long_winded(machine)))
    assert pdf.startswith(b"%PDF-")
    found = pages(pdf)
    assert len(found) == 1
    assert found[0] == pytest.approx(A5_POINTS, abs=0.1)
    assert b"SourceSansPro" in pdf


@pytest.mark.own
def test_cautions_stand_before_settings_and_nothing_is_left_out() -> None:
    """The template draws the cautions first, and the data holds every line once."""
    sheet = sheet_of(shipped_profiles()["mossgrinder-m2"])
    data = card_data(sheet)
    drawn = TEMPLATE.read_text(encoding="utf-8").split("#let whole(unit)")[1]
    assert drawn.index("cautions(unit)") < drawn.index("group(one, unit)")
    lines = [line for side in ("left", "right") for group in data[side] for line in group["lines"]]
    assert len(lines) == len(sheet.lines)
    assert len(data["cautions"]) == len(sheet.cautions)
    assert all(line["why"] and line["value"] for line in lines)


@pytest.mark.own
def test_text_is_never_read_as_markup() -> None:
    """A serial full of the typesetter's own signs is printed as it is."""
    sheet = replace(sheet_of(shipped_profiles()["plainrow-p0"]), machine_serial='#panic("x") $*_`')
    assert sheet_pdf(sheet).startswith(b"%PDF-")
    assert sheet_png(sheet).startswith(b"\x89PNG")


@pytest.mark.own
def test_the_same_sheet_gives_the_same_file() -> None:
    """Nothing of the clock is in the file."""
    sheet = sheet_of(shipped_profiles()["plainrow-p0"])
    assert sheet_pdf(sheet) == sheet_pdf(sheet)
