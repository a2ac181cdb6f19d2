"""What `balewright sheet` writes and sends: long sheet, page, message, task data."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run
from balewright.readers.task_data import open_task_data

JOB = (
    *("sheet", "--profile", "thistlewick-t1", "--crop", "grass-silage", "--moisture", "55%"),
    *("--windrow-kg-m", "4", "--net-roll-m", "3000", "--valid-until", "2031-06-30"),
)
LINK = "https://desk.example/s/abc"

pytestmark = pytest.mark.own


def test_every_file_is_written_and_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Card, long sheet, page and task data, each where it was asked for; the answer says so."""
    files = {name: tmp_path / name for name in ("pdf", "a4", "html", "task-data")}
    asked = [part for name, file in files.items() for part in (f"--{name}", str(file))]
    assert run([*JOB, *asked, "--link", LINK, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    for name, file in files.items():
        assert answer[name.replace("-", "_")] == str(file)
    assert files["pdf"].read_bytes().startswith(b"%PDF-")
    assert files["a4"].read_bytes().startswith(b"%PDF-")
    page = files["html"].read_text("utf-8")
    assert "valid until 2031-06-30" in page
    assert f'href="{LINK}"' in page
    assert files["task-data"].read_bytes().startswith(b"PK")


def test_task_data_names_whom_it_was_given(tmp_path: Path) -> None:
    """Names and area go into the file; the pressure only where it is wanted."""
    file = tmp_path / "task.zip"
    names = (
        "--customer",
        "Tinhen",
        "--field",
        "Long Acre",
        "--field-ha",
        "3.14",
        "--task",
        "First",
    )
    assert run([*JOB, "--task-data", str(file), *names]) == 0
    data = open_task_data(file)
    assert [party.name for party in data.customers] == ["Tinhen"]
    assert (data.fields[0].name, data.fields[0].area_m2) == ("Long Acre", 31_400)
    assert [value.number for value in data.tasks[0].task.planned] == [111, 396]
    assert run([*JOB, "--task-data", str(file), "--task-pressure"]) == 0
    planned = open_task_data(file).tasks[0].task.planned
    assert [value.number for value in planned] == [111, 396, 475]


def test_the_message_stands_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """--message prints the text for a phone and nothing of the long sheet."""
    assert run([*JOB, "--message", "--link", LINK]) == 0
    said = capsys.readouterr().out
    assert said.endswith(f"All cautions and reasons: {LINK}\n")
    assert "NOT KNOWN" not in said


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--message", "--valid-until", "soon"), "--valid-until: needs a day, was given 'soon'"),
        (
            ("--html", "no/such/file", "--link", "ftp://desk"),
            "link: needs an http or https",
        ),
        (
            ("--html", "no/such/file", "--link", "https://a b"),
            "link: needs an http or https",
        ),
        (("--html", "no/such/file"), "--html: needs a file that can be written"),
        (("--task-data", "no/such/file"), "--task-data: needs a file that can be written"),
        (("--task-data", "x.zip", "--customer", "x" * 33), "customer: needs 1 to 32 printable"),
        (("--task-data", "x.zip", "--field-ha", "nan"), "field_m2: needs a number"),
        (("--message", "--link", "https://a/" + "b" * 300), "link: needs at most 300 characters"),
    ],
)
def test_what_cannot_be_used_is_refused(
    options: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2 with the place, the need and the cure; nothing is written."""
    assert run([*JOB, *options]) == 2
    assert said in capsys.readouterr().err
    assert not Path("x.zip").exists()
