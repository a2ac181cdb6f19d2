"""`balewright counts`, `misplaced` and `batch`, called as a person calls them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run

ROWS = [(41, 1), (42, 2), (43, 3), (45, 4), (1, 9), (2, 10), (3, 11)]
EVENTS = "machine,bale,kind,item,value,batch\nHAZE-1,42,film roll changed,dispenser 1,1500,K 7\n"


@pytest.mark.derived
def test_counts_from_the_shell(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """44 is missing; a swap told between 45 and 1 makes 48 lifetime bales; a batch has six bales;
    nothing is misplaced; an unreadable file of outlines is told."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    lines = [f"HAZE-1,{number},2031-06-14T09:{minute:02d}:00Z,A\n" for number, minute in ROWS]
    (tmp_path / "june.csv").write_text("machine,bale_no,tipped_at,job\n" + "".join(lines))
    (tmp_path / "rolls.csv").write_text(EVENTS)
    assert run(["take-in", str(tmp_path / "june.csv"), str(tmp_path / "rolls.csv")]) == 0
    capsys.readouterr()
    assert run(["counts", "HAZE-1"]) == 0
    said = capsys.readouterr().out
    assert "Lifetime bales: at least 45" in said
    assert "Missing: 44, between 2031-06-14T09:03:00Z and 2031-06-14T09:04:00Z" in said
    assert "Number 1 follows 45 at 2031-06-14T09:09:00Z: was the control swapped or reset?" in said
    assert run(["counts", "HAZE-1", "--swapped", "45", "1", "--note", "new box", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["lifetime"]["bales"], told["lifetime"]["at_least"]) == (48, False)
    assert told["swaps"]["placed"][0]["note"] == "told on the command line: new box"
    assert run(["counts", "HAZE-1", "--take-back", "2031-06-14T09:09:00Z"]) == 0
    assert "at least 45" in capsys.readouterr().out
    assert run(["counts", "HAZE-1", "--take-back", "yesterday"]) == 2
    assert run(["counts", "HAZE-1", "--swapped", "45", "2"]) == 2
    capsys.readouterr()
    assert run(["batch", "k7"]) == 0
    assert "No bale is known" in capsys.readouterr().out
    assert run(["batch", "k 7", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["bales"], found["lines"][0]["numbers"]) == (6, [[1, 3], [42, 43], [45, 45]])
    assert run(["batch", "--kind", "net"]) == 2
    assert "Name the batch." in capsys.readouterr().err
    assert run(["batch", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["compared"] == []  # six bales say nothing
    assert run(["misplaced", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["splits"] == []
    assert run(["misplaced", "--outlines", str(tmp_path / "none.geojson")]) == 2
    assert "a file that can be read" in capsys.readouterr().err
    assert run(["misplaced", "--accept", "nothing"]) == 2
