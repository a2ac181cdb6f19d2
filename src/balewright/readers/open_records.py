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
from balewright.readers.csv_form import BALE_FORM, read_layout
from balewright.readers.event_csv import read_laid_out_events
from balewright.readers.lines import read_head, require_file
from balewright.readers.reading import Reading
from balewright.records.intake import Batch, JobSeen
from balewright.records.outlines import Outline

BALE_CSV: Final = "bale csv"
EVENT_CSV: Final = "event csv"
TASK_DATA: Final = "task data"

_ZIP_MAGIC: Final = b"PK\x03\x04"
_EMPTY_ZIP_MAGIC: Final = b"PK\x05\x06"
_XML_BEGINNINGS: Final = (b"<?xml", b"<iso11783_taskdata", b"<!doctype")


@dataclass(frozen=True)
class Records:
    """What was found: form is BALE_CSV, EVENT_CSV or TASK_DATA; batches stream what it holds.

    jobs: the orders the file names, with what it says of them; outlines: of the fields it draws
    (task data only).
    """

    form: str
    batches: Iterator[Batch]
    jobs: tuple[JobSeen, ...] = ()
    outlines: tuple[Outline, ...] = ()


def open_records(path: Path, reading: Reading | None = None) -> Records:
    """Open bale records of any known form.

    path: a CSV file of the bale table or of events (plain or gzip), or task data as a folder, a
    zip or its TASKDATA.XML; reading: what is known besides the bytes, None for nothing. Raises
    BadInput where it is none of these, saying what was seen; the batches may raise BadInput too:
    keep nothing before they have ended.
    """
    reading = reading or Reading()
    if os.path.isdir(path):  # says no where `Path.is_dir` raises
        _refuse_folder_of_tables(path)
        return _open_task_data(path, reading)
    require_file(path)
    head = read_head(path)
    if head.startswith((_ZIP_MAGIC, _EMPTY_ZIP_MAGIC)) or _looks_like_xml(head):
        return _open_task_data(path, reading)
    if looks_like_bale_lines(head):
        return Records(BALE_LINES, read_bale_lines(path, reading))
    layout = read_layout(path)
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
