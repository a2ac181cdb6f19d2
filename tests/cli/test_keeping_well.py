"""`balewright doctor`, `backup` and `restore`, called as a person calls them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home of the test's own."""
    for name in ("DATABASE", "SECRET_KEY", "HOST", "PORT", "OPEN_DESK"):
        monkeypatch.delenv(f"BALEWRIGHT_{name}", raising=False)
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.mark.own
def test_doctor_backup_restore(
    home: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A new workplace is well; it comes back elsewhere; broken, the doctor ends with 1."""
    (tmp_path / "june.csv").write_text("machine,bale_no,tipped_at\nH-1,1,2031-06-14T09:00:00Z\n")
    assert run(["take-in", str(tmp_path / "june.csv")]) == 0
    assert run(["backup", str(tmp_path / "one.tar"), "--json"]) == 0
    said = capsys.readouterr().out
    assert json.loads(said[said.index("{") :])["originals_gone"] == 0
    assert run(["doctor", "--deep"]) == 0
    assert "Machines" in capsys.readouterr().out.splitlines()[0]
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "other"))
    assert run(["restore", str(tmp_path / "one.tar")]) == 0
    assert run(["restore", str(tmp_path / "one.tar")]) == 2
    assert "absent or empty" in capsys.readouterr().err
    next((tmp_path / "other" / "journal").rglob("*.parquet")).unlink()
    assert run(["doctor", "--json"]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert answer["state"] == "broken"
    assert answer["lines"][0]["key"] == "parts"


@pytest.mark.own
def test_the_doctor_answers_where_nothing_opens(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A register that is no register is told with its cure, and the folder is looked at too."""
    home.mkdir()
    (home / "register.sqlite3").write_text("not a register at all, but some text")
    assert run(["doctor"]) == 1
    said = capsys.readouterr().out
    assert said.startswith("broken    Opening")
    assert "Folder" in said
