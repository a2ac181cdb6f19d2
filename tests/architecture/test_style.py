"""House style that a linter does not know, and the linters themselves."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "balewright"
MODULES = sorted(path for path in PACKAGE.rglob("*.py") if "migrations" not in path.parts)
TESTS = sorted([*(ROOT / "tests").rglob("test_*.py"), *PACKAGE.rglob("test_*.py")])
CORE = ("quantities", "plan", "records", "findings", "rehearsal", "cause", "work")
UNIT = re.compile(
    r"_(m|mm|ft|um|m2|m3|kg|g|t|l|ml|s|h|us|months|days|bar|v|c|f|nm|rpm|turns?|layers|bales|deg|rad"
    r"|frac|fraction|share|ratio|exponent|dial|kg_m3|kg_m|g_m2|t_h|m_s|km_h|bales_h|ml_bale|l_bale|m_bale|m_dispenser|g_bale|rolls"
    r"|kw|kwh|l_kwh|years?|w|n|kn|j|kj|pa|kpa|k|ha|ha_h|t_ha|bales_ha|kg_ha|l_min|l_h|l_t|kg_t|g_kg|kg_s|mol\w*|cm3\w*"
    r"|money|money_\w+|ppm|days|minutes|hours|per_\w+|lat|lon|turn)$"
)
BARE = {
    *("low", "high", "best", "value", "values", "planned", "seen", "confidence", "lat", "lon"),
    *("turns", "hours", "minutes", "severity", "layers", "share", "mean", "spread", "shift"),
    # in the unit that a field beside them names
    *("every", "since", "left", "now", "step", "target", "at"),
    *("round_mean", "bale_turn_one_roll"),
    # of what is watched, in the unit of its measure
    *("centre", "scale", "floor", "usual_spread", "usual_group", "usual_rate"),
    *("before", "before_spread", "moved", "moved_spread", "level", "level_spread", "group_spread"),
    *("least_spread", "spread2", "group2", "rate", "usual", "roll_spread", "stood"),
    # counts that are kept beside them
    *("batches", "jobs", "stood_batches", "stood_jobs"),
    # log-likelihoods
    *("within", "between", "same", "own_apart", "own_moved"),
    *("fits", "sudden", "lasting", "log_evidence", "log_conflict", "log_scale"),
    # of a chart: standardised, or a logarithm of a likelihood
    *("reference", "limit", "weight", "statistic", "events", "expected", "position", "up", "down"),
    *("sign", "before", "after", "lean", "held"),
    # of a straight line, in the units of its points
    *("slope", "intercept", "residual", "mean_x", "spread_x", "spread_y", "x"),
}


def tool(*command: str) -> subprocess.CompletedProcess[str]:
    """Run a tool of this environment in the project's root."""
    program = str(Path(sys.executable).with_name(command[0]))
    return subprocess.run(
        [program, *command[1:]], cwd=ROOT, capture_output=True, text=True, check=False
    )


@pytest.mark.law
def test_ruff_finds_nothing() -> None:
    """The linter is content with every file."""
    answer = tool("ruff", "check", "--no-cache", ".")
    assert answer.returncode == 0, answer.stdout[-4000:]


@pytest.mark.law
def test_ruff_would_format_nothing() -> None:
    """Every file is formatted."""
    answer = tool("ruff", "format", "--no-cache", "--check", ".")
    assert answer.returncode == 0, answer.stdout[-4000:]


@pytest.mark.law
def test_types_are_strict() -> None:
    """The type checker in strict mode is content with the whole package."""
    answer = tool("mypy")
    assert answer.returncode == 0, answer.stdout[-4000:] + answer.stderr[-1000:]


@pytest.mark.law
@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_module_is_short_and_named_for_its_subject(path: Path) -> None:
    """Under 300 lines, and never a `utils`."""
    assert len(path.read_text().splitlines()) <= 300
    assert path.stem not in {"utils", "helpers", "common", "manager", "core", "misc"}


@pytest.mark.law
@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_public_functions_and_modules_say_what_they_are(path: Path) -> None:
    """Every module with code and every public function and class has a docstring."""
    tree = ast.parse(path.read_text())
    if tree.body:
        assert ast.get_docstring(tree), "the module has no docstring"
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"{node.name} (line {node.lineno}) has no docstring"


@pytest.mark.law
@pytest.mark.parametrize("path", TESTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_test_states_a_behaviour(path: Path) -> None:
    """A test's docstring is the sentence it proves."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            assert ast.get_docstring(node), f"{node.name} (line {node.lineno}) has no docstring"


def _floats(tree: ast.Module) -> list[tuple[int, str]]:
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef):
            fields = [item for item in node.body if isinstance(item, ast.AnnAssign)]
            found += [
                (item.lineno, item.target.id)
                for item in fields
                if isinstance(item.target, ast.Name)
                and ast.unparse(item.annotation) in {"float", "float | None"}
            ]
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            found += [
                (argument.lineno, argument.arg)
                for argument in [*node.args.args, *node.args.kwonlyargs]
                if argument.annotation is not None
                and ast.unparse(argument.annotation) in {"float", "float | None"}
            ]
    return found


@pytest.mark.law
@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if path.relative_to(PACKAGE).parts[0] in CORE],
    ids=lambda path: str(path.relative_to(PACKAGE)),
)
def test_floats_name_their_unit(path: Path) -> None:
    """A public float of the core ends in its unit, or is one of the few bare quantities."""
    for line, name in _floats(ast.parse(path.read_text())):
        known = UNIT.search("_" + name) or name in BARE
        assert known, f"line {line}: {name} does not end in its unit"
