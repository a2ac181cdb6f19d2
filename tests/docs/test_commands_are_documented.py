"""Every command, option and JSON field that is promised stands on the page of the commands."""

from __future__ import annotations

import json
import re
from dataclasses import fields
from pathlib import Path

import pytest

from balewright.cli.entry import COMMANDS, run
from balewright.flows.read_file import ReadFile
from balewright.flows.task_data_seen import ReadTask

pytestmark = pytest.mark.law

PAGE = (Path(__file__).parents[2] / "docs" / "commands.md").read_text()


def section(command: str) -> str:
    """What the page says under the command's own heading."""
    return PAGE.split(f"\n## {command}\n", 1)[1].split("\n## ", 1)[0]


def test_the_page_has_the_commands_in_their_order() -> None:
    """Headings and commands are the same."""
    assert re.findall(r"^## (\S+)$", PAGE, re.MULTILINE) == list(COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_option_is_named(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What `--help` lists stands in the command's section."""
    assert run([command, "--help"]) == 0
    options = set(re.findall(r"--[a-z][a-z0-9-]*", capsys.readouterr().out)) - {"--help"}
    assert {option for option in options if f"`{option}`" not in section(command)} == set()


def test_json_fields_of_layers_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    """Every field of the answer, with and without a lost roll."""
    line = ["layers", "--diameter-m", "1.25", "--length-m", "1.23", "--strip-m", "0.60"]
    line += ["--bale-turn", "0.125", "--turns", "12", "--json"]
    for more in ([], ["--lost-at", "6"]):
        assert run([*line, *more]) == 0
        answer = json.loads(capsys.readouterr().out)
        assert {name for name in answer if f"`{name}`" not in PAGE} == set()


def test_json_fields_of_read_are_named() -> None:
    """Every field of a file and of a task."""
    names = [field.name for form in (ReadFile, ReadTask) for field in fields(form)]
    assert {name for name in names if f"`{name}`" not in section("read")} == set()
