"""The stress pack's definition: written before anything was tuned on it, and kept."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from balewright.rehearsal.stress.catalogue import STRESSORS
from balewright.rehearsal.stress.pack import STRESS_PACK, write_down
from balewright.rehearsal.stress.stressor import Room

_WRITTEN_SHA256 = "b866f70b7153843261de478e159839980829617186a938c6660dacdf4ad1f22f"
"""Of keys, severities, meanings, fair tellings and mixes as written before tuning."""
_PAGE = Path(__file__).parents[3] / "docs" / "stress.md"


@pytest.mark.own
def test_the_pack_is_the_one_that_was_written_before_tuning() -> None:
    """No severity is lowered, no telling made fair and no stressor dropped afterwards."""
    assert hashlib.sha256(write_down().encode()).hexdigest() == _WRITTEN_SHA256


@pytest.mark.law
def test_every_stressor_is_in_a_mix_at_full_and_in_the_last_at_half() -> None:
    """A stressor that no mix uses would be a boast; rooms stand in the order of putting on."""
    *mixes, half = STRESS_PACK.values()
    for key, one in STRESSORS.items():
        assert one.severity > 0
        assert half.severity(key) == one.severity / 2
        assert {mix.severity(key) for mix in mixes} == {0.0, one.severity}
    order = list(Room)
    places = [order.index(one.room) for one in STRESSORS.values()]
    assert places == sorted(places)
    assert {dose.key for mix in mixes for dose in mix.doses} == set(STRESSORS)


@pytest.mark.law
def test_the_page_tells_every_stressor_and_mix_as_it_is() -> None:
    """The table in the docs has each key with its severity and unit, and each mix."""
    page = _PAGE.read_text(encoding="utf-8")
    for key, one in STRESSORS.items():
        assert f"| {key} | {one.severity:g} {one.unit} | {one.meaning} |" in page
    for key, mix in STRESS_PACK.items():
        assert f"| {key} | {mix.meaning} |" in page
