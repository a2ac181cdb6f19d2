"""The sheet as plain text."""

from __future__ import annotations

import pytest

from balewright.cards.sheet_text import WIDTH, sheet_text
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.sources import source
from balewright.readers.profile import shipped_profiles

HARD = Conditions(
    crop=Crop.LUCERNE,
    moisture_frac=0.38,
    windrow_kg_m=8.25,
    speed_m_s=3.05,
    slope_frac=0.235,
    dusty=True,
    stony=True,
    film=Film(0.75, 25e-6, 1500.0, 0.70),
    net_roll_m=None,
    storage_months=18.0,
    bales=12345,
)


@pytest.mark.own
@pytest.mark.parametrize("key", sorted(shipped_profiles()))
def test_text_is_complete_and_cautions_come_first(key: str) -> None:
    """Every caution stands before every setting, every line and every source is there."""
    sheet = plan_bale(shipped_profiles()[key], HARD, None, "9.9")
    text = sheet_text(sheet)
    rows = text.splitlines()
    assert max(map(len, rows)) <= WIDTH
    assert (
        text.index("FIRST") < text.index("DRIVE") < text.index("EXPECT") < text.index("NOT KNOWN")
    )
    assert text.count("\n  - ") >= len(sheet.cautions) + len(sheet.unknown)
    for line in sheet.lines:
        assert f"[{line.source}" in text.replace("\n      ", " ")
        assert source(line.source).text[:30] in text
