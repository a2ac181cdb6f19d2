"""`balewright bale`, `correct` and `compact`, called as a person calls them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import BAD_INPUT, GOOD, run

HEAD = "machine,bale_no,counter_epoch,tipped_at,job,mass_kg\n"


@pytest.mark.own
def test_a_bale_is_traced_corrected_and_merged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both files' masses with their lines, a correction beside them, taken back by its key."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    for name, job, mass in (("day.csv", "J1", "600"), ("scale.csv", "", "640")):
        row = f"HAZE-1,812,0,2031-06-14T09:30:00Z,{job},{mass}\n"
        (tmp_path / name).write_text(HEAD + row)
        assert run(["take-in", str(tmp_path / name)]) == GOOD
    capsys.readouterr()

    assert run(["compact"]) == GOOD
    assert capsys.readouterr().out == "Files: 2 became 3. Rows: 2, bales: 1.\n"
    assert run(["bale", "HAZE-1"]) == GOOD
    assert capsys.readouterr().out.split() == [
        *("812-e0", "2031-06-14", "09:30", "J1", "-", "files", "2", "they", "differ"),
    ]
    assert run(["bale", "HAZE-1", "--json"]) == GOOD
    listed = json.loads(capsys.readouterr().out)
    assert (listed["balewright"], listed["total"]) == ("bale", 1)
    assert run(["bale", "HAZE-1", "812"]) == GOOD
    lines = capsys.readouterr().out.splitlines()
    assert lines[:3] == ["HAZE-1 812-e0", "[1] day.csv  line 2", "[2] scale.csv  line 2"]
    at = next(place for place, line in enumerate(lines) if line.startswith("mass_kg"))
    assert lines[at].split(maxsplit=1)[1] == "600.0 [1]  (its row knows more of this bale)"
    assert lines[at + 1].strip() == "640.0 [2]"

    words = ["correct", "HAZE-1", "812", "--column", "mass_kg", "--value", "655"]
    assert run([*words, "--why", "weighbridge ticket", "--json"]) == GOOD
    key = json.loads(capsys.readouterr().out)["key"]
    assert run(["bale", "HAZE-1", "812", "--json"]) == GOOD
    mass = json.loads(capsys.readouterr().out)["values"]["mass_kg"]
    assert (mass["value"], mass["by"], mass["why"]) == (655.0, None, "corrected")
    assert [one["value"] for one in mass["others"]] == [600.0, 640.0]
    assert mass["corrections"] == [key]
    assert run(["correct", "HAZE-1", "--take-back", key, "--why", "wrong ticket"]) == GOOD
    assert key in capsys.readouterr().out
    assert run(["correct", "HAZE-1"]) == GOOD
    assert len(capsys.readouterr().out.splitlines()) == 2
    assert run([*words, "--why", ""]) == BAD_INPUT
    assert "why: needs a reason" in capsys.readouterr().err


@pytest.mark.own
def test_a_machine_nobody_knows_and_a_bare_word_are_told_with_the_cure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An empty list would look like a machine without bales; an option without its dashes is
    recognised, and a word that is nothing like one gets no hint.
    """
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    asked = (["bale", "NOPE"], ["book", "--machine", "NOPE"], ["senders", "make"])
    for words in asked:
        line = [*words, "--machine", "NOPE"] if words == ["senders", "make"] else words
        assert run(line) == BAD_INPUT
        assert "needs a serial that is known here, was given 'NOPE'" in capsys.readouterr().err
    assert run(["personal", "operator"]) == BAD_INPUT
    assert "Did you mean --operator?" in capsys.readouterr().err
    assert run(["personal", "held"]) == BAD_INPUT
    assert "Did you mean" not in capsys.readouterr().err
    (tmp_path / "head.csv").write_text(HEAD)
    assert run(["take-in", str(tmp_path / "head.csv")]) == GOOD
    assert "It holds no bale and no event." in capsys.readouterr().out
