"""The public names of the package: all there, all documented, none that loads too much."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

import balewright

PAGE = Path(__file__).parents[1] / "docs" / "python.md"


@pytest.mark.law
@pytest.mark.parametrize("name", balewright.__all__)
def test_public_name_is_there_and_documented(name: str) -> None:
    """Whoever reads the page can import what it lists, and nothing public is left off it."""
    assert getattr(balewright, name) is not None
    assert name == "__version__" or re.search(rf"`{name}`", PAGE.read_text())


@pytest.mark.law
def test_other_names_are_refused() -> None:
    """A name that is not public is an ordinary AttributeError that says so."""
    with pytest.raises(AttributeError, match="balewright has no public name 'utils'"):
        _ = balewright.utils


@pytest.mark.law
def test_importing_the_package_loads_no_library() -> None:
    """`import balewright` is free: numpy, lxml and Django are loaded when they are needed."""
    code = "import balewright, sys; print(sorted({'numpy', 'lxml', 'django'} & set(sys.modules)))"
    answer = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "[]"
