"""A look at a spreadsheet before it is opened: is it safe, and which cells hold no value.

A packed one is held to the limits of archives, its XML may have no document type, and no sheet may
claim more cells than MAX_CELLS, whatever few it fills: the library that reads it would lay them
all out. The same look finds cells whose formula failed, which that library shows as empty.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Final

from lxml import etree

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.archive import Archive, Limits, open_archive
from balewright.readers.lines import require_file

MAX_CELLS: Final = 8_000_000
MAX_ERRORS: Final = 100_000
LIMITS: Final = Limits(
    members=2_000, unpacked_bytes=512 << 20, member_bytes=256 << 20, ratio=200, depth=12
)
MAX_OLD_BYTES: Final = 64 << 20
OLD_WORKBOOK: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_REFERENCE: Final = re.compile(r"\$?([A-Za-z]{1,3})\$?(\d{1,7})")
_DOCUMENT_TYPE: Final = re.compile(rb"<!(?:DOCTYPE|ENTITY)", re.IGNORECASE)
_RELATION: Final = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_ODS_FAILED: Final = ("error", "string", "float", None)
_HARMLESS: Final = ("macOS", "operating system", "archive inside")

Failed = dict[tuple[int, int], str]
"""(row from 1, column from 0) -> what a cell holds instead of a value, such as `C3: #N/A`."""


@dataclass(frozen=True)
class WorkbookLook:
    """What was seen. kind: `xlsx`, `ods` or `xls`; errors: failed cells by sheet (not of `xls`)."""

    kind: str
    errors: dict[str, Failed] = field(default_factory=dict)


def workbook_kind(path: Path, head: bytes) -> str | None:
    """`xlsx`, `ods` or `xls` where the bytes are of a spreadsheet, None where they are not."""
    if head.startswith(OLD_WORKBOOK):
        return "xls"
    if not head.startswith(b"PK\x03\x04"):
        return None
    names = open_archive(path).sizes  # with the limits of any archive: it may be task data
    if "xl/workbook.xml" in names:
        return "xlsx"
    if "xl/workbook.bin" in names:
        raise BadInput(_fault(path.name, "XLSX, XLS or ODS", "XLSB", "Save it as XLSX or CSV."))
    return "ods" if "content.xml" in names and "mimetype" in names else None


def look_at_workbook(path: Path, kind: str) -> WorkbookLook:
    """Pass what is safe to open; BadInput for bombs, entities, escapes and endless sheets."""
    require_file(path)
    if kind == "xls":
        size = path.stat().st_size
        if size > MAX_OLD_BYTES:
            need = f"at most {MAX_OLD_BYTES >> 20} MiB of XLS"
            raise BadInput(_fault(path.name, need, f"{size >> 20} MiB", "Save it as CSV."))
        return WorkbookLook(kind)
    archive = open_archive(path, LIMITS)
    for one in archive.ignored:
        if not any(word in one.why for word in _HARMLESS):
            cure = "Save it again from a spreadsheet program."
            raise BadInput(_fault(path.name, "a sound spreadsheet", f"{one.name}: {one.why}", cure))
    errors: dict[str, Failed] = {}
    titles = _titles(path.name, archive) if kind == "xlsx" else {}
    for name in archive.sizes:
        data = archive.read(name)  # all of it: what is not what it says fails its checksum
        if not name.lower().endswith((".xml", ".rels", ".vml")):
            continue
        _refuse_document_type(path.name, data)
        if kind == "xlsx" and name in titles:
            errors[titles[name]] = _look_at_sheet(path.name, titles[name], data)
        elif kind == "xlsx" and PurePosixPath(name).parent.name == "worksheets":
            _look_at_sheet(path.name, name, data)
        elif kind == "ods" and name == "content.xml":
            errors |= _look_at_tables(path.name, data)
    return WorkbookLook(kind, errors)


def _refuse_document_type(name: str, data: bytes) -> None:
    head = data[:4096].replace(b"\0", b"")
    if _DOCUMENT_TYPE.search(head) or _DOCUMENT_TYPE.search(data) or b"\0" in data[:200]:
        raise BadInput(
            _fault(
                name,
                "XML in UTF-8 without a document type",
                "a document type or other bytes, as an entity bomb has",
                "Do not open this file; ask for it as CSV.",
            )
        )


def _titles(name: str, archive: Archive) -> dict[str, str]:
    """Member -> sheet name, as the workbook relates them."""
    related: dict[str, str] = {}
    if "xl/_rels/workbook.xml.rels" in archive.sizes:
        for link in _elements(name, archive.read("xl/_rels/workbook.xml.rels"), "Relationship"):
            target = link.get("Target", "")
            member = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
            related[link.get("Id", "")] = member
    sheets = _elements(name, archive.read("xl/workbook.xml"), "sheet")
    return {related.get(one.get(_RELATION, ""), ""): one.get("name", "") for one in sheets}


def _elements(name: str, data: bytes, *tags: str) -> Iterator[etree._Element]:
    """Elements of these names as they end; memory stays small, entities stay unread."""
    _refuse_document_type(name, data)
    try:
        for _, element in etree.iterparse(
            io.BytesIO(data),
            events=("end",),
            tag=[f"{{*}}{tag}" for tag in tags],
            resolve_entities=False,
            no_network=True,
            load_dtd=False,
            huge_tree=False,
        ):
            yield element
            element.clear(keep_tail=False)
            before = element.getprevious()
            while before is not None and (parent := element.getparent()) is not None:
                parent.remove(before)
                before = element.getprevious()
    except etree.XMLSyntaxError as error:
        cure = "Save it again from a spreadsheet program."
        raise BadInput(_fault(name, "XML that is whole", str(error)[:200], cure)) from error


def _look_at_sheet(file: str, title: str, data: bytes) -> Failed:
    """Failed cells by row; BadInput where the corner of the sheet is out of reach."""
    errors: Failed = {}
    row = column = wide = deep = 0
    for element in _elements(file, data, "c", "row"):  # a row ends after its cells
        if element.tag.endswith("}row"):
            said = element.get("r", "")
            row = int(said) if said.isdecimal() and len(said) < 8 else row + 1
            column = 0
            continue
        found = _REFERENCE.fullmatch(element.get("r", "").strip())
        at_row = int(found[2]) if found else _row_of(element, row + 1)
        column = _letters(found[1]) if found else column + 1
        deep, wide = max(deep, at_row), max(wide, column)
        if wide * deep > MAX_CELLS:
            raise _endless(file, title, wide, deep)
        why = _why_no_value(element)
        if why and len(errors) < MAX_ERRORS:
            errors[at_row, column - 1] = f"{element.get('r', f'column {column}')}: {why}"
    return errors


def _row_of(cell: etree._Element, otherwise: int) -> int:
    """The row of a cell that does not say it."""
    parent = cell.getparent()
    said = "" if parent is None else parent.get("r", "")
    return int(said) if said.isdecimal() and len(said) < 8 else otherwise


def _why_no_value(cell: etree._Element) -> str | None:
    """What a cell holds instead of a value."""
    value = formula = None
    for part in cell:
        tag = part.tag.rpartition("}")[2] if isinstance(part.tag, str) else ""
        value = part.text if tag == "v" else value
        formula = part if tag == "f" else formula
    if cell.get("t") == "e":
        return value or "an error"
    if formula is not None and not value:
        return "a formula that was never worked out"
    return None


def _look_at_tables(file: str, data: bytes) -> dict[str, Failed]:
    """The same of an ODS: rows and cells may say how often they are repeated."""
    errors: dict[str, Failed] = {}
    found: Failed = {}
    in_row: dict[int, str] = {}
    filled = width = wide = deep = empty = 0
    for element in _elements(file, data, "table-cell", "covered-table-cell", "table-row", "table"):
        tag = element.tag.rpartition("}")[2]
        if tag == "table":
            errors[_named(element, "name") or ""] = found
            found, wide, deep, empty = {}, 0, 0, 0
        elif tag == "table-row":
            times = _times(element, "rows")
            if filled:
                deep, wide = deep + empty + times, max(wide, filled)
                found |= {(deep, at): why for at, why in in_row.items()}
            empty = 0 if filled else empty + times  # counts only where something follows
            if wide * deep > MAX_CELLS:
                raise _endless(file, "of a table", wide, deep)
            in_row, filled, width = {}, 0, 0
        else:
            width += _times(element, "columns")
            filled = width if len(element) or _named(element, "value-type") else filled
            text = "".join(str(part) for part in element.itertext())
            if text.startswith(("#", "Err:")) and _named(element, "value-type") in _ODS_FAILED:
                in_row[width - 1] = f"column {width}: {text[:20]}"
    return errors


def _named(element: etree._Element, name: str) -> str | None:
    """An attribute whatever its namespace; the last one, which is the more exact."""
    found = [str(value) for key, value in element.attrib.items() if str(key).endswith(f"}}{name}")]
    return found[-1] if found else None


def _times(element: etree._Element, what: str) -> int:
    text = _named(element, f"number-{what}-repeated") or "1"
    return int(text) if text.isdecimal() and len(text) < 10 else MAX_CELLS + 1


def _letters(word: str) -> int:
    number = 0
    for sign in word.upper():
        number = 26 * number + ord(sign) - 64
    return number


def _endless(file: str, title: str, wide: int, deep: int) -> BadInput:
    return BadInput(
        _fault(
            f"{file}, sheet {title}",
            f"a sheet of at most {MAX_CELLS:,} cells",
            f"{wide:,} columns by {deep:,} rows",
            "Delete what stands far out in the sheet, or save the table as CSV.",
        )
    )


def _fault(place: str, need: str, given: str, cure: str) -> Fault:
    return Fault(place, need, given, cure)
