"""`balewright take-in` and `balewright book`, called as a person calls them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run

CSV = (
    "machine,bale_no,counter_epoch,tipped_at,job,status\n"
    "HAZE-1,1,0,2031-06-14T09:00:00Z,Low field,ok\n"
    "HAZE-1,2,0,2031-06-14T09:02:00Z,Low field,burst\n"
)


@pytest.fixture(autouse=True)
def _home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DATABASE", "SECRET_KEY", "HOST", "PORT", "OPEN_DESK"):
        monkeypatch.delenv(f"BALEWRIGHT_{name}", raising=False)
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))


@pytest.mark.own
def test_an_empty_book_says_how_to_begin(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing taken in: a kind sentence that names the command, exit code 0."""
    assert run(["book"]) == 0
    assert "nothing was taken in yet" in capsys.readouterr().out


@pytest.mark.derived
def test_take_in_then_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two bales, one burst: one to bill; the unknown machine is told; twice changes nothing."""
    (tmp_path / "june.csv").write_text(CSV)
    assert run(["take-in", str(tmp_path / "june.csv")]) == 0
    said = capsys.readouterr().out
    assert "2\xa0bales and 0\xa0events kept" in said
    assert "Machine not in the register: HAZE-1." in said
    assert run(["take-in", str(tmp_path / "june.csv"), "--json"]) == 0
    (file,) = json.loads(capsys.readouterr().out)["files"]
    assert (file["state"], file["kept"]) == ("already taken", 2)
    assert run(["book", "--json", "--machine", "HAZE-1"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["balewright"], answer["version"], answer["bales"]) == ("book", 1, 2)
    assert [(row["ok"], row["burst"], row["day"]) for row in answer["rows"]] == [
        (1, 1, "2031-06-14")
    ]
    assert run(["book", "--since", "2031-06-15"]) == 0
    assert "No bales match." in capsys.readouterr().out
    assert run(["book"]) == 0
    assert "machine not in the register" in capsys.readouterr().out


@pytest.mark.own
def test_refused_files_and_bad_days_end_with_two(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file that is no record file, a strict refusal and a day that is none: 2, with the cure."""
    (tmp_path / "odd.csv").write_text("colour\nred\n")
    assert run(["take-in", str(tmp_path / "odd.csv")]) == 2
    (tmp_path / "half.csv").write_text(CSV + "HAZE-1,3,0,never,Low field,ok\n")
    assert run(["take-in", str(tmp_path / "half.csv")]) == 0
    assert run(["take-in", "--strict", str(tmp_path / "half.csv")]) == 2
    capsys.readouterr()
    assert run(["book", "--until", "yesterday"]) == 2
    assert "Write it as year-month-day." in capsys.readouterr().err
