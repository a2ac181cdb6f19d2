"""The page on the rehearsal says what the code has, and its example runs."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from balewright.rehearsal import sizes
from balewright.rehearsal.book import FAULT_BOOK
from balewright.rehearsal.habit import USUAL_HABIT, USUAL_SIZE

PAGE = Path(__file__).parents[2] / "docs" / "rehearsal.md"


def fault_rows() -> list[str]:
    """The table of faults as the book has it."""
    rows = []
    for kind, note in FAULT_BOOK.items():
        ways = " or ".join(" with ".join(f"`{column}`" for column in way) for way in note.ways)
        size = "its spread" if note.usual is None else ", ".join(f"{one:g}" for one in note.usual)
        sign = "+" if note.sign > 0 else "-"
        rows.append(
            f"| {kind.value} | {note.system.value} | {note.meaning} | {sign} {note.quantity},"
            f" {note.unit} | {note.family.value}, {note.grows.value} | {size}"
            f" | {ways or 'events'} |"
        )
    return rows


def confuser_rows() -> list[str]:
    """The table of confusers as their habits and sizes are."""
    rows = []
    for kind, (low, high, both) in USUAL_SIZE.items():
        often = USUAL_HABIT.chance_job.get(kind)
        share = "only where asked" if often is None else f"{100 * often:g} in 100 jobs"
        sign = "either way" if both else "upward"
        rows.append(f"| {kind.value} | {low:g} to {high:g}, {sign} | {share} |")
    return rows


def size_rows() -> list[str]:
    """Every size that is assumed, with its value."""
    rows = []
    for name, value in vars(sizes).items():
        parts = value if isinstance(value, dict) else {"": value}
        for part, size in parts.items() if name.isupper() else ():
            shown = ", ".join(f"{x}" for x in size) if isinstance(size, tuple) else f"{size}"
            rows.append(f"| `{name}{part and f' {part}'}` | {shown} |")
    return rows


@pytest.mark.law
@pytest.mark.parametrize("rows", [fault_rows, confuser_rows, size_rows])
def test_the_page_has_every_row_as_the_code_has_it(rows: object) -> None:
    """Each row stands on the page word for word, and no table has a row more."""
    assert callable(rows)
    text, wanted = PAGE.read_text(encoding="utf-8"), rows()
    lines = text.splitlines()
    places = [lines.index(row) for row in wanted]
    assert places == list(range(places[0], places[0] + len(wanted)))
    assert not lines[places[-1] + 1 : places[-1] + 2] or not lines[places[-1] + 1].startswith("|")


@pytest.mark.law
def test_the_example_of_the_page_runs(capsys: pytest.CaptureFixture[str]) -> None:
    """What a reader copies prints when the fault began and how bad it was."""
    (code,) = re.findall(r"```python\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.S)
    exec(compile(code, str(PAGE), "exec"), {})
    assert re.fullmatch(r"700 2\.\d+ mm\n", capsys.readouterr().out)
