"""Every public question, as the engines are asked it and as the plain reading answers it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from tests.store.conformance import cases, plain
from tests.store.conformance.plain import Bale

from balewright.store.engine import Question
from balewright.store.questions import ask_book, ask_counts, zone_offsets

Lines = list[dict[str, Any]]


@dataclass(frozen=True)
class Asked:
    """A question by name: for the engines, and what plain reading says of it."""

    name: str
    question: Question
    plain: Callable[[Sequence[Bale]], Lines]


def _offsets() -> Any:
    return zone_offsets(cases.zones(), -400 * cases.DAY_US, cases.LAST_US)


def _book(bales: Sequence[Bale]) -> Lines:
    return plain.book(bales, cases.zones())


def _of_span(bales: Sequence[Bale]) -> Lines:
    since, until = cases.SPRING_US, cases.JUNE_US + 1
    asked = [one for one in bales if one.time is not None and since <= one.time < until]
    return _book(asked)


ALL: Final = (
    Asked("book", ask_book(_offsets()), _book),
    Asked(
        "book of a job",
        ask_book(_offsets(), job="J1"),
        lambda bales: _book([one for one in bales if one.value("job") == "J1"]),
    ),
    Asked(
        "book of a span",
        ask_book(_offsets(), span_us=(cases.SPRING_US, cases.JUNE_US + 1)),
        _of_span,
    ),
    Asked(
        "book of a machine",
        ask_book(_offsets(), machine="null-1"),
        lambda bales: _book([one for one in bales if one.value("machine") == "null-1"]),
    ),
    Asked("counts", ask_counts(), plain.counts),
)


def table(bales: Sequence[Bale]) -> str:
    """The page's table: how many lines of each answer were compared, case by case."""
    heads = ["question", *cases.CASES, "empty"]
    rows = [[one.name, *map(str, by_case(one.plain(bales)).values()), "0"] for one in ALL]
    lines = [" | ".join(row) for row in (heads, ["---"] * len(heads), *rows)]
    return "".join(f"| {line} |\n" for line in lines)


def by_case(lines: Sequence[Mapping[str, Any]]) -> dict[str, int]:
    """How many lines of an answer belong to each case."""
    found = dict.fromkeys(cases.CASES, 0)
    for line in lines:
        found[cases.case_of(line["machine"])] += 1
    return found
