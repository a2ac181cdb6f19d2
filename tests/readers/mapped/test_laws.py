"""Laws of reading by a map: what is written by any map reads back, and nothing is lost."""

from __future__ import annotations

import csv
import io
import json
import tomllib
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import openpyxl
import pandas as pd
import pyarrow as pa
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readers.mapped.exports import PER, TEXTS, Maker, number_text, write_text

from balewright.quantities.errors import BadInput
from balewright.readers.mapped.checking import check_map
from balewright.readers.mapped.evidence import look_at_column
from balewright.readers.mapped.map_text import keyed, map_from_json, map_to_toml, read_map_file
from balewright.readers.mapped.numbers import Writing, read_numbers
from balewright.readers.mapped.opening import open_mapped
from balewright.readers.mapped.raw import RawColumn
from balewright.readers.mapped.units import units_for
from balewright.readers.reading import Reading
from balewright.records.column_map import ColumnMap, MappedColumn, Twice
from balewright.records.columns import COLUMNS, Kind

MEASURED = [
    (one.name, unit)
    for one in COLUMNS
    if one.kind is Kind.FLOAT
    for unit in units_for(one.name)
    if unit in PER
]
SIGNS = [(".", ""), (".", ","), (",", "."), (",", " "), (".", "'"), (",", "")]


@st.composite
def tables(draw: st.DrawFn) -> tuple[ColumnMap, list[list[float | None]], list[list[str]]]:
    """A map of some measured columns in random units and order, numbers, and their texts."""
    pairs = draw(st.lists(st.sampled_from(MEASURED), min_size=1, max_size=6,
                          unique_by=lambda one: one[0]))  # fmt: skip
    decimal, thousands = draw(st.sampled_from(SIGNS))
    known = {one.name: one for one in COLUMNS}
    maker = Maker("law", (), decimal=decimal, thousands=thousands, places=9)
    numbers: list[list[float | None]] = []
    texts: list[list[str]] = []
    for row in range(draw(st.integers(1, 12))):
        cells: list[float | None] = []
        said = [str(row + 1)]
        for target, unit in pairs:
            column = known[target]
            low, high = column.low or 0.0, column.high or 0.0
            share = draw(
                st.none() | st.floats(0.01, 0.99)
            )  # the very ends may fall over by rounding
            value = None if share is None else round(low + share * (high - low), 3)
            base = 1000 if target.endswith("_mm") else 1
            per = PER[unit] / base if target.endswith("_mm") and unit != "mm" else PER[unit]
            per = 1 if target.endswith("_mm") and unit == "mm" else per
            cells.append(value)
            said.append("" if value is None else number_text(maker, value * per))
        numbers.append(cells)
        texts.append(said)
    order = draw(st.permutations(range(len(pairs) + 1)))
    columns = [MappedColumn("no", 0, "bale_no")]
    columns += [MappedColumn(f"h{at}", at + 1, *pair) for at, pair in enumerate(pairs)]
    shuffled = tuple(replace(columns[at], place=place) for place, at in enumerate(order))
    encoding = draw(st.sampled_from(["utf-8", "cp1252", "utf-16-le"]))
    column_map = ColumnMap("", "law", shuffled, separator=draw(st.sampled_from([";", "\t", "|"])),
                           decimal=decimal, thousands=thousands, encoding=encoding)  # fmt: skip
    return keyed(column_map), numbers, [[row[at] for at in order] for row in texts]


@pytest.mark.law
@settings(max_examples=40)
@given(tables(), st.booleans())
def test_what_is_written_by_any_map_reads_back(table: Any, quoted: bool) -> None:
    """Units, signs, order, encoding, quotes: the same numbers come back, and the same unknowns."""
    column_map, numbers, texts = table
    stream = io.StringIO()
    out = csv.writer(stream, delimiter=column_map.separator,
                     quoting=csv.QUOTE_ALL if quoted else csv.QUOTE_MINIMAL)  # fmt: skip
    out.writerow(column_map.headings)
    out.writerows(texts)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "law.csv"
        path.write_bytes(stream.getvalue().encode(column_map.encoding))
        (batch,) = open_mapped(path, Reading(maps=(column_map,)))
    assert batch.refusals == ()
    assert batch.places is not None
    assert batch.places.at.tolist() == list(range(2, len(texts) + 2))
    named = sorted((one for one in column_map.columns if one.heading != "no"), key=_heading)
    for at, column in enumerate(named):
        for row, cells in enumerate(numbers):
            found = batch.bales.cell(row, column.target)
            if cells[at] is None:
                assert found is None
            else:
                assert found == pytest.approx(cells[at], rel=1e-9, abs=1e-6)


def _heading(column: MappedColumn) -> str:
    return column.heading


@pytest.mark.law
@settings(max_examples=40)
@given(st.lists(st.lists(st.sampled_from(["1", "640,5", "x", '"', '"a', 'b"', "", "\n", "ä", ";"]),
                         max_size=5), max_size=14))  # fmt: skip
def test_every_line_is_a_bale_a_refusal_or_blank(rows: list[list[str]]) -> None:
    """Whatever stands in a text, no line vanishes: kept, refused, blank, or inside quotes."""
    column_map = keyed(
        ColumnMap("", "law", (MappedColumn("no", 0, "bale_no"), MappedColumn("kg", 1, "mass_kg")),
                  separator=";", decimal=",", encoding="cp1252")
    )  # fmt: skip
    body = "\n".join(";".join(row) for row in rows) + "\n"
    with TemporaryDirectory() as folder:
        path = Path(folder) / "law.csv"
        path.write_bytes(("no;kg\n" + body).encode("cp1252"))
        batches = list(open_mapped(path, Reading(maps=(column_map,))))
    kept = [int(at) for one in batches for at in one.places.at] if batches else []
    refused = [int(one.place.split()[1].rstrip(",")) for each in batches for one in each.refusals]
    assert len({*kept, *refused}) == len(kept) + len(refused)
    lines = ("no;kg\n" + body).split("\n")
    for number, line in enumerate(lines[1:], 2):
        if line.strip(';" \t') and '"' not in body:
            assert number in {*kept, *refused}


@pytest.mark.reference
@pytest.mark.check(model="tables by a column map", source="pandas")
@pytest.mark.parametrize("maker", [TEXTS[0], TEXTS[7], TEXTS[8]], ids=lambda maker: maker.name)
def test_pandas_reads_the_same_numbers(maker: Maker, tmp_path: Path) -> None:
    """Every number of a German and an American export, cell by cell, as pandas reads them."""
    path = write_text(maker, tmp_path)
    frame = pd.read_csv(path, sep=maker.separator, decimal=maker.decimal, encoding=maker.encoding,
                        thousands=maker.thousands or None)  # fmt: skip
    frame = frame[frame.iloc[:, 0] != maker.totals]
    for heading, key, form in maker.columns:
        if key in ("machine", "at", "binding", "note"):
            continue
        raw = pd.read_csv(path, sep=maker.separator, encoding=maker.encoding, dtype=str)
        cells = raw[raw.iloc[:, 0] != maker.totals][heading].tolist()
        writing = Writing(maker.decimal, maker.thousands)
        found = read_numbers(RawColumn(pa.array(cells, pa.string())), writing)
        assert found.known.all(), (heading, form)
        assert found.values.tolist() == frame[heading].astype(float).tolist()


@pytest.mark.derived
@pytest.mark.parametrize(
    ("cell", "writing", "value"),
    [
        ("1.234,5", Writing(",", "."), 1234.5),
        ("1.234", Writing(",", "."), 1234.0),
        ("1,234.5", Writing(".", ","), 1234.5),
        ("1\N{NO-BREAK SPACE}234,5", Writing(",", " "), 1234.5),
        ("1'234.5", Writing(".", "'"), 1234.5),
        ("−12,5", Writing(",", ""), -12.5),
        ("-0", Writing(".", ""), 0.0),
        ("640 KG", Writing(".", ""), 640.0),
        (" 640,5 kg", Writing(",", ""), 640.5),
        ("1e3", Writing(".", ""), 1000.0),
        ("12.5", Writing(",", ""), None),
        ("1,234", Writing(".", ""), None),
        ("12.34,5", Writing(",", "."), None),
        ("1.2.3", Writing(".", ""), None),
        ("640 lb", Writing(".", ""), None),
        ("inf", Writing(".", ""), None),
        ("nan", Writing(".", ""), None),
        ("0x10", Writing(".", ""), None),
        ("１２", Writing(".", ""), None),
        ("", Writing(".", ""), None),
    ],
)
def test_numbers_are_read_by_the_maps_signs_alone(
    cell: str, writing: Writing, value: float | None
) -> None:
    """One sign for decimals, one for thousands, in threes; zero has no sign; else it is failed."""
    found = read_numbers(RawColumn(pa.array([cell or None], pa.string())), writing, ("kg",))
    if value is None:
        assert not found.known[0]
        assert found.failed[0] == bool(cell)
    else:
        assert found.known[0]
        assert found.values[0] == value
        assert not np.signbit(found.values[0]) or value < 0


@pytest.mark.law
@settings(max_examples=40)
@given(tables(), st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30),
       st.sampled_from(list(Twice)))  # fmt: skip
def test_a_map_in_a_file_is_the_same_map(table: Any, word: str, twice: Twice) -> None:
    """TOML and JSON give back every part, whatever signs stand in it, under the same key."""
    column_map = table[0]
    columns = (*column_map.columns, MappedColumn(word, 99, "binding", "", ((word, "net"),)))
    given_map = keyed(replace(column_map, columns=columns, twice=twice, unknown=("", word),
                              name=" ".join(word.split()) or "x"))  # fmt: skip
    text = map_to_toml(given_map)
    assert map_from_json(tomllib.loads(text)) == given_map
    with TemporaryDirectory() as folder:
        path = Path(folder) / "map.json"
        path.write_text(json.dumps(tomllib.loads(text)), "utf-8")
        assert read_map_file(path) == given_map


@pytest.mark.derived
def test_a_map_that_cannot_be_used_tells_every_fault() -> None:
    """Wrong targets, units, words, signs and zones are all told at once."""
    wrong = ColumnMap(
        "", "", (
            MappedColumn("a", 0, "mass"),
            MappedColumn("b", 1, "mass_kg", "bar"),
            MappedColumn("c", 2, "mass_kg"),
            MappedColumn("d", 3, "binding", "", (("x", "wire"),)),
            MappedColumn("e", 4, "tipped_at", "clock"),
        ),
        decimal=",", thousands=",", zone="Nowhere/Land", encoding="utf-7", separator="x",
        day_order="ydm", head_rows=3,
    )  # fmt: skip
    with pytest.raises(BadInput) as caught:
        check_map(wrong)
    places = " ".join(fault.place for fault in caught.value.faults)
    for word in ("name", "encoding", "separator", "thousands", "day_order", "zone", "head_row",
                 "mass_kg", "tipped_at", "'a'", "'b'", "'x'"):  # fmt: skip
        assert word in places, word


@pytest.mark.derived
def test_two_maps_that_fit_are_asked_about(tmp_path: Path) -> None:
    """Nobody guesses between two names; the key settles it, a wrong key or file says so."""
    path = tmp_path / "a.csv"
    path.write_text("no,kg\n1,640\n")
    columns = (MappedColumn("kg", 0, "mass_kg"), MappedColumn("no", 1, "bale_no"))
    one, two = (keyed(ColumnMap("", name, columns)) for name in ("one", "two"))
    with pytest.raises(BadInput, match="one column map that fits"):
        open_mapped(path, Reading(maps=(one, two)))
    (batch,) = open_mapped(path, Reading(maps=(one, two), map_key=two.key))
    assert batch.bales.cell(0, "mass_kg") == 640
    with pytest.raises(BadInput, match="key or name of a saved column map"):
        open_mapped(path, Reading(maps=(one,), map_key="M-gone"))
    path.write_text("no,lb\n1,640\n")
    with pytest.raises(BadInput, match="headings of one"):
        open_mapped(path, Reading(maps=(one,), map_key="one"))
    with pytest.raises(BadInput, match=r"known here.*balewright columns"):
        open_mapped(path, Reading(maps=(one,)))


@pytest.mark.reference
@pytest.mark.check(model="spreadsheets by a column map", source="openpyxl")
def test_a_spreadsheet_reads_as_openpyxl_reads_it(tmp_path: Path) -> None:
    """Row by row, over two blocks, with a gap of empty rows and numbers written as text."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["no", "kg"])
    for row in range(1, 16_500):
        sheet.append([row, f"{600 + row % 200},5" if row % 7 == 0 else 600 + row % 200])
        if row % 5000 == 0:
            sheet.append([])
    path = tmp_path / "a.xlsx"
    book.save(path)
    columns = (MappedColumn("no", 0, "bale_no"), MappedColumn("kg", 1, "mass_kg"))
    column_map = keyed(ColumnMap("", "x", columns, sheet="Sheet", decimal=","))
    batches = list(open_mapped(path, Reading(maps=(column_map,))))
    found = {
        int(batch.places.at[row]): tuple(
            batch.bales.cell(row, one) for one in ("bale_no", "mass_kg")
        )
        for batch in batches
        for row in range(batch.bales.rows)
    }  # fmt: skip
    read_back = openpyxl.load_workbook(path, read_only=True)
    expected = {
        number: (row[0], float(str(row[1]).replace(",", ".")))
        for number, row in enumerate(read_back.worksheets[0].iter_rows(values_only=True), 1)
        if number > 1 and row[0] is not None
    }
    read_back.close()
    assert found == expected
    assert not any(batch.refusals for batch in batches)


@pytest.mark.own
@pytest.mark.parametrize("text", ["512,1.024,5", "1.024,5.3", "1'024,5'3", "1 024.5 3"])
def test_a_number_that_nobody_writes_votes_for_no_signs(text: str) -> None:
    """A mark that ends it and stands before another mark too is neither decimal nor thousands."""
    seen = look_at_column([text, None])
    plain = look_at_column(["7"])
    assert seen.signs == plain.signs
