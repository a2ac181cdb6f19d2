"""The import contracts of `pyproject.toml`, and the allow-list of the core, as tests."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "balewright"
CORE = ("quantities", "plan", "records", "findings", "rehearsal", "cause", "work")
ALLOWED = {
    *("__future__", "bisect", "collections", "dataclasses", "datetime", "difflib", "enum"),
    *("fractions", "functools", "itertools", "math", "operator", "types", "typing", "zoneinfo"),
    *("hashlib", "heapq", "unicodedata", "numpy", "scipy", "balewright"),
}
FORBIDDEN_CALLS = {"open", "exec", "eval", "input", "print", "breakpoint"}
FORBIDDEN_ATTRIBUTES = {"now", "utcnow", "today"}
GLOBAL_RANDOM = {"seed", "rand", "randn", "randint", "random", "normal", "choice", "shuffle"}


CORE_FILES = [path for room in CORE for path in sorted((PACKAGE / room).rglob("*.py"))]


@pytest.mark.law
def test_import_contracts_hold() -> None:
    """Data flows one way, the core is pure, Django stays in store and desk, no cycles."""
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"]
    answer = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert answer.returncode == 0, answer.stdout[-4000:] + answer.stderr[-2000:]


@pytest.mark.law
@pytest.mark.parametrize("path", CORE_FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_core_imports_only_what_is_allowed(path: Path) -> None:
    """A pure room imports numbers and shapes, nothing that touches files, clocks or chance."""
    for node in ast.walk(ast.parse(path.read_text())):
        names = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [node.module or ""]
        for name in names:
            top = name.split(".")[0]
            kernel = top == "numba" and path.name.endswith("_kernel.py")
            assert top in ALLOWED or kernel, f"line {node.lineno} imports {name}"


@pytest.mark.law
@pytest.mark.parametrize("path", CORE_FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_core_calls_no_clock_file_or_global_chance(path: Path) -> None:
    """No `open`, no naive or wall clock, no global random state in a pure room."""
    for node in ast.walk(ast.parse(path.read_text())):
        if not isinstance(node, ast.Call):
            continue
        if isinstance(node.func, ast.Name):
            assert node.func.id not in FORBIDDEN_CALLS, f"line {node.lineno} calls {node.func.id}"
        if isinstance(node.func, ast.Attribute):
            assert node.func.attr not in FORBIDDEN_ATTRIBUTES, f"line {node.lineno}: a clock"
            owner = ast.unparse(node.func.value)
            chance = owner in {"np.random", "numpy.random"} and node.func.attr in GLOBAL_RANDOM
            assert not chance, f"line {node.lineno}: global random state"
