"""`balewright read` and `take-in` on a trace, as a technician types them."""

from __future__ import annotations

import csv
import json
from dataclasses import fields
from pathlib import Path

import pytest
from tests.docs.test_commands_are_documented import section
from tests.readers.can.days import two_bales_day
from tests.readers.can.test_codes import ACTIVE, NOTHING, alone, code

from balewright.cli.entry import run
from balewright.flows.read_trace import TraceSeen
from balewright.words.say import catalogue

M2 = ["--profile", "mossgrinder-m2"]


@pytest.fixture(scope="module")
def trace(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two bales, with a code during the second."""
    day = two_bales_day()
    for at in range(120, 131):
        day.say(at + 0.3, ACTIVE, alone(code(520_201, 5, 3), lamps=0b0100))
    day.say(131.3, ACTIVE, NOTHING)
    return day.write(tmp_path_factory.mktemp("trace"))


@pytest.mark.derived
def test_trace_is_shown_in_words(trace: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Who spoke, each code with what it means and when, each signal with where it comes from."""
    assert run(["read", str(trace), *M2]) == 0
    shown = capsys.readouterr().out
    assert "can trace, candump" in shown
    assert "signals by mossgrinder_m2.toml" in shown
    assert "520201/5" in shown
    assert "current too low, or the circuit is open" in shown
    assert "2031-06-09T09:32:00.300000Z" in shown
    assert "Wrapper.RingTurns from address 0x2a" in shown


@pytest.mark.derived
def test_trace_answers_as_json(trace: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same as one object, its fields on the page of the commands."""
    assert run(["read", str(trace), *M2, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["balewright"], answer["form"], answer["dated"]) == ("read", "can trace", True)
    assert [one["address"] for one in answer["nodes"] if one["baler"]] == [0x2A]
    assert [(one["spn"], one["fmi"], one["ended"]) for one in answer["codes"]] == [
        (520_201, 5, "said")
    ]
    names = {field.name for field in fields(TraceSeen)}
    assert {name for name in names if f"`{name}`" not in section("read")} == set()


@pytest.mark.derived
def test_trace_is_taken_in(
    trace: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the machine's serial: its bales and codes are in the journal; a second time nothing
    changes; without the serial the cure is said."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    assert run(["take-in", str(trace), "--machine", "M2-0001", "--json"]) == 0
    (first,) = json.loads(capsys.readouterr().out)["files"]
    assert (first["form"], first["events"]) == ("can trace", 2)
    assert run(["take-in", str(trace), "--machine", "M2-0001", "--json"]) == 0
    (again,) = json.loads(capsys.readouterr().out)["files"]
    assert (again["state"], again["not_of"]) == ("already taken", None)
    assert run(["take-in", str(trace), "--machine", "M2-0002"]) == 0
    assert "Not read again for M2-0002: its bales stay under M2-0001." in capsys.readouterr().out
    other = tmp_path / "other.log"
    other.write_text("(1938763800.000000) can0 18FEF12A#00\n")
    assert run(["take-in", str(other)]) == 2
    assert "--machine SERIAL" in capsys.readouterr().out


@pytest.mark.derived
def test_beginning_that_is_no_time_is_refused(
    trace: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A time without a zone is one of two; the cure says what to write."""
    assert run(["read", str(trace), "--begins", "2031-06-14T09:30"]) == 2
    assert "Add Z for UTC" in capsys.readouterr().err


@pytest.mark.real_data
@pytest.mark.published
def test_every_failure_mode_has_words(data_dir: Path) -> None:
    """Each identifier of the table has words of ours; reserved ones keep their number, and what
    the table calls low or high is never called the other."""
    said = catalogue("en")
    with (data_dir / "can" / "fmi.csv").open(newline="") as table:
        rows = list(csv.DictReader(table))
    assert len(rows) == 32
    for row in rows:
        words, given = said[f"code.fmi.{row['fmi']}"], row["text"].lower()
        if given == "reserved":
            assert row["fmi"] in words
        for ours, theirs in (("high", "low"), ("low", "high")):
            if ours in words and theirs in given:
                assert ours in given or {"above", "below"} & set(given.split()), row
        if "above" in given.split() and "short" not in given:
            assert "high" in words
        if "below" in given.split() and "short" not in given and "open" not in given:
            assert "low" in words
