"""What must never stand in the project's own files."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
REGISTRIES = ("pypi" + ".org", "pythonhosted" + ".org", "npmjs" + ".org", "npmjs" + ".com")
MACHINE_PATH = re.compile(r"(?<![\w.])/(?:work|root|home|tmp/bw)/[\w.]")


def tracked_text() -> list[tuple[str, str]]:
    """Every tracked text file with its content."""
    names = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split("\n")
    found = []
    for name in filter(None, names):
        path = ROOT / name
        if path.is_file() and path.suffix not in {".png", ".bin", ".zip", ".gz", ".pdf"}:
            found.append((name, path.read_bytes().decode("utf-8", errors="replace")))
    return found


@pytest.mark.law
def test_no_registry_and_no_machine_path_is_named() -> None:
    """Pins and logs name no package registry, and nothing names a folder of one machine."""
    for name, text in tracked_text():
        for host in REGISTRIES:
            assert host not in text, f"{name} names a registry"
        found = MACHINE_PATH.search(text)
        assert found is None, f"{name} names a path of one machine: {found}"


@pytest.mark.law
def test_pins_are_exact_and_hashed() -> None:
    """Two installs a year apart give the same versions."""
    for name in ("requirements.txt", "requirements-test.txt", "requirements-spark.txt"):
        entries = (ROOT / name).read_text().replace("\\\n", " ").splitlines()
        for entry in filter(None, entries):
            assert "==" in entry, f"{name}: {entry[:60]}"
            assert "--hash=sha256:" in entry, f"{name}: {entry[:60]}"
