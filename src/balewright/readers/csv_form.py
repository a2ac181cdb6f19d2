"""The head of a CSV file: encoding, version line, separator, column names. All faults at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from types import MappingProxyType
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.lines import MAX_LINE_BYTES, read_head
from balewright.records.columns import COLUMNS, SCHEMA_VERSION, Column
from balewright.records.events import EVENT_COLUMNS, EVENT_SCHEMA_VERSION

UTF8_BOM: Final = b"\xef\xbb\xbf"
_SAVE_AS_UTF8: Final = "Save it as CSV in UTF-8."
_FIRST_BYTES: Final = (
    (b"\xff\xfe\x00\x00", "UTF-32 text", _SAVE_AS_UTF8),
    (b"\x00\x00\xfe\xff", "UTF-32 text", _SAVE_AS_UTF8),
    (b"\xff\xfe", "UTF-16 text", _SAVE_AS_UTF8),
    (b"\xfe\xff", "UTF-16 text", _SAVE_AS_UTF8),
    (b"PK\x03\x04", "a zip archive or spreadsheet", "Save the sheet itself as CSV in UTF-8."),
    (b"%PDF", "a PDF", "Export the table as CSV in UTF-8."),
)
_VERSION_LINE: Final = re.compile(r"# balewright ([a-z ]+?) (\d{1,9})", re.ASCII)


@dataclass(frozen=True)
class CsvForm:
    """One of our CSV forms: its name as the version line says it, version, columns, must-haves."""

    name: str
    version: int
    columns: tuple[Column, ...]
    required: tuple[str, ...] = ()

    @property
    def version_line(self) -> str:
        """The first line of every file that is written."""
        return f"# balewright {self.name} {self.version}"

    @property
    def by_name(self) -> Mapping[str, Column]:
        """The columns under their names."""
        return MappingProxyType({column.name: column for column in self.columns})


BALE_FORM: Final = CsvForm("bale table", SCHEMA_VERSION, COLUMNS)
EVENT_FORM: Final = CsvForm("events", EVENT_SCHEMA_VERSION, EVENT_COLUMNS, ("machine", "kind"))
FORMS: Final = (BALE_FORM, EVENT_FORM)


@dataclass(frozen=True)
class Layout:
    """How one file is laid out: its columns in file order, separator, the lines of its head."""

    form: CsvForm
    columns: tuple[Column, ...]
    separator: str
    head_lines: int


def read_layout(path: Path, form: CsvForm | None = None) -> Layout:
    """The layout of a CSV file; of any of our forms when `form` is None.

    Raises BadInput with every fault of the head.
    """
    head = read_head(path)
    if not head.strip(b"\r\n \xef\xbb\xbf"):
        what = "an empty file" if not head else "nothing but blanks"
        raise BadInput(_head_fault(path.name, form, what, "Write the table again."))
    for first_bytes, what, cure in _FIRST_BYTES:
        if head.startswith(first_bytes):
            raise BadInput(_head_fault(path.name, form, what, cure))
    lines = _head_texts(path.name, head.removeprefix(UTF8_BOM), form)
    said, names_line = _read_version(path.name, lines, form)
    return _read_names(path.name, lines, names_line, form or said)


def split_line(line: str, separator: str) -> list[str] | None:
    """The cells of one line by RFC 4180, None where its quotes are wrong.

    A quote may stand only round a whole cell, doubled inside it, and must close on its line.
    """
    if '"' not in line:
        return line.split(separator)
    cells = []
    start = 0
    while True:
        if line.startswith('"', start):
            found = _QUOTED.match(line, start)
            if found is None:
                return None
            cells.append(found[1].replace('""', '"'))
            end = found.end()
        else:
            end = line.find(separator, start)
            end = len(line) if end < 0 else end
            if '"' in line[start:end]:
                return None
            cells.append(line[start:end])
        if end == len(line):
            return cells
        if line[end] != separator:
            return None
        start = end + 1


_QUOTED: Final = re.compile(r'"((?:[^"]|"")*)"')


def _head_texts(name: str, head: bytes, form: CsvForm | None) -> list[str]:
    """The first two lines as text."""
    raw = [line.removesuffix(b"\r") for line in head.split(b"\n")[:2]]
    texts = []
    for number, line in enumerate(raw[: 2 if raw[0].startswith(b"#") else 1], 1):
        place = f"{name}, line {number}"
        if b"\x00" in line:
            utf16 = (line[1::2].count(0) > len(line) // 3) != (line[::2].count(0) > len(line) // 3)
            what = "UTF-16 text" if utf16 else "binary data"
            cure = _SAVE_AS_UTF8 if utf16 else "Give a text file."
            raise BadInput(_head_fault(place, form, what, cure))
        if len(line) > MAX_LINE_BYTES:
            what = f"a line of more than {MAX_LINE_BYTES} bytes"
            raise BadInput(_head_fault(place, form, what, "End every line with a line feed."))
        if b"\r" in line:
            what = "lines that end in a lone carriage return"
            raise BadInput(_head_fault(place, form, what, "End every line with a line feed."))
        try:
            texts.append(line.decode())
        except UnicodeDecodeError as error:
            byte = line[error.start]
            what = f"byte 0x{byte:02X} at byte {error.start + 1} of the line, which is not UTF-8"
            raise BadInput(_head_fault(place, form, what, _SAVE_AS_UTF8)) from error
    return texts


def _read_version(name: str, lines: list[str], form: CsvForm | None) -> tuple[CsvForm | None, int]:
    """What the version line says, and which line has the names (0 or 1)."""
    if not lines[0].startswith("#"):
        return None, 0
    # A spreadsheet pads the line with separators when it saves the file again.
    found = _VERSION_LINE.fullmatch(lines[0].rstrip(",; "))
    said = next((known for known in FORMS if found and known.name == found[1]), None)
    if found is None or said is None or (form is not None and said != form):
        needed = " or ".join(f"`{one.version_line}`" for one in ([form] if form else FORMS))
        cure = "Write that line, or leave it out."
        raise BadInput(Fault(f"{name}, line 1", needed, _short(lines[0]), cure))
    if not 1 <= int(found[2]) <= said.version:
        raise BadInput(
            Fault(
                f"{name}, line 1",
                f"version 1 to {said.version} of the form",
                f"version {found[2]}",
                "Read it with a newer release of balewright, or write the file in version "
                f"{said.version}.",
            )
        )
    if len(lines) < 2 or not lines[1]:
        what = "a version line alone"
        raise BadInput(_head_fault(f"{name}, line 2", said, what, "Add the line of names."))
    return said, 1


def _read_names(name: str, lines: list[str], names_line: int, form: CsvForm | None) -> Layout:
    place = f"{name}, line {names_line + 1}"
    line = lines[names_line]
    separator = ";" if line.count(";") > line.count(",") else ","
    names = split_line(line, separator)
    if names is None:
        what = f"a quote that does not fit in {_short(line)}"
        raise BadInput(_head_fault(place, form, what, "Write the names without quotes."))
    asked = form
    form = form or (EVENT_FORM if {"kind", "at"} & set(names) else BALE_FORM)
    known = form.by_name
    if not set(names) & set(known):
        tabs = " The columns are split by tabs: use commas." if "\t" in line else ""
        cure = f"Put the names in the first line.{tabs}"
        raise BadInput(_head_fault(place, asked, _short(line), cure))
    faults = [
        _name_fault(place, column, given, form)
        for column, given in enumerate(names, 1)
        if given not in known
    ]
    faults += [
        Fault(
            f"{place}, column {column}",
            "each name once",
            f"`{given}` for the second time",
            "Remove one of the two columns.",
        )
        for column, given in enumerate(names, 1)
        if given in known and given in names[: column - 1]
    ]
    faults += [
        Fault(place, f"the column `{needed}`", "none", "Add it: no row can do without.")
        for needed in form.required
        if needed not in names
    ]
    if faults:
        raise BadInput(*faults)
    return Layout(form, tuple(known[given] for given in names), separator, names_line + 1)


def _name_fault(place: str, column: int, given: str, form: CsvForm) -> Fault:
    asked = given.strip().lower()
    begun = [name for name in form.by_name if asked and name.startswith(f"{asked}_")]
    near = begun or get_close_matches(asked, form.by_name, 1)
    hint = f"Did you mean `{near[0]}`? " if near else ""
    return Fault(
        f"{place}, column {column}",
        f"a column of the {form.name}",
        f"`{_short(given)}`" if given else "an empty name",
        hint + "Rename the column or remove it.",
    )


def _head_fault(place: str, form: CsvForm | None, given: str, cure: str) -> Fault:
    names = "bale table or events" if form is None else form.name
    need = f"a line of column names of the {names}"
    return Fault(place, need, given, cure)


def _short(text: str) -> str:
    return show_text(text, 60)


def show_text(text: str, longest: int = 80) -> str:
    """A text as it can be printed on one line, shortened."""
    if len(text) <= longest and text.isprintable():
        return text
    shown = "".join(sign if sign.isprintable() else repr(sign)[1:-1] for sign in text[:longest])
    return shown[:longest] + ("…" if len(text) > longest or len(shown) > longest else "")
