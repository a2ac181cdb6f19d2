"""`run.py`: what it refuses before it sets anything up, and how it hands options on."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

RUN = Path(__file__).parents[1] / "run.py"


def loaded() -> ModuleType:
    """run.py as a module; nothing is set up by loading it."""
    spec = importlib.util.spec_from_file_location("run_under_test", RUN)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.own
@pytest.mark.parametrize("version", [(3, 10, 9), (3, 15, 0)])
def test_an_unsupported_python_is_refused_clearly(version: tuple[int, ...]) -> None:
    """Too old or too new: one line that says what is needed, and nothing is installed."""
    code = f"import sys; sys.version_info = {version}; exec(open({str(RUN)!r}).read())"
    answer = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert answer.returncode == 1
    assert "needs Python 3.11 to 3.14" in answer.stderr
    assert "Traceback" not in answer.stderr


@pytest.mark.own
def test_a_word_it_does_not_know_is_refused_with_its_usage() -> None:
    """A slip of the hand starts no installation."""
    answer = subprocess.run(
        [sys.executable, str(RUN), "tset"], capture_output=True, text=True, check=False
    )
    assert answer.returncode == 1
    assert "knows demo and test, not 'tset'" in answer.stderr
    assert "usage: python3 run.py demo" in answer.stderr


@pytest.mark.own
def test_the_data_folder_is_handed_on_whole(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A folder relative to where the person stands is found though the tests start elsewhere."""
    monkeypatch.chdir(tmp_path)
    joined = loaded().with_full_data_path
    assert joined(["--data", "real", "-x"]) == [f"--data={tmp_path / 'real'}", "-x"]
    assert joined(["--data=../real"]) == [f"--data={tmp_path.parent / 'real'}"]
    assert joined(["-k", "film"]) == ["-k", "film"]


@pytest.mark.own
def test_a_second_call_finds_all_set_up(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Set-up is done once; changed pins or another Python do it anew."""
    module = loaded()
    venv_bin = tmp_path / "bin"
    venv_bin.mkdir()
    (venv_bin / "python").touch()
    monkeypatch.setattr(module, "BIN", venv_bin)
    monkeypatch.setattr(module, "STAMP", tmp_path / "stamp")
    assert not module.is_set_up("demo")
    module.STAMP.write_text(module.wanted("demo") + "\n" + module.wanted("test") + "\n")
    assert module.is_set_up("demo")
    assert module.is_set_up("test")
    module.STAMP.write_text(module.wanted("demo").replace("3.", "9.") + "\n")
    assert not module.is_set_up("demo")
