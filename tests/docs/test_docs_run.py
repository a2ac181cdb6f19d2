"""What the documentation shows is run: commands with their output, and Python examples.

In a `console` block a line `$ balewright ...` is run in a shell in a scratch folder; the lines
under it must be its output, where `...` alone on a line stands for any lines, and within a line
for any text. A `python` block is
executed; the blocks of one page share their names.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def blocks(page: Path, language: str) -> list[str]:
    """The fenced blocks of one language, in order."""
    return [text for found, text in BLOCK.findall(page.read_text()) if found == language]


def runs(block: str) -> list[tuple[str, str]]:
    """(command, expected output) pairs of a console block."""
    parts = re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]
    return [(part.split("\n", 1)[0], part.split("\n", 1)[1].strip("\n")) for part in parts]


def matches(expected: str, given: str) -> bool:
    """Whether the output is as shown, `...` standing for any lines and a space for a hard one."""
    expected, given = expected.replace("\xa0", " "), given.replace("\xa0", " ")
    lines = given.strip("\n").split("\n")
    pieces = [piece.strip("\n") for piece in re.split(r"^\.\.\.$", expected, flags=re.MULTILINE)]
    shown = [piece.split("\n") if piece else [] for piece in pieces]
    at = 0
    for place, piece in enumerate(shown):
        last = place == len(shown) - 1
        starts = range(at, len(lines) - len(piece) + 1)
        if last and piece:
            starts = starts[-1:]  # the end of the output
        if place == 0:
            starts = range(1) if 0 in starts else range(0)  # its beginning
        found = next((one for one in starts if _fits(piece, lines[one : one + len(piece)])), None)
        if found is None:
            return False
        at = found + len(piece)
    return at == len(lines) or not shown[-1]


def _fits(piece: list[str], lines: list[str]) -> bool:
    """Whether each line is as shown, `...` standing for any text in it."""
    shown = [".*".join(re.escape(part) for part in line.split("...")) for line in piece]
    return all(re.fullmatch(one, line) for one, line in zip(shown, lines, strict=True))


@pytest.mark.own
@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_commands_on_the_page_answer_as_shown(page: Path, tmp_path: Path) -> None:
    """A reader who types what the page shows sees what the page shows."""
    env = dict(os.environ, BALEWRIGHT_HOME=str(tmp_path / "home"))
    env["PATH"] = str(Path(sys.executable).parent) + os.pathsep + env["PATH"]
    for block in blocks(page, "console"):
        for command, expected in runs(block):
            if not command.startswith("balewright "):
                continue
            answer = subprocess.run(
                command,
                check=False,
                shell=True,
                cwd=tmp_path,
                env=env,
                capture_output=True,
                text=True,
            )
            given = answer.stdout + answer.stderr
            assert matches(expected, given), f"$ {command}\n{given}\n--- expected\n{expected}"


@pytest.mark.own
@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_python_on_the_page_runs(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every Python example of a page runs as it stands."""
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    for block in blocks(page, "python"):
        exec(compile(block, str(page), "exec"), names)
