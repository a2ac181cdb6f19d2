"""The files `balewright sheet` writes: card, long sheet, page and task data; and the message."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.cli.reader_options import reader_tag
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import M2_PER_HA

if TYPE_CHECKING:
    from balewright.cards.issue import Issue

FILES: Final = ("pdf", "a4", "html", "task_data")
_NAMES: Final = ("customer", "farm", "field", "worker", "task")


def add_files(out: argparse._ArgumentGroup, parser: argparse.ArgumentParser) -> None:
    """What to write beside the answer, and what is written on it."""
    out.add_argument("--pdf", type=Path, metavar="FILE", help="write the A5 card")
    out.add_argument("--a4", type=Path, metavar="FILE", help="write the long sheet with reasons")
    out.add_argument("--html", type=Path, metavar="FILE", help="write a page that needs no signal")
    out.add_argument("--message", action="store_true", help="print it as a phone's text message")
    out.add_argument("--link", metavar="URL", help="where the sheet opens: as a code and in words")
    out.add_argument("--valid-until", metavar="DATE", help="last day, as 2031-06-30 (a week)")
    task = parser.add_argument_group("task data for a terminal (ISO 11783-10)")
    task.add_argument("--task-data", type=Path, metavar="FILE.zip", help="write it")
    for name in _NAMES:
        task.add_argument(f"--{name}", metavar="NAME", help=f"name of the {name}")
    task.add_argument("--field-ha", type=float, metavar="HA", help="area of the field")
    task.add_argument(
        "--task-pressure",
        action="store_true",
        help="send the density pressure too: where the machine is known to take it",
    )


def issue_from(options: argparse.Namespace, sheet: Sheet) -> Issue:
    """The copy's id, last day and link; BadInput for a date or link that cannot be used."""
    from balewright.cards.issue import Issue, issue_of, sheet_id

    until = _date(options.valid_until)
    if until is not None:
        return Issue(sheet_id(sheet), until, options.link)
    return issue_of(sheet, datetime.now(UTC).date(), options.link)


def write_files(options: argparse.Namespace, sheet: Sheet) -> dict[str, str | None]:
    """Write what was asked for; file by option, None where it was not."""
    made: dict[str, Callable[[argparse.Namespace, Sheet], bytes]] = {
        "pdf": _card,
        "a4": _long_sheet,
        "html": _page,
        "task_data": _task_data,
    }
    written: dict[str, str | None] = {}
    for name in FILES:
        file: Path | None = getattr(options, name)
        written[name] = None if file is None else str(file)
        if file is not None:
            _write(name, file, made[name](options, sheet))
    return written


def _card(options: argparse.Namespace, sheet: Sheet) -> bytes:
    from balewright.cards.sheet_pdf import sheet_pdf

    return sheet_pdf(sheet, reader_tag(options), issue_from(options, sheet))


def _long_sheet(options: argparse.Namespace, sheet: Sheet) -> bytes:
    from balewright.cards.sheet_pdf import Paper, sheet_pdf

    return sheet_pdf(sheet, reader_tag(options), issue_from(options, sheet), Paper.A4)


def _page(options: argparse.Namespace, sheet: Sheet) -> bytes:
    from balewright.cards.sheet_page import sheet_page

    return sheet_page(sheet, reader_tag(options), issue_from(options, sheet)).encode("utf-8")


def _task_data(options: argparse.Namespace, sheet: Sheet) -> bytes:
    from balewright.cards.task_data import TaskNames, task_data_zip

    named = {name: getattr(options, name) for name in _NAMES}
    area = 0.0 if options.field_ha is None else options.field_ha * M2_PER_HA
    job = TaskNames(**named, field_m2=area)
    return task_data_zip(sheet, job, reader_tag(options), with_pressure=options.task_pressure)


def _write(name: str, file: Path, content: bytes) -> None:
    try:
        file.write_bytes(content)
    except OSError as error:
        given = f"{file} ({error.strerror})"
        cure = "Give a folder that exists and can be written."
        option = "--" + name.replace("_", "-")
        raise BadInput(Fault(option, "a file that can be written", given, cure)) from None


def _date(given: str | None) -> date | None:
    if given is None:
        return None
    try:
        return date.fromisoformat(given)
    except ValueError:
        fault = Fault("--valid-until", "a day", repr(given), "Write 2031-06-30.")
        raise BadInput(fault) from None
