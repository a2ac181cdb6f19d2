"""Exports of many makers: guessed, confirmed, read; held against the bales they were made from."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import pytest
from tests.readers.mapped.exports import SHEETS, TEXTS, Maker, bales, write_sheet, write_text

from balewright.readers.mapped.guess import Guess, guess
from balewright.readers.mapped.heading_guess import Sure
from balewright.readers.mapped.map_text import keyed
from balewright.readers.mapped.opening import open_mapped
from balewright.readers.reading import Reading
from balewright.records.bales import concatenate
from balewright.records.column_map import ColumnMap, MappedColumn


def confirmed(maker: Maker, seen: Guess) -> ColumnMap:
    """What a person confirms: the draft, with the answers to what the table leaves open."""
    chosen = replace(seen.column_map, zone=maker.zone)
    asked = {one.key for one in seen.questions}
    if "columns.ask.day_order" in asked:
        chosen = replace(chosen, day_order="mdy" if "/%d/" in str(maker.columns) else "dmy")
    return keyed(chosen)


def read(path: Path, column_map: ColumnMap) -> tuple[Any, list[Any], list[Any]]:
    """All bales of a file by a map, refusals and doubts."""
    batches = list(open_mapped(path, Reading(maps=(column_map,))))
    table = concatenate([batch.bales for batch in batches])
    return (
        table,
        [one for batch in batches for one in batch.refusals],
        [one for batch in batches for one in batch.doubts],
    )


def assert_same(maker: Maker, path: Path) -> None:
    """Guess, confirm and read a file: the bales it was made from, and its totals row refused."""
    column_map = confirmed(maker, guess(path))
    table, refusals, _ = read(path, column_map)
    expected = bales()
    assert table.rows == len(expected), (refusals, column_map)
    assert [one.reason[:27] for one in refusals] == (
        ["needs a bale, is a sum or a"] if maker.totals else []
    )
    for key in {key for _, key, _ in maker.columns} - {"note"}:
        target = "tipped_at" if key == "at" else key
        assert table.mask(target).all(), (target, column_map)
        for row, bale in enumerate(expected):
            found = table.cell(row, target)
            if key == "at":
                found = datetime.fromtimestamp(found / 1e6, UTC)
            if isinstance(bale[key], float):
                assert found == pytest.approx(bale[key], rel=2e-6), (target, row)
            else:
                assert found == bale[key], (target, row)


@pytest.mark.derived
@pytest.mark.parametrize("maker", TEXTS, ids=lambda maker: maker.name)
def test_text_exports_read_as_the_bales_they_were(maker: Maker, tmp_path: Path) -> None:
    """Encoding, separator, signs, dates, units, title rows and words of each maker are found."""
    assert_same(maker, write_text(maker, tmp_path))


@pytest.mark.derived
@pytest.mark.parametrize("maker", SHEETS, ids=lambda maker: maker.name)
def test_spreadsheets_read_as_the_bales_they_were(maker: Maker, tmp_path: Path) -> None:
    """Typed numbers and dates, title rows, merged headings and a totals row of XLSX."""
    assert_same(maker, write_sheet(maker, tmp_path))


@pytest.mark.law
def test_every_maker_has_a_name_of_its_own() -> None:
    """More than thirty exports, no two alike."""
    names = [maker.name for maker in (*TEXTS, *SHEETS)]
    assert len(names) == len(set(names)) > 30
    assert np.unique([str(maker) for maker in (*TEXTS, *SHEETS)]).size == len(names)


@pytest.mark.own
def test_reading_a_table_tells_how_far_it_is(tmp_path: Path) -> None:
    """Text by its bytes, a sheet by its rows as a share of its bytes: only forward, and at last
    the whole file."""
    count, note = 17_000, "-" * 300
    text, sheet = tmp_path / "bales.csv", tmp_path / "bales.xlsx"
    lines = "".join(f"{n};600.25;{note}\n" for n in range(1, count))
    text.write_text(f"Bale;Weight [kg];Note\n{lines}")
    book = openpyxl.Workbook(write_only=True)
    page = book.create_sheet("Bales")
    for row in (("Bale", "Weight [kg]", "Note"), *((n, 600.25, None) for n in range(1, count))):
        page.append(row)
    book.save(sheet)
    columns = (
        MappedColumn("Bale", 0, "bale_no"),
        MappedColumn("Weight [kg]", 1, "mass_kg", "kg"),
        MappedColumn("Note", 2, ""),
    )
    plain = ColumnMap("", "bales", columns, separator=";", machine="X")
    for path, column_map in ((text, plain), (sheet, replace(plain, sheet="Bales"))):
        told: list[tuple[int, int | None]] = []
        reading = Reading(
            (column_map,), tell=lambda done, total, heard=told: heard.append((done, total))
        )
        assert sum(batch.bales.rows for batch in open_mapped(path, reading)) >= count - 1
        size = path.stat().st_size
        done = [each for each, total in told if total == size]
        assert len(done) == len(told)
        assert done == sorted(done)
        assert 0 < done[0] < size
        assert done[-1] == size


@pytest.mark.own
def test_times_under_a_word_nobody_knows_are_a_guess_and_none_at_all_is_said(
    tmp_path: Path,
) -> None:
    """A bale without its time counts on no day, so the only column of times is offered; of two
    none is, and that no column says the time is told.
    """
    path = tmp_path / "pressed.csv"
    one, two = "300;2031-06-16T10:00:00Z", "301;2031-06-16T10:02:00Z"
    path.write_text(f"Bale;Wrung;Weight (kg)\n{one};650\n{two};660\n")
    seen = guess(path)
    column = seen.columns[1]
    assert (column.column.target, column.sure, column.why) == ("tipped_at", Sure.OPEN, "alone")
    assert "columns.ask.time" not in {ask.key for ask in seen.questions}
    printed = "2031-07-01T08:00:00Z"
    path.write_text(f"Bale;Wrung;Printed\n{one};{printed}\n{two};{printed}\n")
    seen = guess(path)
    assert [each.column.target for each in seen.columns] == ["bale_no", "", ""]
    assert "columns.ask.time" in {ask.key for ask in seen.questions}
