"""A kept sheet taken along: every form, in the reader's language, and what is wrong beside it."""

from __future__ import annotations

import io
import json
import zipfile
from typing import TYPE_CHECKING

import pytest
from tests.desk.test_sheet import fields

from balewright.readers.task_data import open_task_data

if TYPE_CHECKING:
    from pathlib import Path

    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

KINDS = {
    "a5.pdf": ("application/pdf", b"%PDF-", "inline"),
    "a4.pdf": ("application/pdf", b"%PDF-", "inline"),
    "sheet.html": ("text/html", b"<!doctype html>", "attachment"),
    "message.txt": ("text/plain; charset=utf-8", b"", "attachment"),
    "sheet.json": ("application/json", b"{", "attachment"),
}


@pytest.fixture
def kept(desk: Desk) -> str:
    """The address of a kept sheet."""
    return str(desk.post(desk.technician, "/sheet/keep", **fields()).headers["Location"])


@pytest.mark.parametrize("name", KINDS)
def test_every_form_is_sent_with_its_id_and_last_day(desk: Desk, kept: str, name: str) -> None:
    """A reader may take any of them; texts say which sheet it is and until when it holds."""
    answer = desk.reader.get(f"{kept}/files/{name}")
    kind, start, how = KINDS[name]
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == kind
    assert answer.content.startswith(start)
    sheet_id = kept.rpartition("/")[2]
    assert answer.headers["Content-Disposition"] == f'{how}; filename="{sheet_id}-{name}"'
    if name in ("sheet.html", "message.txt"):
        assert f"sheet {sheet_id}" in answer.content.decode()
        assert "valid until " in answer.content.decode()
    if name == "sheet.json":
        assert "sheet_version" in json.loads(answer.content)


def test_a_copy_is_made_for_its_reader(desk: Desk, kept: str) -> None:
    """The page in German for a driver who reads it; a language there is none of is refused."""
    page = desk.reader.get(f"{kept}/files/sheet.html?language=de&units=metric").content.decode()
    assert '<html lang="de">' in page
    answer = desk.reader.get(f"{kept}/files/a5.pdf?language=xx")
    assert answer.status_code == 422
    assert "Take it along" in answer.content.decode()


def test_task_data_names_whom_the_form_names(desk: Desk, kept: str, tmp_path: Path) -> None:
    """A zip that our reader opens, with customer, field and area."""
    asked = {"customer": "Tinhen", "field": "Long Acre", "field_ha": "2.5", "pressure": "on"}
    answer = desk.technician.get(f"{kept}/files/task.zip", asked)
    assert answer.headers["Content-Type"] == "application/zip"
    assert zipfile.is_zipfile(io.BytesIO(answer.content))
    file = tmp_path / "task.zip"
    file.write_bytes(answer.content)
    data = open_task_data(file)
    assert [party.name for party in data.customers] == ["Tinhen"]
    assert (data.fields[0].name, data.fields[0].area_m2) == ("Long Acre", 25_000)
    assert 475 in {value.number for value in data.tasks[0].task.planned}


@pytest.mark.parametrize(
    "asked",
    [{"customer": "x" * 33}, {"farm": "bell\x07"}, {"field_ha": "nan"}, {"field_ha": "-1"}],
)
def test_what_cannot_be_written_is_said_beside_the_form(
    desk: Desk, kept: str, asked: dict[str, str]
) -> None:
    """The page again, with the fault, and no file."""
    answer = desk.technician.get(f"{kept}/files/task.zip", asked)
    assert answer.status_code == 422
    assert answer.headers["Content-Type"].startswith("text/html")
    assert 'aria-invalid="true"' in answer.content.decode()


def test_the_page_leads_to_every_file(desk: Desk, kept: str) -> None:
    """From the kept sheet to the page, and from it to each form."""
    assert f'href="{kept}/files"' in desk.reader.get(kept).content.decode()
    page = desk.reader.get(f"{kept}/files").content.decode()
    for name in (*KINDS, "task.zip"):
        assert f'action="{kept}/files/{name}"' in page
    assert page.count("<h1") == 1


def test_an_unknown_sheet_or_form_is_not_there(desk: Desk, kept: str) -> None:
    """404, and nobody without a sign-in gets a file."""
    for path in ("/sheet/S-none/files", "/sheet/S-none/files/a5.pdf", f"{kept}/files/a3.pdf"):
        assert desk.reader.get(path).status_code == 404
    assert desk.nobody.get(f"{kept}/files/a5.pdf").status_code == 302
