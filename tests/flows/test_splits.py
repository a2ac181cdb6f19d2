"""Splits through the doors: found, accepted, seen in the book, taken back; numbers struck."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from balewright.flows.accept_split import SplitAsked, accept_split, accepted_splits, take_split_back
from balewright.flows.account_counts import account_counts
from balewright.flows.add_outlines import add_outline_file
from balewright.flows.find_misplaced_bales import find_misplaced_bales, job_places
from balewright.flows.list_fields import list_fields, remove_field
from balewright.flows.look_at_split import look_at_split
from balewright.flows.read_book import read_book
from balewright.flows.strike_number import strike_number
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.pictures.field_map import draw_field
from balewright.quantities.errors import BadInput
from balewright.records.fields.misplaced import JobPlace
from balewright.records.number_runs import NumberRun
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import JobEntry, MachineEntry
from balewright.words.say import say

START = datetime(2031, 6, 14, 8, tzinfo=UTC)
DEGREES_A_METRE = 1 / 111_195


def write_day(folder: Path, junk: bool = False) -> Path:
    """Twenty bales of A in its field, 41 more of A in B's, ten of B there, a row of every 10 m."""
    rows, minute = [], 0
    for place in range(71):
        job, away = ("B" if place > 60 else "A"), (0 if place < 20 else 500)
        minute += 20 if place == 20 else 1
        east = (away + 20 + 10 * (place % 15)) * DEGREES_A_METRE
        north = (30 + 30 * (place % 5)) * DEGREES_A_METRE
        at = START + timedelta(minutes=minute)
        number = 9_999_999 if junk and place == 30 else place + 1
        rows.append(f"HAZE-1,{number},{at:%Y-%m-%dT%H:%M:%SZ},{job},{8 + north},{-38 + east}\n")
    path = folder / "june.csv"
    path.write_text("machine,bale_no,tipped_at,job,lat,lon\n" + "".join(rows))
    return path


def write_fields(folder: Path) -> Path:
    """The fields of both jobs, 200 m wide."""
    features = []
    for name, east in (("Long field", 0), ("Round field", 500)):
        corners = [(east, 0), (east + 200, 0), (east + 200, 200), (east, 200), (east, 0)]
        ring = [[-38 + x * DEGREES_A_METRE, 8 + y * DEGREES_A_METRE] for x, y in corners]
        shape = {"type": "Polygon", "coordinates": [ring]}
        features.append({"type": "Feature", "properties": {"field": name}, "geometry": shape})
    path = folder / "fields.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return path


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A machine, two orders with fields, two outlines, and the day."""
    made = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    make = next(iter(made.profiles))
    made.register.save_machine(MachineEntry("HAZE-1", "Hazel one", make))
    for job, field in (("A", "Long field"), ("B", "Round field")):
        made.register.save_job(JobEntry(job, f"{job} Yard", None, field))
    assert len(add_outline_file(made, write_fields(tmp_path)).outlines) == 2
    assert take_in_file(made, write_day(tmp_path, junk=True)).kept == 71
    yield made
    made.register.close()


def _booked(workplace: Workplace) -> dict[str | None, int]:
    return {row.job: row.bales for row in read_book(workplace).rows}


@pytest.mark.law
def test_a_split_moves_bales_between_jobs_and_none_away(workplace: Workplace) -> None:
    """41 of A lie in B's field: accepted, the book has 20 and 51 instead of 61 and 10, the machine
    71 as before, the file's own rows unchanged; taken back, all is as it was."""
    (split,) = find_misplaced_bales(workplace).splits
    assert (split.found.job, split.found.lies_in, split.found.belongs_to) == (
        "A",
        "Round field",
        "B",
    )
    assert split.numbers[0] == NumberRun(21, 30)
    assert _booked(workplace) == {"A": 61, "B": 10}
    kept = accept_split(workplace, SplitAsked(split.key, by="tove"))
    assert _booked(workplace) == {"A": 20, "B": 51}
    assert account_counts(workplace, "HAZE-1").account.recorded == 71
    assert find_misplaced_bales(workplace).splits == ()
    raw = workplace.journal.read_sources("HAZE-1").bales
    assert raw.column("job").tolist().count("A") == 61
    (held,) = accepted_splits(workplace, "HAZE-1")
    assert (held.key, held.by, len(held.bales) >= 41) == (kept.correction.key, "tove", True)
    take_split_back(workplace, held.key)
    assert _booked(workplace) == {"A": 61, "B": 10}
    assert accepted_splits(workplace) == ()
    (again,) = find_misplaced_bales(workplace, "HAZE-1").splits
    assert again.key == split.key


@pytest.mark.derived
def test_only_the_split_that_was_shown_can_be_accepted(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Another bale came meanwhile: the old proposal is refused; the job must be another one."""
    (split,) = find_misplaced_bales(workplace).splits
    with pytest.raises(BadInput, match="another job than A"):
        accept_split(workplace, SplitAsked(split.key, job="A"))
    late = START + timedelta(minutes=62)
    (tmp_path / "late.csv").write_text(
        "machine,bale_no,tipped_at,job,lat,lon\n"
        f"HAZE-1,200,{late:%Y-%m-%dT%H:%M:%SZ},A,{8 + 100 * DEGREES_A_METRE},"
        f"{-38 + 600 * DEGREES_A_METRE}\n"
    )
    take_in_file(workplace, tmp_path / "late.csv")
    with pytest.raises(BadInput, match="a proposal that still stands"):
        accept_split(workplace, SplitAsked(split.key))
    (fresh,) = find_misplaced_bales(workplace).splits
    assert fresh.found.bales == 42
    assert accept_split(workplace, SplitAsked(fresh.key, job=" C ")).job == "C"
    assert _booked(workplace) == {"A": 20, "B": 10, "C": 42}
    with pytest.raises(BadInput):
        take_split_back(workplace, "nothing")


@pytest.mark.derived
def test_a_struck_number_leaves_the_bale_and_lets_the_lifetime_come_down(
    workplace: Workplace,
) -> None:
    """9,999,999 amid 30 and 32: at least 9,999,999 bales, then 71; a bale's own number stays."""
    with pytest.raises(BadInput, match="leapt away"):
        strike_number(workplace, "HAZE-1", 32)
    struck = strike_number(workplace, "HAZE-1", 9_999_999, "tove")
    assert (struck.bales, struck.before, struck.after) == (1, 9_999_999, 71)
    account = account_counts(workplace, "HAZE-1").account
    assert (account.recorded, account.unnumbered) == (71, 1)
    assert [(gap.first_no, gap.last_no) for gap in account.counters[0].gaps] == [(31, 31)]
    assert read_book(workplace).lifetimes[0].lifetime_bales == 71


@pytest.mark.derived
def test_the_picture_shows_those_astray_and_their_fields(workplace: Workplace) -> None:
    """41 rings, ten squares, both names; its words escaped, nothing drawn without a place."""
    (split,) = find_misplaced_bales(workplace).splits
    drawn = look_at_split(workplace, split)
    assert sum(dot.astray for dot in drawn.dots) == 41
    picture = draw_field(drawn, say)
    assert picture.count("<circle") == 2 * 42  # a ring and a disc each, and the legend's
    assert "Round field" in picture
    assert "style=" not in picture
    fewer = type(drawn)((), drawn.outlines, "A", None)
    assert draw_field(fewer, say) == ""


@pytest.mark.derived
def test_fields_are_listed_and_only_added_ones_taken_away(workplace: Workplace) -> None:
    """Two added fields of four hectares; one is taken away once."""
    lines = list_fields(workplace)
    assert [(line.outline.field, round(line.area_ha, 1)) for line in lines] == [
        ("Long field", 4.0),
        ("Round field", 4.0),
    ]
    remove_field(workplace, lines[0].key)
    with pytest.raises(BadInput):
        remove_field(workplace, lines[0].key)
    assert len(list_fields(workplace)) == 1


@pytest.mark.derived
def test_a_word_that_means_two_fields_says_nothing() -> None:
    """Two files call two fields' orders by one word; a third order is told in two halves."""
    entries = [
        JobEntry("A", None, None, "Long field", source="1" * 64),
        JobEntry("A", None, None, "Round field", source="2" * 64),
        JobEntry("B", "Umber", None, None),
        JobEntry("B", None, None, "Far field", source="2" * 64),
    ]
    assert job_places(entries) == {
        "A": JobPlace(),
        "B": JobPlace("Far field", None, "Umber"),
    }


@pytest.mark.derived
def test_a_machine_that_nobody_entered_is_looked_at_too(
    workplace: Workplace, tmp_path: Path
) -> None:
    """The same day by a machine of which only the file speaks: its 41 bales are found as well."""
    path = tmp_path / "july.csv"
    path.write_text(write_day(tmp_path).read_text().replace("HAZE-1", "HAZE-9"))
    assert take_in_file(workplace, path).kept == 71
    found = find_misplaced_bales(workplace).splits
    assert {split.entry.serial for split in found} == {"HAZE-1", "HAZE-9"}
    assert [split.found.bales for split in found if split.entry.serial == "HAZE-9"] == [41]
