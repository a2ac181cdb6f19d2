"""docs/measures.md says what the code does."""

from __future__ import annotations

from pathlib import Path

import pytest

from balewright.findings.measures.book import EXPLAINS, MEASURES
from balewright.findings.measures.measure import Family, Measure

PAGE = Path(__file__).parents[3] / "docs" / "measures.md"


def least(measure: Measure) -> str:
    """The smallest lasting change that is told, a rate's usual number a bale."""
    if measure.family is Family.RATE:
        return f"{measure.usual_rate * 100:g} in 100"
    return f"{measure.floor * 100:g} %" if measure.is_log else f"{measure.floor:g} {measure.unit}"


def row(measure: Measure) -> str:
    """A measure's line in its table."""
    told = ", ".join(
        f"{word} {weight.value}"
        for word, weight in (("up", measure.up), ("down", measure.down))
        if weight is not None
    )
    cells = (
        f"`{measure.key}`",
        measure.part or "-",
        ", ".join(measure.explained_by) or "-",
        measure.group.value,
        least(measure),
        ", ".join(measure.moved_by) or "-",
        told,
        (measure.matter or "-") + (", yields" if measure.yields else ""),
    )
    return "| " + " | ".join(cells) + " |"


@pytest.mark.own
def test_every_measure_stands_in_the_table_as_it_is() -> None:
    """Each line of the table is what the code holds."""
    lines = PAGE.read_text().splitlines()
    assert [one.key for one in MEASURES if row(one) not in lines] == []


@pytest.mark.own
def test_everything_that_explains_is_listed() -> None:
    """With its centre and scale."""
    lines = PAGE.read_text().splitlines()
    for one in EXPLAINS.values():
        assert f"| `{one.key}` | {one.centre:g} {one.unit} | {one.scale:g} |" in "\n".join(lines)


@pytest.mark.own
def test_the_page_lists_nothing_else() -> None:
    """No measure that is gone still stands there."""
    lines = [line for line in PAGE.read_text().splitlines() if line.count("|") == 9]
    assert len([line for line in lines if line.startswith("| `")]) == len(MEASURES)
