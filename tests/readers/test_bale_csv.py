"""The bale table as CSV: what is kept, what is refused and with which words, and back again."""

from __future__ import annotations

import gzip
import io
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.quantities.errors import BadInput
from balewright.readers import cells, csv_split, lines
from balewright.readers.bale_csv import read_bale_csv, write_bale_csv
from balewright.records.bales import BaleTable, bale_table, concatenate
from balewright.records.columns import COLUMNS, Column, Kind
from balewright.records.intake import MAX_BATCH_ROWS, Doubt, Refusal

BROKEN = Path(__file__).parent / "csv_broken"
FIXTURES = sorted(BROKEN.glob("*.csv*"))

Read = tuple[BaleTable, list[Refusal], list[Doubt]]


def read_all(path: Path) -> Read:
    """Everything a file gives, in one table."""
    batches = list(read_bale_csv(path))
    refusals = [refusal for batch in batches for refusal in batch.refusals]
    doubts = [doubt for batch in batches for doubt in batch.doubts]
    return concatenate([batch.bales for batch in batches]), refusals, doubts


def write_file(folder: Path, text: str | bytes, name: str = "bales.csv") -> Path:
    """A file with this content."""
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def cells_of(table: BaleTable) -> list[list[Any]]:
    """Every cell as a plain value, None where unknown."""
    return [[table.cell(row, one.name) for one in COLUMNS] for row in range(table.rows)]


def account_of(path: Path) -> str:
    """What reading a file says: rows kept, refusals, doubts, or the error."""
    try:
        table, refusals, doubts = read_all(path)
    except BadInput as error:
        return f"{error}\n"
    said = [f"kept {table.rows}"]
    said += [f"{one.place} | {one.text} | {one.reason}" for one in refusals]
    said += [f"{one.place} ~ {one.kind} ~ {one.text}" for one in doubts]
    return "\n".join(said) + "\n"


@pytest.mark.derived
@pytest.mark.parametrize("path", FIXTURES, ids=lambda path: path.name)
def test_each_defect_is_told_with_place_need_and_cure(path: Path) -> None:
    """A file with one defect says what the file of the same name ending in .said says."""
    expected = (BROKEN / f"{path.name.split('.')[0]}.said").read_text(encoding="utf-8")
    assert account_of(path) == expected


@pytest.mark.law
@pytest.mark.parametrize("path", FIXTURES, ids=lambda path: path.name)
def test_rows_and_refused_lines_are_the_physical_lines(path: Path) -> None:
    """Every physical line below the head is a row or one refusal, whatever is wrong with it."""
    try:
        table, refusals, _ = read_all(path)
    except BadInput:
        return
    data = path.read_bytes()
    physical = data.count(b"\n") + (not data.endswith(b"\n"))
    assert table.rows + len(refusals) == physical - 2
    assert len({refusal.place.split(",")[0] for refusal in refusals}) == len(refusals)


@pytest.mark.derived
def test_a_plain_table_is_read_cell_by_cell(tmp_path: Path) -> None:
    """Names in any order, values with their kinds, an empty cell unknown and never zero."""
    path = write_file(
        tmp_path,
        "mass_kg,machine,tipped_at,film1_breaks,wrap_turns,binding\n"
        "612.5,MW-07,2031-06-14T09:30:00Z,0,16,net\n"
        ",MW-07,2031-06-14T11:31:00.25+02:00,,,\n",
    )
    table, refusals, doubts = read_all(path)
    assert (refusals, doubts) == ([], [])
    # By hand: 61 years of 365 days, 15 leap days, 164 days of 2031, and 9.5 h.
    half_past_nine_us = (22_444 * 86_400 + 34_200) * 1_000_000
    names = ("machine", "mass_kg", "tipped_at", "film1_breaks", "wrap_turns", "binding", "lat")
    assert [table.cell(0, name) for name in names] == [
        *("MW-07", 612.5, half_past_nine_us, 0, 16.0, "net", None)
    ]
    assert [table.cell(1, name) for name in names] == [
        *("MW-07", None, half_past_nine_us + 60_250_000, None, None, None, None)
    ]


SAME_TABLE = {
    "commas": b"machine,mass_kg,job\nMW-07,612.5,Low Meadow\n",
    "semicolons": b"machine;mass_kg;job\nMW-07;612.5;Low Meadow\n",
    "semicolons and decimal comma": b"machine;mass_kg;job\nMW-07;612,5;Low Meadow\n",
    "version line": b"# balewright bale table 1\nmachine,mass_kg,job\nMW-07,612.5,Low Meadow\n",
    "version line padded by a spreadsheet": (
        b"# balewright bale table 1;;\r\nmachine;mass_kg;job\r\nMW-07;612,5;Low Meadow\r\n"
    ),
    "byte order mark": b"\xef\xbb\xbfmachine,mass_kg,job\nMW-07,612.5,Low Meadow\n",
    "carriage returns": b"machine,mass_kg,job\r\nMW-07,612.5,Low Meadow\r\n",
    "quotes": b'"machine","mass_kg",job\n"MW-07","612.5","Low Meadow"\n',
    "blanks round a number": b"machine,mass_kg,job\nMW-07, 612.5 ,Low Meadow\n",
    "exponent": b"machine,mass_kg,job\nMW-07,6.125e+2,Low Meadow\n",
    "gzip": gzip.compress(b"machine,mass_kg,job\nMW-07,612.5,Low Meadow\n"),
}


@pytest.mark.derived
@pytest.mark.parametrize("form", SAME_TABLE)
def test_the_allowed_spellings_give_the_same_table(form: str, tmp_path: Path) -> None:
    """Separators, decimal signs, line ends, quotes, gzip and the version line change no value."""
    table, refusals, doubts = read_all(write_file(tmp_path, SAME_TABLE[form]))
    assert refusals == []
    assert [doubt.text for doubt in doubts] == ["neither number nor time in this row"]
    assert [table.cell(0, name) for name in ("machine", "mass_kg", "job")] == [
        *("MW-07", 612.5, "Low Meadow")
    ]


@pytest.mark.published
def test_quotes_follow_rfc_4180(tmp_path: Path) -> None:
    """RFC 4180 section 2, rules 5 to 7: quoted cells hold separators and doubled quotes."""
    path = write_file(tmp_path, 'machine,job\n"b ""bb",ccc\n"a,a","x"\n"",y\n')
    table, refusals, _ = read_all(path)
    assert refusals == []
    assert [[table.cell(row, name) for name in ("machine", "job")] for row in range(3)] == [
        *(['b "bb', "ccc"], ["a,a", "x"], [None, "y"])
    ]


@pytest.mark.derived
def test_a_broken_quote_costs_its_own_line_only(tmp_path: Path) -> None:
    """One quote that never closes refuses one line of 30,001, and the rest is kept."""
    body = [f"MW-07,{number},600\n" for number in range(30_001)]
    body[70] = 'MW-07,70,"600\n'
    table, refusals, _ = read_all(write_file(tmp_path, "machine,bale_no,mass_kg\n" + "".join(body)))
    assert table.rows == 30_000
    assert [refusal.place for refusal in refusals] == ["line 72"]


@pytest.mark.derived
def test_batches_are_small_and_keep_the_line_numbers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Lines cut by the edge of a block are whole, and a refusal names the line of the file."""
    monkeypatch.setattr(lines, "BLOCK_BYTES", 37)
    monkeypatch.setattr(lines._read_chunks, "__defaults__", (37,))
    body = "".join(f"MW-07,{number}\n" for number in range(500)).replace(",321\n", ",x\n")
    batches = list(read_bale_csv(write_file(tmp_path, "machine,bale_no\n" + body)))
    assert len(batches) > 100
    assert [one.place for batch in batches for one in batch.refusals] == [
        "line 323, column bale_no"
    ]
    numbers = [int(one) for batch in batches for one in batch.bales.column("bale_no")]
    assert numbers == [number for number in range(500) if number != 321]


@pytest.mark.law
@given(st.binary(max_size=60).map(lambda data: data.replace(b"a", b"\n")), st.data())
def test_a_block_and_its_parts_are_the_lines_between_its_line_feeds(
    whole: bytes, data: st.DataObject
) -> None:
    """Any bytes: line feeds alone end lines; a part has its lines, numbers, and the last one's
    open end.
    """
    block = lines.Block(10, whole, ended=False)
    assert block.lines == whole.split(b"\n")
    assert len(block.ends) == len(block.lines)
    first = data.draw(st.integers(0, len(block.lines) - 1))
    behind = data.draw(st.integers(first + 1, len(block.lines) + 1))
    part = block.part(first, behind)
    assert part.lines == block.lines[first:behind]
    assert (part.first_line, part.ended) == (10 + first, behind < len(block.lines))


@pytest.mark.derived
def test_no_batch_is_larger_than_promised(tmp_path: Path) -> None:
    """Many short lines are split into batches of at most MAX_BATCH_ROWS rows."""
    path = write_file(tmp_path, "film_breaks\n" + "7\n" * (2 * MAX_BATCH_ROWS + 5))
    sizes = [batch.bales.rows for batch in read_bale_csv(path)]
    assert sum(sizes) == 2 * MAX_BATCH_ROWS + 5
    assert max(sizes) <= MAX_BATCH_ROWS


@pytest.mark.derived
def test_a_line_that_never_ends_is_one_refusal(tmp_path: Path) -> None:
    """20 MB without a line end is refused as one line, and the next line is read."""
    data = b"machine,bale_no\nMW-07,1\n" + b"x" * 20_000_000 + b"\nMW-07,2\n"
    table, refusals, _ = read_all(write_file(tmp_path, data))
    assert table.column("bale_no").tolist() == [1, 2]
    assert [(one.place, one.reason) for one in refusals] == [
        ("line 3", "needs a line of at most 65536 bytes. Look for missing line ends.")
    ]


@pytest.mark.derived
def test_gzip_bomb_is_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A gzip file that unpacks to far more than its size is refused with the limit named."""
    monkeypatch.setattr(lines, "FREE_UNPACKED_BYTES", 1 << 20)
    path = write_file(tmp_path, gzip.compress(b"machine\n" + b"A" * 30_000_000), "bomb.csv.gz")
    with pytest.raises(BadInput, match="needs a gzip file that unpacks to less than 400 times"):
        list(read_bale_csv(path))


_SIGNS = st.characters(exclude_categories=("Cs", "Cc"))


def _values(column: Column) -> st.SearchStrategy[Any]:
    if column.choices:
        return st.sampled_from(column.choices)
    if column.kind is Kind.TEXT:
        return st.text(_SIGNS, min_size=1, max_size=12)
    if column.kind is Kind.TIME:
        return st.integers(0, 4_102_444_799_999_999)
    assert column.low is not None
    assert column.high is not None
    if column.kind is Kind.INT:
        return st.integers(int(column.low), int(column.high))
    return st.floats(column.low, column.high)


@st.composite
def tables(draw: st.DrawFn) -> BaleTable:
    """A bale table with some columns and rows, any of whose cells may be unknown."""
    columns = draw(st.lists(st.sampled_from(COLUMNS), min_size=1, max_size=6, unique=True))
    rows = draw(st.integers(0, 5))
    cells = {
        column.name: [draw(st.none() | _values(column)) for _ in range(rows)] for column in columns
    }
    return bale_table(rows, cells)


@pytest.mark.law
@given(table=tables())
def test_what_is_written_reads_back_the_same(
    table: BaleTable, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Any table that the form can hold comes back cell for cell, floats to the last bit."""
    path = tmp_path_factory.mktemp("round") / "bales.csv"
    with path.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(table, stream)
    if table.rows == 0:
        assert list(read_bale_csv(path)) == []
        return
    again, refusals, _ = read_all(path)
    assert refusals == []
    assert cells_of(again) == cells_of(table)


@pytest.mark.law
@given(
    moment=st.datetimes(datetime(1970, 1, 3), datetime(2099, 12, 29)),  # noqa: DTZ001
    offset_minutes=st.integers(-18 * 60, 18 * 60),
    timespec=st.sampled_from(["minutes", "seconds", "milliseconds", "microseconds"]),
)
def test_times_agree_with_the_standard_library(
    moment: datetime,
    offset_minutes: int,
    timespec: str,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """A time in any offset and any usual precision is the moment that `datetime` says it is."""
    aware = moment.replace(tzinfo=timezone(timedelta(minutes=offset_minutes)))
    text = aware.isoformat(timespec=timespec)
    path = write_file(tmp_path_factory.mktemp("time"), f"tipped_at\n{text}\n")
    table, refusals, _ = read_all(path)
    assert refusals == []
    since = datetime.fromisoformat(text) - datetime(1970, 1, 1, tzinfo=UTC)
    assert table.cell(0, "tipped_at") == since // timedelta(microseconds=1)


def _is_float_between(text: str, low: float, high: float) -> bool:
    try:
        return low <= float(text) <= high
    except ValueError:
        return False


@pytest.mark.law
@given(text=st.text("0123456789+-.eEnaif_x ,", max_size=9) | st.floats().map(repr))
def test_a_number_is_what_python_reads_or_a_refusal(
    text: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A number cell gives the float of the same text where that is finite, plain and in range."""
    body = f'film1_breaks,pitch_frac\n1,"{text}"\n'
    table, refusals, _ = read_all(write_file(tmp_path_factory.mktemp("number"), body))
    if not text.strip():
        assert table.cell(0, "pitch_frac") is None
    elif refusals:
        assert "_" in text or not _is_float_between(text, -1, 1)
    else:
        assert table.cell(0, "pitch_frac") == float(text)


_ODD_CELLS = st.sampled_from(
    [
        *(
            "",
            " ",
            "0",
            "-0",
            "+5",
            "1.5",
            "1,5",
            ".5",
            "5.",
            "1e3",
            "1e999",
            "nan",
            "-inf",
            "0x1F",
        ),
        *(
            "1_0",
            " 7",
            "7 ",
            "٣",
            "1.234,5",
            "net",
            "NET",
            "ok",
            "MW-07",
            "\ufeff7",
            "a b",
            "\u20287",
        ),
        *("2031-06-14T09:30:00Z", "2031-06-14 09:30+02", "2031-06-14T09:30:00.123456+02:00"),
        *("2031-06-14T09Z", "2031-06-14", "1969-12-31T23:59:59Z", "2100-01-01T00:00:00Z"),
        *("2031-06-14T09:30:00.1234567Z", "2031-06-31T09:30:00Z", "2031-06-14T24:00:00Z"),
        *("2031-06-14T09:30:00-23:59", "2031-06-14T09:30:00+24:00", "1970-01-01T00:30:00+01:00"),
    ]
)
_ODD_LINES = st.lists(_ODD_CELLS | st.text(max_size=4), min_size=5, max_size=5)


@pytest.mark.law
@given(
    rows=st.lists(_ODD_LINES | st.lists(_ODD_CELLS, max_size=7), min_size=1, max_size=6),
    separator=st.sampled_from(",;"),
    by_cell=st.booleans(),
)
def test_the_fast_way_and_the_careful_way_agree(
    rows: list[list[str]],
    separator: str,
    by_cell: bool,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """A file says the same whether its blocks and columns go the quick way or cell by cell."""
    names = ["job", "binding", "film_breaks", "pitch_frac", "tipped_at"]
    text = "\n".join(separator.join(row) for row in [names, *rows]) + "\n"
    path = write_file(tmp_path_factory.mktemp("ways"), text.encode(errors="replace"))
    quick = read_all(path)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(csv_split, "_find_odd", lambda block: np.ones(len(block.ends), bool))
        if by_cell:
            patch.setattr(cells, "_cast", lambda *_: None)
        careful = read_all(path)
    assert cells_of(quick[0]) == cells_of(careful[0])
    assert quick[1:] == careful[1:]


@pytest.mark.derived
@pytest.mark.parametrize(
    ("name", "value", "shown"),
    [
        ("mass_kg", -1.0, "-1.0"),
        ("job", "Low\nMeadow", "Low.+nMeadow"),
        ("binding", "nett", "nett"),
        ("tipped_at", -1, "-1"),
    ],
)
def test_nothing_is_written_that_would_not_be_read(name: str, value: Any, shown: str) -> None:
    """A value outside the form stops the writing before the first byte, and is named."""
    stream = io.StringIO()
    with pytest.raises(BadInput, match=f"row 2, column {name}: needs a value .*{shown}"):
        write_bale_csv(bale_table(2, {name: [None, value]}), stream)
    assert stream.getvalue() == ""


@pytest.mark.derived
def test_the_version_stands_in_every_file() -> None:
    """The first line of a written file names the form and its version."""
    stream = io.StringIO()
    write_bale_csv(bale_table(1, {"machine": ["MW-07"], "mass_kg": [600.0]}), stream)
    assert stream.getvalue() == "# balewright bale table 1\nmachine,mass_kg\nMW-07,600.0\n"


@pytest.mark.derived
def test_the_example_in_the_documentation_is_read(tmp_path: Path) -> None:
    """What docs/bale-table.md shows is a file of this form, without a refusal or a mark."""
    page = (Path(__file__).parents[2] / "docs" / "bale-table.md").read_text(encoding="utf-8")
    example = page.split("```csv\n")[1].split("```")[0]
    table, refusals, doubts = read_all(write_file(tmp_path, example))
    assert (refusals, doubts) == ([], [])
    assert table.floats("film_m")[0] == 69.5
    assert [table.cell(1, name) for name in ("bale_no", "film_m", "mass_kg")] == [813, None, None]
