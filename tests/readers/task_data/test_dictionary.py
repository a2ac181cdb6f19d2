"""The table of identifiers, and what a raw value is worth."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest

from balewright.readers.task_data.devices import Presentation
from balewright.readers.task_data.dictionary import Id, identifiers, words_for, worth_of


@pytest.mark.real_data
@pytest.mark.published
def test_numbers_units_and_resolutions_are_the_dictionarys(data_dir: Path) -> None:
    """Every row against ISO 11783-11 as two open projects give it (facts only)."""
    with (data_dir / "ddi-baler.csv").open(encoding="utf-8") as stream:
        theirs = {int(row["ddi"]): row for row in csv.DictReader(stream)}
    assert set(identifiers()) == set(theirs)
    for number, ours in identifiers().items():
        unit = theirs[number]["unit"]
        assert ours.unit == ("" if unit in {"n.a.", "not defined"} else unit)
        assert ours.step_factor == float(theirs[number]["bit_resolution"])
    entities = json.loads((data_dir / "ddi_entities.json").read_text("utf-8"))
    both = [number for number in identifiers() if str(number) in entities]
    assert len(both) > 100
    for number in both:
        assert identifiers()[number].step_factor == entities[str(number)]["bitResolution"]


@pytest.mark.published
def test_identifiers_used_by_name_have_the_standards_numbers() -> None:
    """ISO 11783-11: 90 total mass kg, 91 total count, 99 moisture ppm, 212, 214, 223 g, 644,
    651 mm, 652 and 653 thousandths of a per cent."""
    units = {Id.TOTAL_MASS: "kg", Id.MOISTURE: "ppm", Id.LAST_MASS: "g", Id.FILM_USED: "mm"}
    assert {number: identifiers()[number].unit for number in units} == units
    assert identifiers()[Id.FILM_STRETCH].step_factor == 0.001
    assert all(number in identifiers() for number in Id)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("number", "raw", "si"),
    [(90, 800, 800.0), (223, 812_400, 812.4), (99, 152_000, 0.152), (652, 70_000, 0.7)],
)
def test_raw_values_become_si_by_the_dictionary(number: int, raw: int, si: float) -> None:
    """kg, g -> kg, ppm -> fraction, thousandths of a per cent -> fraction."""
    worth = worth_of(number, None, np.array([raw], dtype=np.int32))
    assert worth.si(raw) == pytest.approx(si, rel=1e-12)


@pytest.mark.derived
def test_presentation_with_an_offset_is_heeded_where_only_it_can_be_believed() -> None:
    """Raw 102 shown as (102 + 50) x 0.1 % is 15.2 %; by the dictionary it would be 0.01 %."""
    worth = worth_of(99, Presentation(50.0, 0.1, 1, "%"), np.array([102], dtype=np.int32))
    assert worth.si(102) == pytest.approx(0.152)
    assert worth.contradicted
    assert worth.by_device


@pytest.mark.derived
def test_unit_nobody_knows_is_left_to_the_dictionary() -> None:
    """A presentation in `Ballen` says nothing about worth."""
    worth = worth_of(91, Presentation(0.0, 1.0, 0, "Ballen"), np.array([5], dtype=np.int32))
    assert (worth.si(5), worth.contradicted) == (5.0, False)


@pytest.mark.own
def test_words_are_short_and_our_own() -> None:
    """Known identifiers have words, unknown ones their number."""
    assert words_for(214) == "bales in the machine's life"
    assert words_for(60_000) == "identifier 60000"
