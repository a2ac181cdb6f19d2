"""Files that mean harm or are only broken: typed errors, bounded memory, nothing half read."""

from __future__ import annotations

import io
import random
import re
import tracemalloc
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from tests.readers.mapped.exports import SHEETS, TEXTS, write_sheet, write_text

from balewright.quantities.errors import BadInput
from balewright.readers.mapped.guess import guess
from balewright.readers.mapped.map_text import keyed
from balewright.readers.mapped.opening import open_mapped
from balewright.readers.open_records import open_records
from balewright.readers.reading import Reading
from balewright.records.column_map import ColumnMap, MappedColumn

pytestmark = pytest.mark.derived

MAP = keyed(
    ColumnMap(
        "",
        "plain",
        (MappedColumn("Machine", 0, "machine"), MappedColumn("No", 1, "bale_no"),
         MappedColumn("kg", 2, "mass_kg", "kg")),
    )
)  # fmt: skip
READING = Reading(maps=(MAP, replace(MAP, sheet="S", name="sheet")))


def workbook(path: Path, change: Callable[[str, bytes], bytes], **more: bytes) -> Path:
    """A sound XLSX with its members changed, and further members."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "S"
    for row in (["Machine", "No", "kg"], ["Z-1", 1, 640.5], ["Z-1", 2, 641.5]):
        sheet.append(row)
    buffer = io.BytesIO()
    book.save(buffer)
    with zipfile.ZipFile(buffer) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
        for name, data in more.items():
            new.writestr(name, data)
    return path


def in_sheet(old: bytes, new: bytes) -> Callable[[str, bytes], bytes]:
    """Replace bytes of the sheet."""
    return lambda name, data: data.replace(old, new) if "worksheets/" in name else data


DTD = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]>'
CELL = b'<c r="C3" t="n">'
ATTACKS: dict[str, tuple[Callable[[str, bytes], bytes], dict[str, bytes], str]] = {
    "far corner": (in_sheet(b'r="C3"', b'r="XFD1048576"'), {}, "8,000,000 cells"),
    "far row": (
        lambda name, data: in_sheet(b'<row r="3"', b'<row r="9999999"')(
            name, re.sub(rb'<c r="[A-Z]3"', b"<c", data)
        ),
        {},
        "8,000,000 cells",
    ),
    "entity": (
        lambda name, data: DTD + data.split(b"?>")[-1] if "worksheets/" in name else data,
        {},
        "document type",
    ),
    "entity in the strings": (
        lambda _, data: data,
        {"xl/sharedStrings2.xml": DTD + b"<a/>"},
        "doc",
    ),
    "utf-16": (
        lambda name, data: data.decode().encode("utf-16") if "worksheets/" in name else data,
        {},
        "document type or other bytes",
    ),
    "bomb": (lambda _, data: data, {"xl/media/a.bin": b"0" * (20 << 20)}, "MiB|to 1"),
    "path": (lambda _, data: data, {"../../evil.xml": b"<a/>"}, "leaves the folder"),
    "cut XML": (in_sheet(b"</sheetData>", b""), {}, "XML that is whole"),
    "16 MB cell": (
        in_sheet(b"<v>641.5</v>", b"<v>" + b"9" * (16 << 20) + b"</v>"),
        {},
        "to 1|XML that is whole",
    ),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_a_spreadsheet_that_means_harm_is_refused(name: str, tmp_path: Path) -> None:
    """Bombs, entities, escapes and endless sheets: a typed error, in little memory."""
    change, more, said = ATTACKS[name]
    path = workbook(tmp_path / "a.xlsx", change, **more)
    tracemalloc.start()
    with pytest.raises(BadInput, match=said):
        list(open_records(path, READING).batches)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 120 << 20


def test_a_name_that_stands_twice_is_refused(tmp_path: Path) -> None:
    """What was looked at and what would be read could differ."""
    path = workbook(tmp_path / "a.xlsx", lambda _, data: data)
    with pytest.warns(UserWarning, match="Duplicate name"), zipfile.ZipFile(path, "a") as more:
        more.writestr("xl/worksheets/sheet1.xml", "<worksheet/>")
    with pytest.raises(BadInput, match="stands twice"):
        open_records(path, READING)


def test_failed_cells_cost_their_rows_alone(tmp_path: Path) -> None:
    """#N/A and a formula nobody worked out are named by cell; in a left-out column they are not."""
    path = workbook(
        tmp_path / "a.xlsx",
        in_sheet(b'<c r="C3" t="n"><v>641.5</v></c>', b'<c r="C3" t="e"><v>#N/A</v></c>'),
    )
    (batch,) = open_records(path, READING).batches
    assert batch.bales.rows == 1
    assert [(one.place, one.text) for one in batch.refusals] == [("row 3, column kg", "C3: #N/A")]
    left_out = replace(MAP, sheet="S", columns=(*MAP.columns[:2], MappedColumn("kg", 2, "")))
    (batch,) = open_records(path, Reading(maps=(keyed(left_out),))).batches
    assert batch.bales.rows == 2


def test_what_is_no_spreadsheet_says_so(tmp_path: Path) -> None:
    """An old workbook's first bytes with nothing behind, and a locked one."""
    path = tmp_path / "a.xls"
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(4096))
    with pytest.raises(BadInput, match="a spreadsheet that can be read"):
        open_records(path, READING)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (
            b";".join(b"c" for _ in range(1_000_000)) + b"\n" + b"1;" * 9,
            "table with headings|known here",
        ),
        (b"a;b\n1;" + b"x" * (16 << 20) + b"\n", "table with|known here"),
        (b"\x00\x01\x02;\n" * 20, "table"),
        (b"a;b\r1;2\r3;4\r", "table"),
        (b"", "table"),
        (b"\xff\xfe", "table"),
        (b"1" * 65_000 + b"x;b\n1;2\n", "table"),
    ],
)
def test_texts_that_are_no_tables(data: bytes, said: str, tmp_path: Path) -> None:
    """A million columns, a cell of 16 MB, bytes: typed errors and little memory."""
    path = tmp_path / "a.csv"
    path.write_bytes(data)
    tracemalloc.start()
    with pytest.raises(BadInput, match=said):
        list(open_mapped(path, READING))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 120 << 20


def test_a_long_line_costs_itself(tmp_path: Path) -> None:
    """A cell of 16 MB in a good table is one refused line; the next one is read."""
    path = tmp_path / "a.csv"
    path.write_bytes(b"Machine,No,kg\nZ,1,640\nZ,2," + b"9" * (16 << 20) + b"\nZ,3,641\n")
    batches = list(open_mapped(path, READING))
    assert sum(batch.bales.rows for batch in batches) == 2
    refused = [one for batch in batches for one in batch.refusals]
    assert [one.place for one in refused] == ["line 3"]
    assert "at most 65536 bytes" in refused[0].reason


def test_broken_bytes_give_typed_errors_only(tmp_path: Path) -> None:
    """Exports with bytes turned, cut and doubled at random: refusals or BadInput, never more."""
    chance = random.Random(20310614)
    seeds: list[tuple[bytes, str]] = [
        (write_text(maker, tmp_path).read_bytes(), "a.csv") for maker in TEXTS[::5]
    ]
    seeds.append((write_sheet(SHEETS[1], tmp_path).read_bytes(), "a.xlsx"))
    read = 0
    for turn in range(32):
        data, name = seeds[turn % len(seeds)]
        broken = bytearray(data)
        for _ in range(chance.randrange(1, 8)):
            at = chance.randrange(len(broken))
            broken[at : at + chance.choice([0, 1, 1, 30])] = chance.randbytes(chance.choice([1, 3]))
        path = tmp_path / name
        path.write_bytes(broken)
        try:
            seen: Any = guess(path)
            reading = Reading(maps=(keyed(replace(seen.column_map, zone="Europe/Berlin")),))
            read += sum(batch.bales.rows for batch in open_mapped(path, reading))
        except BadInput:
            continue
    assert read > 20


OFFICE = "urn:oasis:names:tc:opendocument:xmlns:"


def ods(path: Path, rows: str) -> Path:
    """A spreadsheet of the open document format with one table."""
    spaces = " ".join(f'xmlns:{one}="{OFFICE}{one}:1.0"' for one in ("office", "table", "text"))
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {spaces}><office:body>'
        f'<office:spreadsheet><table:table table:name="S">{rows}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = (
        f'<manifest:manifest xmlns:manifest="{OFFICE}manifest:1.0">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/>'
        "</manifest:manifest>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("mimetype", kind)
        packed.writestr("META-INF/manifest.xml", manifest)
        packed.writestr("content.xml", content)
    return path


def ods_row(*cells: str | float, more: str = "") -> str:
    """A row of texts and numbers."""
    said = "".join(
        f'<table:table-cell office:value-type="string"><text:p>{cell}</text:p></table:table-cell>'
        if isinstance(cell, str)
        else f'<table:table-cell office:value-type="float" office:value="{cell}"/>'
        for cell in cells
    )
    return f"<table:table-row>{said}{more}</table:table-row>"


def test_an_open_document_reads_and_its_repeats_are_bounded(tmp_path: Path) -> None:
    """Empty rows and columns may repeat to the end of the sheet; filled ones may not."""
    head = ods_row("Machine", "No", "kg")
    ends = '<table:table-cell table:number-columns-repeated="16381"/>'
    blank = f'<table:table-row table:number-rows-repeated="1048000">{ends}</table:table-row>'
    good = head + ods_row("Z-1", 1, 640.5, more=ends) + ods_row("Z-1", 2, 641.5)
    path = ods(tmp_path / "a.ods", good + blank)
    (batch,) = open_records(path, READING).batches
    assert batch.bales.column("mass_kg").tolist() == [640.5, 641.5]
    assert batch.places is not None
    assert batch.places.at.tolist() == [2, 3]
    cell = '<table:table-cell office:value-type="float" office:value="1"'
    wide = f'<table:table-row table:number-rows-repeated="9999">{cell} '
    wide += 'table:number-columns-repeated="16384"/></table:table-row>'
    for rows in (head + wide, head + blank.replace("1048000", "9000000") + ods_row("Z", 1, 2)):
        with pytest.raises(BadInput, match="8,000,000 cells"):
            open_records(ods(tmp_path / "b.ods", rows), READING)
