"""Which reader a file or folder needs, told by what is in it and never by its name alone."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.bale_csv import read_laid_out_bales
from balewright.readers.bale_lines import BALE_LINES, looks_like_bale_lines, read_bale_lines
from balewright.readers.can.forms import tell_form
from balewright.readers.csv_form import BALE_FORM, read_layout
from balewright.readers.event_csv import read_laid_out_events
from balewright.readers.lines import read_head, require_file
from balewright.readers.no_records import require_text
from balewright.readers.reading import Reading
from balewright.records.intake import Batch, JobSeen
from balewright.records.outlines import Outline

BALE_CSV: Final = "bale csv"
EVENT_CSV: Final = "event csv"
TASK_DATA: Final = "task data"
TRACE: Final = "can trace"
MAPPED_TABLE: Final = "table by a map"

_ZIP_MAGIC: Final = b"PK\x03\x04"
_EMPTY_ZIP_MAGIC: Final = b"PK\x05\x06"
_OLD_WORKBOOK: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_XML_BEGINNINGS: Final = (b"<?xml", b"<iso11783_taskdata", b"<!doctype")


@dataclass(frozen=True)
class Records:
    """What was found: form is one of the words above; batches stream what it holds.

    jobs: the orders the file names, with what it says of them; outlines: of the fields it draws
    (task data only).
    """

    form: str
    batches: Iterator[Batch]
    jobs: tuple[JobSeen, ...] = ()
    outlines: tuple[Outline, ...] = ()


def open_records(path: Path, reading: Reading | None = None) -> Records:
    """Open bale records of any known form.

    path: a CSV file of the bale table or of events (plain or gzip), task data as a folder, a zip
    or its TASKDATA.XML, a trace of a CAN bus, or another program's table or spreadsheet that a
    saved map reads; reading: what is known besides the bytes, None for nothing. Raises BadInput
    where it is none of these, saying what was seen; the
    batches may raise BadInput too: keep nothing before they have ended.
    """
    reading = reading or Reading()
    if os.path.isdir(path):  # says no where `Path.is_dir` raises
        _refuse_folder_of_tables(path)
        return _open_task_data(path, reading)
    require_file(path)
    head = read_head(path)
    if reading.map_key is not None or _is_workbook(path, head):
        return _open_mapped(path, reading)
    if head.startswith((_ZIP_MAGIC, _EMPTY_ZIP_MAGIC)) or _looks_like_xml(head):
        return _open_task_data(path, reading)
    if tell_form(head) is not None:
        return _open_trace(path, reading)
    if looks_like_bale_lines(head):
        return Records(BALE_LINES, read_bale_lines(path, reading))
    require_text(path, head)
    return _open_table(path, reading)


def _open_table(path: Path, reading: Reading) -> Records:
    try:
        layout = read_layout(path)
    except BadInput as error:
        return _open_mapped(path, reading, error)
    if layout.form == BALE_FORM:
        return Records(BALE_CSV, read_laid_out_bales(path, layout, reading))
    return Records(EVENT_CSV, read_laid_out_events(path, layout, reading.tell))


def _open_task_data(path: Path, reading: Reading) -> Records:
    # Loaded only where needed: the CSV forms do without an XML parser.
    from balewright.readers.task_data import job_words, open_task_data, task_bales  # noqa: PLC0415
    from balewright.readers.task_data.field_outlines import outlines_of  # noqa: PLC0415

    data = open_task_data(path, tell=reading.tell)
    words = zip(job_words(data.tasks), data.tasks, strict=True)
    jobs = tuple(JobSeen(word, each.customer, each.farm, each.field) for word, each in words)
    return Records(TASK_DATA, task_bales(data), jobs, outlines_of(data))


def _open_trace(path: Path, reading: Reading) -> Records:
    # Loaded only where needed: the libraries of the bus take their time.
    from balewright.readers.can.trace_bales import trace_batches  # noqa: PLC0415

    return Records(TRACE, trace_batches(path, reading))


def _is_workbook(path: Path, head: bytes) -> bool:
    if not head.startswith((_ZIP_MAGIC, _OLD_WORKBOOK)):
        return False
    from balewright.readers.mapped.workbook_guard import workbook_kind  # noqa: PLC0415

    return workbook_kind(path, head) is not None


def _open_mapped(path: Path, reading: Reading, why_not: BadInput | None = None) -> Records:
    # Loaded only where needed: our own forms do without spreadsheets and zones.
    from balewright.readers.mapped.opening import open_mapped  # noqa: PLC0415

    return Records(MAPPED_TABLE, open_mapped(path, reading, why_not))


def _looks_like_xml(head: bytes) -> bool:
    start = head[:200].replace(b"\x00", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n").lower()
    return start.startswith(_XML_BEGINNINGS)


def _refuse_folder_of_tables(folder: Path) -> None:
    """A folder of CSV files is not task data: each is read by itself."""
    try:
        names = sorted(one.name for one in folder.iterdir())
        nested = any(one.is_dir() for one in folder.iterdir())
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        fault = Fault(folder.name, "a folder that can be read", said, "Check who may read it.")
        raise BadInput(fault) from error
    tables = [name for name in names if name.lower().endswith((".csv", ".csv.gz"))]
    if tables and not nested and not any(name.lower().endswith(".xml") for name in names):
        raise BadInput(
            Fault(
                folder.name or str(folder),
                "one file, or a folder of task data",
                f"a folder with {tables[0]}{' and more' if len(names) > 1 else ''}",
                "Give the path of one CSV file.",
            )
        )
