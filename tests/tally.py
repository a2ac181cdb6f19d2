"""What the project is checked against: (model, source) pairs, by how strong the source is.

A test that compares a model with something outside the project carries
`@pytest.mark.check(model="...", source="...")`; `source` is a key of the bibliography. The same
pair counts once, however many numbers of one table are compared. `python tests/tally.py` writes
docs/checks.md anew.
"""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

from balewright.quantities.sources import Strength, all_sources, source

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "checks.md"
#: Outside the project and open to anybody: these count. The others are shown beside them.
COUNTED = (Strength.PUBLISHED, Strength.STANDARD, Strength.REFERENCE)

_INTRO = """# What Balewright is checked against

Made by `python tests/tally.py` from the tests themselves; a test fails where this page is old.
A pair is one model compared with one source; a table counts once. Published sources, standards
and independent libraries count. What we derived ourselves, common practice, values from memory
and assumptions are shown and do not count.

Tested but neither counted nor shown: values that our own tables repeat from a source, changes of
units, rules where the example is ours, ranges that no sensible model could miss, and libraries
where our own code calls the same function.
"""


def pairs() -> dict[tuple[str, str], set[str]]:
    """(model, source key) -> the test files that compare them."""
    found: dict[tuple[str, str], set[str]] = defaultdict(set)
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.mark.check":
                given = {word.arg: ast.literal_eval(word.value) for word in node.keywords}
                pair = (given["model"], given["source"])
                found[pair].add(str(path.relative_to(ROOT)))
    return dict(found)


def by_strength() -> dict[Strength, list[tuple[str, str]]]:
    """The pairs under the strength of their source, every strength present."""
    sorted_out: dict[Strength, list[tuple[str, str]]] = {strength: [] for strength in Strength}
    known = {one.key for one in all_sources()}  # a key of no source fails a test of its own
    for model, key in sorted(pairs()):
        if key in known:
            sorted_out[source(key).strength].append((model, key))
    return sorted_out


def counted() -> int:
    """How many pairs rest on something outside the project."""
    return sum(len(by_strength()[strength]) for strength in COUNTED)


def lines() -> list[str]:
    """The tally in a few lines, for the end of a test run."""
    sorted_out = by_strength()
    shown = [
        f"{len(sorted_out[strength]):4d}  {strength.value}"
        + ("" if strength in COUNTED else "  (shown, not counted)")
        for strength in Strength
    ]
    return [f"{counted():4d}  distinct (model, source) pairs counted", *shown]


def page() -> str:
    """docs/checks.md as it should be."""
    parts = [_INTRO, "```text", *lines(), "```", ""]
    for strength, found in by_strength().items():
        if not found:
            continue
        parts += [f"## {strength.value[0].upper()}{strength.value[1:]}", ""]
        parts += ["| model | source |", "|---|---|"]
        parts += [f"| {model} | {_said(key)} |" for model, key in found]
        parts.append("")
    return "\n".join(parts)


def _said(key: str) -> str:
    return f"`{key}`: " + source(key).text.replace("|", "/")


if __name__ == "__main__":
    PAGE.write_text(page())
